"""Renderings of a priced game: text, tables, JSON and one HTML page."""
