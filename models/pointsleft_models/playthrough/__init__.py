"""Whole games played snap by snap, all games in step: the second witness beside the regressions."""
