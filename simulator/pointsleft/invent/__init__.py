"""Invented film: snaps that offer something, quarterbacks of known skill, charters who err."""
