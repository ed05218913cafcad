"""The passer rating of professional box scores: public arithmetic."""

from __future__ import annotations

import numpy as np

Array = np.ndarray

#: Each of its four parts stays between 0 and this.
MOST = 2.375


def passer_rating(
    attempts: Array | float, completions: Array | float, yards: Array | float,
    touchdowns: Array | float, interceptions: Array | float,
) -> Array:  # fmt: skip
    """Passer rating, 0 to 158.3; of nobody's attempts not a number.

    >>> round(float(passer_rating(30, 20, 250, 2, 1)), 1)
    100.7
    """
    thrown = np.asarray(attempts, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        parts = (
            5 * (completions / thrown - 0.3),
            0.25 * (yards / thrown - 3),
            20 * touchdowns / thrown,
            MOST - 25 * interceptions / thrown,
        )
    return sum(np.clip(p, 0, MOST) for p in parts) / 6 * 100  # type: ignore[return-value]
