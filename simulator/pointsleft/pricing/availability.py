"""What was to be had: the expected best of options that may or may not have been in the read.

Each option was in the read with a chance of its own, independently, but options of one read
group exclude one another. The expectation of the best value is exact: option i is the best
available when it is in the read and nothing better is.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

Array = np.ndarray


def best_shares(values: Array, chances: Array, groups: Sequence[str | None]) -> Array:
    """Chance that each option is the best one available.

    Parameters
    ----------
    values
        (..., n) value of every option.
    chances
        (..., n) chance that it was in the read; an option that was certainly there (the one
        chosen) has 1, so the shares sum to 1.
    groups
        Read group of every option, ``None`` for its own. Chances within a group must not sum
        to more than 1.

    Returns
    -------
    Array
        (..., n) shares w with sum 1; ``(w * values).sum()`` is the expected best.

    >>> best_shares(np.array([2.0, 1.0]), np.array([0.6, 1.0]), [None, None])
    array([0.6, 0.4])
    """
    n = values.shape[-1]
    names = [f"\0{i}" if g is None else g for i, g in enumerate(groups)]
    order = np.arange(n)
    better = values[..., None, :] > values[..., :, None]
    # ties go to the earlier option, so that exactly one option is the best
    tied = values[..., None, :] == values[..., :, None]
    better |= tied & (order[None, :] < order[:, None])
    shares = np.broadcast_to(chances, values.shape).astype(float).copy()
    for name in dict.fromkeys(names):
        member = np.array([other == name for other in names])
        taken = (better * (chances * member)[..., None, :]).sum(-1)
        missing = np.where(member, 1.0, 1.0 - taken)
        shares *= np.clip(missing, 0.0, 1.0)
    return shares


def expected_best(values: Array, chances: Array, groups: Sequence[str | None]) -> Array:
    """Expected value (...) of the best option available."""
    return (best_shares(values, chances, groups) * values).sum(-1)
