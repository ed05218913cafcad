"""The verdict among calls, from their values under every fit."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pointsleft.calls.result import Settled
from pointsleft.pricing.ledger import verdict
from pointsleft.pricing.result import Interval, Verdict
from pointsleft.pricing.settings import HIGH, LOW

Array = np.ndarray


def settle(names: Sequence[str], values: Array) -> Settled:
    """The best call and how settled it is.

    Parameters
    ----------
    values
        (fits, calls), the point fit first; not a number where a call is not open. Without refits
        nothing can speak against the point fit and nothing for it: ``unsettled``, share 0.
    """
    best, share = best_and_share(values.T[None])
    order = np.argsort(np.where(np.isnan(values[0]), -np.inf, values[0]))[::-1]
    first = int(best[0])
    rivals = [int(i) for i in order if i != first and not np.isnan(values[0, i])]
    if not rivals:
        return Settled(names[first], None, "firm", 1.0, 0.0, Interval(0.0, 0.0))
    second = rivals[0]
    gaps = values[:, first] - values[:, second]
    spread = gaps[1:] if len(gaps) > 1 else gaps
    low, high = np.quantile(spread, [LOW, HIGH])
    return Settled(
        names[first], names[second], word(float(share[0])), float(share[0]), float(gaps[0]),
        Interval(float(low), float(high)),
    )  # fmt: skip


def word(share: float) -> Verdict:
    """The verdict word of a share, from the one table of verdicts in the project."""
    return verdict(share)


def best_and_share(values: Array) -> tuple[Array, Array]:
    """Best call (n,) under the point fit and share of refits (n,) that agree.

    Parameters
    ----------
    values
        (n, calls, fits), not a number where a call is not open.
    """
    open_ = np.where(np.isnan(values), -np.inf, values)
    best = open_[..., 0].argmax(1)
    if values.shape[-1] == 1:
        return best, np.zeros(len(best))
    share = (open_[..., 1:].argmax(1) == best[:, None]).mean(1)
    return best, share
