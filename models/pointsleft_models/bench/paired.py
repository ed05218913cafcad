"""Losses of several learners on the same rows, and the interval of their differences.

Rows of one game share a winner and most of a next score, so games are what is drawn again. The
losses of two learners on one game move together: their difference is drawn as one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pointsleft_models.values.half_time import SCORES

Array = np.ndarray

#: Draws of the games, and the two ends of a 90% interval.
DRAWS = 2000
ENDS = (0.05, 0.95)

#: Chances below this are taken as this, so that one sure mistake does not decide a score.
LEAST = 1e-9


@dataclass(frozen=True, slots=True)
class Difference:
    """Ours less another's mean loss: negative where ours is better; with a 90% interval."""

    value: float
    low: float
    high: float


def log_losses(p: Array, y: Array) -> Array:
    """Log loss (n,) of the chances (n, classes) of the classes (n,) that came."""
    right = np.asarray(p)[np.arange(len(y)), y].astype(float)
    return -np.log(np.clip(right, LEAST, 1.0))


def brier(p: Array, y: Array) -> float:
    """Mean squared error of the chance of class 1 of two."""
    return float(((p[:, 1].astype(float) - y) ** 2).mean())


def points_off(p: Array, y: Array) -> float:
    """Mean distance of expected points, from chances (n, 7), from those of what came (n,)."""
    worth = np.array(SCORES, dtype=float)
    return float(np.abs(p.astype(float) @ worth - worth[y]).mean())


def difference(
    ours: Array,
    theirs: Array,
    games: Array,
    rng: np.random.Generator,
    weights: Array | None = None,
) -> Difference:
    """Mean of ``ours`` less mean of ``theirs``, with an interval from games drawn again.

    Parameters
    ----------
    ours, theirs
        (n,) losses of the same rows.
    games
        (n,) identifiers.
    weights
        (n,) rows that each entry stands for; one each where absent.
    """
    _, at = np.unique(games, return_inverse=True)
    weights = np.ones(len(at)) if weights is None else weights
    total = np.bincount(at, weights=weights * (ours - theirs))
    rows = np.bincount(at, weights=weights)
    many = len(rows)
    drawn = rng.multinomial(many, np.full(many, 1 / many), size=DRAWS).astype(float)
    means = (drawn @ total) / (drawn @ rows)
    low, high = np.quantile(means, ENDS)
    return Difference(float(total.sum() / rows.sum()), float(low), float(high))
