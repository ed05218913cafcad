"""Agreement beyond chance: kappa, weighted kappa, and agreement among a snap's own options.

The arithmetic is that of ``statsmodels.stats.inter_rater``; what is added is the interval from
snaps drawn again, since the words of one snap come from one look at it.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

Array = np.ndarray

#: Central interval, as everywhere.
LOW, HIGH = 0.05, 0.95

#: Share of the redrawn snaps that must give a figure, or no interval is given.
ENOUGH = 0.9


@dataclass(frozen=True, slots=True)
class Measure:
    """One figure with its 90% interval.

    ``value`` is ``None`` where it is not defined (nothing to compare, or both say one word
    throughout, so that agreement by chance is certain); ``low`` and ``high`` where too few of
    the redrawn snaps define it.
    """

    value: float | None
    low: float | None = None
    high: float | None = None


def table(first: Sequence[int], second: Sequence[int], categories: int) -> Array:
    """(categories, categories) counts of pairs of words."""
    out = np.zeros((categories, categories))
    np.add.at(out, (np.asarray(first, int), np.asarray(second, int)), 1.0)
    return out


def kappa(counts: Array, distances: Array | None = None) -> float | None:
    """Cohen's kappa of a table of counts; weighted where ``distances`` are given.

    Parameters
    ----------
    distances
        (categories, categories) how far apart two words are, 0 on the diagonal (Cohen 1968).

    Returns
    -------
    float or None
        1 for perfect agreement, 0 for that of chance, negative below it; ``None`` where both
        use one and the same word throughout, or nothing was counted.
    """
    from statsmodels.stats.inter_rater import cohens_kappa

    if counts.sum() == 0:
        return None
    rows, columns = counts.sum(1) > 0, counts.sum(0) > 0
    if (rows | columns).sum() < 2:
        return None
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)
        found = float(cohens_kappa(counts, weights=distances, return_results=False))
    return found if np.isfinite(found) else None


def within_options(agreed: Array, options: Array) -> float | None:
    """Agreement on one of several things beyond drawing lots among them.

    ``(p - c) / (1 - c)`` with p the share agreed and c the mean of one over the number of
    options. The options differ from snap to snap, so there are no common words whose margins
    could be counted; this is kappa with the margins of Brennan & Prediger (1981), each snap with
    its own number of options.

    Parameters
    ----------
    agreed
        (snaps,) whether both chose the same.
    options
        (snaps,) how many options either saw, at least 2.
    """
    if not len(agreed):
        return None
    chance = float((1 / options).mean())
    return float((float(agreed.mean()) - chance) / (1 - chance))


def with_interval(
    statistic: Callable[[Array], float | None], snaps: int, draws: int, rng: np.random.Generator
) -> Measure:
    """A figure over some snaps and its interval from snaps drawn again.

    Parameters
    ----------
    statistic
        The figure over the snaps of some indices (repeats allowed).
    draws
        How often snaps are drawn.
    """
    value = statistic(np.arange(snaps))
    if value is None or snaps < 2 or not draws:
        return Measure(value)
    again = [statistic(rng.integers(0, snaps, snaps)) for _ in range(draws)]
    known = [x for x in again if x is not None]
    if len(known) < ENOUGH * draws:
        return Measure(value)
    low, high = np.quantile(known, [LOW, HIGH])
    return Measure(value, float(low), float(high))
