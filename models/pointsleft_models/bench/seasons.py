"""Seasons of the archive that some scores are taken on."""

from __future__ import annotations

#: The ones that peers were first scored on; left out where all eleven would take too long.
FIRST_SEASONS = (2010, 2014, 2018)
