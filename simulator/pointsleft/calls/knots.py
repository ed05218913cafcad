"""A law of spots as weights on a few of them.

Values are close to straight between neighbouring spots, so a law over 99 yard lines can stand on
a few: every spot gives its weight to the knot before and the knot behind it, the nearer the more.
Sum and mean of the law are kept exactly.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from pointsleft_models.laws.lattice import SPOTS

Array = np.ndarray

#: Yards to goal that values are worked out at.
KNOTS: tuple[int, ...] = (
    1, 2, 3, 5, 7, 10, 13, 17, 21, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 93, 95,
    97, 98, 99,
)  # fmt: skip

#: Yards to goal that the refits' differences from the point fit are worked out at: they are
#: small and smooth.
FEW: tuple[int, ...] = (1, 4, 10, 20, 30, 40, 50, 60, 70, 80, 90, 96, 99)


@cache
def hats(knots: tuple[int, ...]) -> Array:
    """(99, knots) weight that yards to goal 1..99 give to each knot; rows sum to 1.

    >>> hats((1, 99))[[0, 49, 98]]
    array([[1. , 0. ],
           [0.5, 0.5],
           [0. , 1. ]])
    """
    spots = np.arange(1, SPOTS + 1)
    at = np.asarray(knots)
    right = np.clip(np.searchsorted(at, spots), 1, len(at) - 1)
    share = (spots - at[right - 1]) / (at[right] - at[right - 1])
    out = np.zeros((SPOTS, len(at)))
    rows = np.arange(SPOTS)
    out[rows, right - 1] = 1 - share
    out[rows, right] += share
    return out
