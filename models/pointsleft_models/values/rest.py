"""What the rest of a game can still move: the scale of leads and of pre-game spreads."""

from __future__ import annotations

import numpy as np

Array = np.ndarray

GAME_SECONDS = 3600

#: Standard deviation of the final margin and the share of a game's variance that is left when
#: the clock is at zero: they scale the effective lead and the spread and are settings, not fits.
MARGIN_SD = 13.5
FLOOR = 0.004


def spread_of_rest(game_seconds: Array) -> Array:
    """Points (n,) that the rest of a game can still move (one standard deviation)."""
    return MARGIN_SD * np.sqrt(game_seconds / GAME_SECONDS + FLOOR)
