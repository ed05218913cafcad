"""Outcome spread: how one choice can end, and the chosen against the best.

An exact law gives the means; draws show the spread and are checked against it. This is not an
uncertainty of ``left``.
"""

from __future__ import annotations

import math

import numpy as np

from pointsleft.pricing.draws import AliasTable
from pointsleft.pricing.result import OutcomeComparison, Spread

Array = np.ndarray

#: Most pairs of value and probability kept for drawing.
BINS = 40

#: Standard errors by which the mean of the draws may be off the exact sum.
ALLOWED = 4.0

#: Fewest draws whose mean is held to it: the mean of fewer is not yet nearly normal, and one
#: rare outcome would look like a fault.
ENOUGH = 1000


class DrawsError(RuntimeError):
    """The mean of the draws is not that of the law: a fault of the program, never of a log."""


def spread_of(
    values: Array, law: Array, draws: int, rng: np.random.Generator, checks: int = 1
) -> tuple[Spread, Array]:
    """The spread of one law over cells, and the values drawn.

    Parameters
    ----------
    values
        (cells,) value of each cell, less the value before the snap.
    law
        (cells,) probabilities.
    draws
        How many draws; 0 for none.
    checks
        How many such checks are made together: the allowed distance grows with their number
        as the largest of so many normal numbers does.

    Raises
    ------
    DrawsError
        The mean of :data:`ENOUGH` draws or more is farther from the exact mean than chance
        allows.
    """
    kept = np.flatnonzero(law > 0)
    kept = kept[np.argsort(values[kept], kind="stable")]
    v, p = values[kept], law[kept] / law[kept].sum()
    mean = float(v @ p)
    sd = math.sqrt(max(float((v - mean) ** 2 @ p), 0.0))
    drawn = v[AliasTable(p).draw(rng, draws)] if draws else np.zeros(0)
    drawn_mean = float(drawn.mean()) if draws else None
    if drawn_mean is not None and draws >= ENOUGH:
        allowed = math.hypot(ALLOWED, math.sqrt(2 * math.log(max(checks, 1))))
        if abs(drawn_mean - mean) > allowed * sd / math.sqrt(draws) + 1e-12:
            raise DrawsError(
                f"the mean of {draws} draws is {drawn_mean:.5f}, the exact mean {mean:.5f} "
                f"(sd {sd:.5f}): more than {allowed:.1f} standard errors apart"
            )
    rising = np.cumsum(p)
    at = np.minimum(np.searchsorted(rising, [0.1, 0.5, 0.9]), len(v) - 1)
    quantiles = [float(x) for x in v[at]]
    few_values, few_chances = _binned(v, p)
    return (
        Spread(
            mean=mean, sd=sd, p10=quantiles[0], p50=quantiles[1], p90=quantiles[2],
            values=few_values, probabilities=few_chances, draws_mean=drawn_mean, draws=draws,
        ),
        drawn,
    )  # fmt: skip


def _binned(values: Array, law: Array) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """At most BINS pairs: equal steps of value, each at the mean of what it holds."""
    low, high = float(values[0]), float(values[-1])
    if high - low < 1e-12:
        return (low,), (1.0,)
    at = np.minimum(((values - low) / (high - low) * BINS).astype(int), BINS - 1)
    weight = np.bincount(at, law, BINS)
    total = np.bincount(at, law * values, BINS)
    full = weight > 0
    return tuple(total[full] / weight[full]), tuple(weight[full] / weight[full].sum())


def ends_worse(
    better: tuple[Array, Array], taken: tuple[Array, Array]
) -> tuple[float, float, float]:
    """Chance that the better choice would have ended worse than the one taken.

    Parameters
    ----------
    better, taken
        (values, probabilities) of the two laws.

    Returns
    -------
    tuple
        For independent outcomes; and the lowest and highest over every way in which the two
        could have moved together (Fréchet bounds).
    """
    vb, pb = _sorted(*better)
    vt, pt = _sorted(*taken)
    cb, ct = np.cumsum(pb), np.cumsum(pt)
    cuts = np.unique(np.concatenate([vb, vt]))

    def below(values: Array, rising: Array, x: Array, side: str) -> Array:
        at = np.searchsorted(values, x, side=side)  # type: ignore[call-overload]
        return np.where(at > 0, rising[np.maximum(at - 1, 0)], 0.0)

    independent = min(float((pt * below(vb, cb, vt, "left")).sum()), 1.0)
    less_b, less_t = below(vb, cb, cuts, "left"), below(vt, ct, cuts, "left")
    upto_t = below(vt, ct, cuts, "right")
    lowest = max(float((less_b - less_t).max(initial=0.0)), 0.0)
    upto_b = below(vb, cb, cuts, "right")
    lowest = max(lowest, float((upto_b - upto_t).max(initial=0.0)))
    highest = min(float((less_b + 1 - upto_t).min(initial=1.0)), 1.0)
    return independent, min(lowest, independent), max(highest, independent)


def _sorted(values: Array, law: Array) -> tuple[Array, Array]:
    kept = np.flatnonzero(law > 0)
    order = kept[np.argsort(values[kept], kind="stable")]
    return values[order], law[order] / law[order].sum()


def compare(
    chosen: tuple[Array, Array],
    best: tuple[Array, Array],
    draws: int,
    rng: np.random.Generator,
    checks: int,
) -> OutcomeComparison:
    """Chosen against best, each drawn on its own.

    Parameters
    ----------
    chosen, best
        (values less the value before, probabilities) over the cells.
    """
    first, second = rng.spawn(2)
    spread_chosen, _ = spread_of(*chosen, draws, first, checks)
    spread_best, _ = spread_of(*best, draws, second, checks)
    independent, lowest, highest = ends_worse(best, chosen)
    return OutcomeComparison(spread_chosen, spread_best, independent, lowest, highest)
