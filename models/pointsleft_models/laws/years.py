"""The years of the game, for laws whose chances have moved with them.

Throws come off more often than they did, more plays end out of bounds, punts come down deeper.
Laws in which knowing the season foretells seasons left out (``recipes/scrimmage.py``) speak of one
year's game.
"""

from __future__ import annotations

#: Variable of the laws that move with the years.
YEAR = "year"

#: First and last season of the archive. What came before is taken as the first, what comes after
#: as the last: a trend is followed as far as it was seen.
FIRST_SEASON, LAST_SEASON = 2009, 2019

#: Number of the last year.
LAST_YEAR = LAST_SEASON - FIRST_SEASON


def year_of(season: int) -> int:
    """Number of a season's year, 0 for the first of the archive."""
    return min(max(season - FIRST_SEASON, 0), LAST_YEAR)
