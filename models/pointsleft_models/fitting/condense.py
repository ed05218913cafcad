"""A discrete law as a few equally likely points."""

from __future__ import annotations

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
    edges = np.linspace(0, total, points + 1)[:, None]
    share = np.minimum(rising[1:], edges[1:]) - np.maximum(rising[:-1], edges[:-1])
    share = np.maximum(share, 0)  # (points, n) of the law in each slice
    weight = share.sum(1)
    full = weight > 0
    means = (share[full] @ values) / weight[full]
    return list(zip(means.tolist(), weight[full].tolist(), strict=True))
