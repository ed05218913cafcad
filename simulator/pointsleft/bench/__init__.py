"""Measured speed and scores: ``make bench`` runs them and writes docs/bench.md."""
