"""Figures behind the judgements, worked out again from the data."""
