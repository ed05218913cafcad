"""A priced game as data: every decision, the lines that close, totals and counts."""
