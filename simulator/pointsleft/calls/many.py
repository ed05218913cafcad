"""Thousands of fourth downs priced together, point fit and refits.

The same sum that :class:`pointsleft.pricing.cells.SnapValues` makes for one snap, written over
columns. What is approximated, and how far it moves a value, is held in
``tests/simulator/calls/test_calls_many.py``: laws of spots stand on a few knots, and refits are
the point fit with a difference read off a plan.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.rules import RuleSet
from pointsleft_models.laws.setting import UNHURRIED, Setting

from pointsleft.calls.differences import Differences, differences
from pointsleft.calls.downs import Downs
from pointsleft.calls.knots import FEW, KNOTS, hats
from pointsleft.calls.moments import Moments, moments
from pointsleft.calls.parts import OPTIONS, Parts, law_of, offered, parts_of
from pointsleft.calls.worths import Money, Points, Situations, Wins

Array = np.ndarray

#: Options whose laws move with the years (``laws/years.py``).
OF_A_YEAR = ("field goal", "punt")

#: Fourth downs worked on at once.
AT_ONCE = 1500


@dataclass(frozen=True, slots=True)
class ManyValues:
    """Values of fourth downs.

    Attributes
    ----------
    points, wins
        (n, 3, fits) by option of :data:`~pointsleft.calls.parts.OPTIONS`, the point fit first;
        not a number where an option is not priced from there.
    converted, made
        (n,) chance that going converts, and that a field goal is good, point fit.
    """

    points: Array
    wins: Array
    converted: Array
    made: Array


@dataclass(frozen=True, slots=True)
class Plans:
    """Differences of the refits in both currencies."""

    points: Differences
    wins: Differences


def plans(models: Models, rules: RuleSet) -> Plans:
    """Both plans under one rule set; the differences hardly know the rules."""
    worth = models.under(rules)
    return Plans(
        differences(worth.points.points_all, models.refits, wins=False),
        differences(worth.wins.wins_all, models.refits, wins=True),
    )


@dataclass(frozen=True, slots=True)
class _Weights:
    """A law on the knots.

    ``spots``: kind -> (fits, KNOTS), (refits, FEW) and total probability (fits,).
    """

    spots: dict[str, tuple[Array, Array, Array]]
    scores: Array
    converted: float
    made: float


#: Option, year of kicking, yards to go, yards to goal -> law on the knots.
Known = dict[tuple[str, int | None, int, int], _Weights]


class ManyCalls:
    """Prices fourth downs under one rule set.

    Parameters
    ----------
    plans
        See :func:`plans`.
    known
        Laws on the knots that are shared between rule sets; its own where absent.
    """

    def __init__(self, worth: Worth, plans: Plans, known: Known | None = None) -> None:
        self.worth = worth
        self._points = Points(worth, plans.points)
        self._wins = Wins(worth, plans.wins)
        self._fits = 1 + plans.points.refits
        self._known: Known = {} if known is None else known

    def values(self, at: Downs) -> ManyValues:
        """Both currencies for every fourth down."""
        n = len(at)
        points = np.empty((n, len(OPTIONS), self._fits), dtype=np.float32)
        wins = np.empty_like(points)
        order = np.lexsort((at.distance, at.yards_to_goal))  # equal laws beside one another
        for first in range(0, n, AT_ONCE):
            rows = order[first : first + AT_ONCE]
            some = at.take(rows)
            when = moments(self.worth.clock, self.worth.rules, some)
            points[rows] = self._money(some, when, self._points)
            wins[rows] = self._money(some, when, self._wins)
        barred = ~offered(at.yards_to_goal)
        points[barred] = wins[barred] = np.nan
        chances = [
            (self._weights("go", d, y).converted, self._weights("field goal", 1, y).made)
            for d, y in zip(at.distance.tolist(), at.yards_to_goal.tolist(), strict=True)
        ]
        converted, made = np.array(chances).reshape(n, 2).T
        return ManyValues(points, wins, converted, np.where(barred[:, 1], np.nan, made))

    def _money(
        self, at: Downs, when: dict[tuple[str, str], Moments], money: Money
    ) -> Array:  # fmt: skip
        out = np.zeros((len(at), len(OPTIONS), self._fits))
        for (option, kind), m in when.items():
            column = OPTIONS.index(option)
            if (option, kind) == ("field goal", "stopped"):
                continue  # nothing of this law ends so
            where = Situations(
                at.half[m.row],
                m.seconds,
                at.lead[m.row],
                m.own,
                m.other,
                at.receives[m.row],
                at.spread[m.row],
            )
            value = self._scored(at, m, where, money, option) if kind == "score" else (
                self._played(at, m, where, money, option, kind)
            )  # fmt: skip
            np.add.at(out[:, column], m.row, m.weight[:, None] * value)
        return out

    def _scored(self, at: Downs, m: Moments, where: Situations, money: Money, option: str) -> Array:
        scores = money.scores(where)
        out = np.empty((len(m.row), self._fits))
        for rows, weights in self._groups(at, m, option):
            out[rows] = np.einsum("msf,fs->mf", scores[rows], weights.scores)
        return out

    def _played(
        self, at: Downs, m: Moments, where: Situations, money: Money, option: str, kind: str
    ) -> Array:
        """(m, fits) worth of what the play leads to at each moment, times its probability."""
        lost = kind == "lost"
        seen = where.turned() if lost else where
        point = money.knots(seen)
        moved = money.moved(seen)
        out = np.empty((len(m.row), self._fits))
        for rows, weights in self._groups(at, m, option):
            many, few, mass = weights.spots[kind]
            value = point[rows] @ many.T
            value[:, 1:] += np.einsum("mkr,rk->mr", moved[rows], few)
            out[rows] = money.turned(value, mass) if lost else value
        ended = np.flatnonzero(m.seconds <= 0)
        if len(ended):
            over = money.over(where.take(ended))
            for rows, weights in self._groups(at, m, option):
                here = np.isin(ended, rows)
                out[ended[here]] = over[here] * weights.spots[kind][2]
        return out

    def _groups(self, at: Downs, m: Moments, option: str) -> Iterator[tuple[Array, _Weights]]:
        """Moments of fourth downs with one law."""
        distance, spot = at.distance[m.row], at.yards_to_goal[m.row]
        if option != "go":
            distance = np.ones_like(distance)
        key = spot * 100 + distance
        order = np.argsort(key, kind="stable")
        edges = np.flatnonzero(np.diff(key[order])) + 1
        for rows in np.split(order, edges):
            if len(rows):
                yield rows, self._weights(option, int(distance[rows[0]]), int(spot[rows[0]]))

    def _weights(self, option: str, distance: int, spot: int) -> _Weights:
        year = self.worth.library.year if option in OF_A_YEAR else None
        key = option, year, distance, spot
        if key not in self._known:
            self._known[key] = _weights(self.worth, option, distance, spot, self._fits)
        return self._known[key]


def _weights(worth: Worth, option: str, distance: int, spot: int, fits: int) -> _Weights:
    at = Setting(4, distance, spot, 1, UNHURRIED, 0)
    parts: Parts = parts_of(law_of(worth, option, at, refits=True), at)
    many, few = hats(KNOTS), hats(FEW)
    spots = {}
    named = {"running": parts.kept_running, "stopped": parts.kept, "lost": parts.lost}
    for kind, law in named.items():
        full = np.broadcast_to(law, (fits, law.shape[1]))
        spots[kind] = full @ many, (full[1:] @ few).astype(np.float32), full.sum(1)
    scores = np.broadcast_to(parts.scores, (fits, 4))
    return _Weights(spots, scores, float(parts.converted[0]), float(parts.scores[0, 1]))
