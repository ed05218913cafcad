"""A discrete law as a few equally likely points."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

Array = np.ndarray


def condense(values: Array, law: Array, points: int) -> list[tuple[float, float]]:
    """Means and weights of ``points`` equally likely slices of a law.

    Parameters
    ----------
    values
        (n,) rising.
    law
        (n,) probabilities; they need not sum to 1, and the weights sum to what they do.

    >>> condense(np.array([0, 1, 2, 3]), np.full(4, 0.25), 2)
    [(0.5, 0.5), (2.5, 0.5)]
    """
    total = float(law.sum())
    if total <= 0:
        return []
    if points == 1:
        return [(float(values @ law) / total, total)]
    rising = np.concatenate([[0.0], np.cumsum(law)])
    out = []
    for low, high in pairwise(np.linspace(0, total, points + 1)):
        share = np.maximum(np.minimum(rising[1:], high) - np.maximum(rising[:-1], low), 0)
        weight = float(share.sum())
        if weight > 0:
            out.append((float(values @ share) / weight, weight))
    return out
