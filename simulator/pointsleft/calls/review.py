"""A whole play table reviewed: what every call left, and how settled the best one was."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from pointsleft_models.bundle import Models
from pointsleft_models.fitting.resample import SHIPPED

from pointsleft.calls.many import Known, ManyCalls, ManyValues, plans
from pointsleft.calls.play_table import UNSEEN, FourthDowns
from pointsleft.calls.seasons import rules_of
from pointsleft.calls.settling import best_and_share
from pointsleft.pricing.progress import Progress, quiet

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Currents:
    """One currency of a review.

    Attributes
    ----------
    best
        (n,) the best call of the point fit.
    share
        (n,) share of the refits that put it first.
    left
        (n,) best less called, never negative; not a number where no call is seen.
    crossfit
        (n,) the same where some parts of the games choose the best call and another values it,
        averaged: no luck passes from the choice to the value. It may be negative for one call.
    refits
        (n, refits) best less called under every refit, the best call held fixed.
    """

    best: Array
    share: Array
    left: Array
    crossfit: Array
    refits: Array


@dataclass(frozen=True, slots=True)
class Review:
    """Every fourth down of a table, priced.

    ``values`` are those of the point fit, (n, 3) by option, not a number where it is not open.
    """

    downs: FourthDowns
    points: Currents
    wins: Currents
    values_points: Array
    values_wins: Array
    converted: Array
    made: Array
    refits: int
    levels: str

    @property
    def seen(self) -> Array:
        """(n,) whether a call was seen and is priced."""
        return ~np.isnan(self.wins.left)


def review(
    models: Models, table: FourthDowns, *, workers: int = 2, progress: Progress = quiet
) -> Review:
    """Price every fourth down of a table under the rules of its season.

    Parameters
    ----------
    workers
        Threads; the result does not depend on their number.
    """
    n = len(table)
    season = table.season
    last = int(season.max()) if n else 0
    shared = plans(models, rules_of(table.level, last))
    jobs = [
        (int(s), rows)
        for half in (2, 1)  # the halves share no plan, so threads do not work out the same
        for s in np.unique(season)
        for rows in [np.flatnonzero((season == s) & (table.at.half == half))]
        if len(rows)
    ]
    by_season = {s: models.under(rules_of(table.level, s)) for s, _ in jobs}
    out = _Columns(n, models.refits)
    known: Known = {}

    def work(half: int) -> None:
        for s, rows in jobs:
            if table.at.half[rows[0]] != half:
                continue
            values = ManyCalls(by_season[s], shared, known).values(table.at.take(rows))
            out.fill(rows, values, table.called[rows])

    if workers > 1:
        with ThreadPoolExecutor(2) as pool:
            list(progress(pool.map(work, (2, 1)), 2, "pricing fourth downs"))
    else:
        list(progress(map(work, (2, 1)), 2, "pricing fourth downs"))
    return out.review(table, models.level, models.refits)


class _Columns:
    """The columns of a review while it is made."""

    def __init__(self, n: int, refits: int) -> None:
        self.currents = {
            name: Currents(
                np.zeros(n, dtype=int), np.zeros(n), np.full(n, np.nan), np.full(n, np.nan),
                np.full((n, refits), np.nan, dtype=np.float32),
            )
            for name in ("points", "wins")
        }  # fmt: skip
        self.values = {name: np.full((n, 3), np.nan) for name in ("points", "wins")}
        self.chances = np.full((n, 2), np.nan)

    def fill(self, rows: Array, found: ManyValues, called: Array) -> None:
        self.chances[rows] = np.stack([found.converted, found.made], 1)
        for name, values in (("points", found.points), ("wins", found.wins)):
            self.values[name][rows] = values[..., 0]
            into, part = self.currents[name], currents_of(values, called)
            for column in Currents.__slots__:
                getattr(into, column)[rows] = getattr(part, column)

    def review(self, table: FourthDowns, level: str, refits: int) -> Review:
        return Review(
            table, self.currents["points"], self.currents["wins"], self.values["points"],
            self.values["wins"], self.chances[:, 0], self.chances[:, 1], refits, level,
        )  # fmt: skip


def currents_of(values: Array, called: Array) -> Currents:
    """One currency of some fourth downs.

    Parameters
    ----------
    values
        (n, 3, fits), the point fit first, not a number where a call is not open.
    called
        (n,) index of the call, -1 where none is seen.
    """
    best, share = best_and_share(values)
    rows = np.arange(len(values))
    seen = (called != UNSEEN) & ~np.isnan(values[rows, np.maximum(called, 0), 0])
    taken = values[rows, np.maximum(called, 0)]
    refits = np.where(seen[:, None], values[rows, best, 1:] - taken[:, 1:], np.nan)
    left = np.where(seen, values[rows, best, 0] - taken[:, 0], np.nan)
    cross = np.where(seen, _crossfit(values[..., 1:], taken[:, 1:]), np.nan)
    return Currents(best, share, left, cross, refits.astype(np.float32))


def _crossfit(values: Array, taken: Array) -> Array:
    """(n,) the other parts of a cut choose, the part itself values; mean over all parts."""
    n, options, refits = values.shape
    if refits == 0 or refits % SHIPPED.parts:
        return np.full(n, np.nan)
    cuts = values.reshape(n, options, -1, SHIPPED.parts)
    others = (cuts.sum(-1, keepdims=True) - cuts).reshape(n, options, refits)
    pick = np.where(np.isnan(others), -np.inf, others).argmax(1)
    picked = np.take_along_axis(values, pick[:, None, :], axis=1)[:, 0]
    return np.asarray((picked - taken).mean(-1))
