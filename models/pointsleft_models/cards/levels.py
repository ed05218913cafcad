"""Where the levels of play differ: values side by side with their intervals, as data.

``python -m pointsleft_models.cards.level_page`` writes the page and its picture from these.
No figure of it is typed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.field import KICK_EXTRA
from pointsleft_models.football.rules import rule_set
from pointsleft_models.laws.lattice import RUNNING, SPOTS, STOPPED, TOUCHDOWN
from pointsleft_models.laws.setting import Setting
from pointsleft_models.values.states import states

Array = np.ndarray

#: Central part of the intervals, and the rules under which every level is looked at.
LEVEL, SEASON = 90, 2016


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a level.

    Attributes
    ----------
    low, high
        Ends of the central interval over the refits.
    """

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Row:
    """One figure at every level.

    Attributes
    ----------
    unit
        ``points``, ``yards`` or ``share``.
    own
        Level -> whether the figure rests on plays of that level.
    """

    group: str
    what: str
    unit: str
    figures: dict[str, Figure]
    own: dict[str, bool]

    def apart(self) -> bool:
        """Whether no two levels' intervals meet."""
        ends = sorted((f.low, f.high) for f in self.figures.values())
        return all(a[1] < b[0] for a, b in pairwise(ends))


@dataclass(frozen=True, slots=True)
class Curve:
    """A figure along the field at every level: level -> (3, n) value, low, high."""

    what: str
    x_label: str
    unit: str
    x: Array
    lines: dict[str, Array]


Measured = Callable[[Worth], Array]  # (1 + refits,) the point fit first


def figure(fits: Array) -> Figure:
    """A figure from its value under every fit (1 + refits,)."""
    edge = (100 - LEVEL) / 2
    again = fits[1:] if len(fits) > 1 else fits
    low, high = np.percentile(again, [edge, 100 - edge])
    return Figure(float(fits[0]), float(low), float(high))


def _points(**at: Any) -> Measured:
    return lambda worth: worth.points.points_all(states(**at))[:, 0]


def _wins(**at: Any) -> Measured:
    return lambda worth: worth.wins.wins_all(states(half=2, **at))[:, 0]


def _at(down: int, distance: int, yards_to_goal: int) -> Setting:
    return Setting(down, distance, yards_to_goal, 1, 900, 0)


def _logit(name: str, **values: int) -> Measured:
    return lambda worth: worth.library.logit(name).probability(values, refits=True)


def _mean_run(distance: int, spot: int) -> Measured:
    def mean(worth: Worth) -> Array:
        law = worth.rushing.run(_at(1, distance, spot), "guard", refits=True)
        kept = law.cells[:, 0]  # the ball is not lost
        stopped = kept[:, RUNNING : RUNNING + SPOTS] + kept[:, STOPPED : STOPPED + SPOTS]
        return np.asarray(stopped @ (spot - np.arange(1, SPOTS + 1)) + kept[:, TOUCHDOWN] * spot)

    return mean


#: Group, figure, unit, how to measure it, and the components (or value) it rests on.
MEASURED: tuple[tuple[str, str, str, Measured, tuple[str, ...]], ...] = (
    *(
        ("Expected points, first and ten", f"at {words}", "points",
         _points(yards_to_goal=spot, half_seconds=900), ("td",))
        for spot, words in ((90, "own 10"), (75, "own 25"), (50, "the 50"), (25, "opp 25"),
                            (10, "opp 10"))
    ),
    ("Expected points, first and ten", "third and 8 at own 25", "points",
     _points(down=3, distance=8, yards_to_goal=75, half_seconds=900), ("td",)),
    *(
        ("Win probability, first and ten at own 25, ball just received", words, "share",
         _wins(yards_to_goal=75, half_seconds=seconds, lead=lead), ("wins",))
        for lead, seconds, words in (
            (-7, 1800, "trailing by 7 at half time"), (-3, 300, "trailing by 3, 5:00 left"),
            (4, 120, "leading by 4, 2:00 left"), (-8, 600, "trailing by 8, 10:00 left"),
        )
    ),
    *(
        ("Going for it (as teams play it)", f"fourth and {d} at opp 40 converted", "share",
         lambda worth, d=d: worth.going.conversion(_at(4, d, 40), refits=True), ("go",))
        for d in (1, 2, 4, 8)
    ),
    ("Runs", "mean of a first-down run over guard at midfield", "yards", _mean_run(10, 50),
     ("run",)),
    *(
        ("Kicks", f"field goal of {y} yards good", "share",
         lambda worth, y=y: worth.kicking.make_chance(y, refits=True), ("field goal",))
        for y in (25, 35, 45, 52)
    ),
    ("Kicks", "kicked try good", "share",
     lambda worth: worth.library.logit("extra point").probability(
         {"long": int(worth.rules.extra_point_snap >= 10)}, refits=True), ("extra point",)),
    ("Kicks", "two-point try good", "share", _logit("two-point", passed=1), ("two-point",)),
    ("Kicks", "kickoff touched back", "share", _logit("kickoff touchback", era=3),
     ("kickoff touchback",)),
    ("Turnovers", "lost fumble carried home", "share", _logit("fumble returned", sacked=0),
     ("fumble returned",)),
    ("Throws", "throw of 10 air yards to the right caught at midfield", "share",
     _logit("complete", air=10, third_code=3, near=30, in_end_zone=0, down0=0), ("complete",)),
)  # fmt: skip


def worths(models: dict[str, Models]) -> dict[str, Worth]:
    """Every level under its own rules of the season looked at."""
    return {name: own.under(rule_set(own.rules_level, SEASON)) for name, own in models.items()}


def rows(models: dict[str, Models]) -> list[Row]:
    """Every figure at every level."""
    under = worths(models)
    out = []
    for group, what, unit, measure, parts in MEASURED:
        out.append(
            Row(
                group,
                what,
                unit,
                {name: figure(np.asarray(measure(worth)).ravel()) for name, worth in under.items()},
                {name: not _taken(own, parts) for name, own in models.items()},
            )
        )
    return out


def _taken(models: Models, parts: tuple[str, ...]) -> bool:
    return any(part in taken for taken in models.borrowed.values() for part in parts)


def curves(models: dict[str, Models]) -> list[Curve]:
    """The figures of the picture."""
    under = worths(models)
    spots = np.arange(1, 100)

    def points(worth: Worth) -> Array:
        return worth.points.points_all(states(yards_to_goal=spots, half_seconds=900))

    def going(worth: Worth) -> Array:
        return np.stack(
            [worth.going.conversion(_at(4, d, 45), refits=True) for d in range(1, 13)], axis=1
        )

    def kicks(worth: Worth) -> Array:
        return np.asarray(worth.kicking.make_chance(np.arange(19, 40) + KICK_EXTRA, refits=True))

    leads = np.arange(-16, 17)

    def wins(worth: Worth) -> Array:
        return worth.wins.wins_all(states(yards_to_goal=75, half=2, half_seconds=900, lead=leads))

    drawn = (
        ("Expected points, first and ten", "yards to the goal line", "points", spots, points),
        ("Chance to win, ball at own 25, 15:00 left", "points ahead", "share", leads, wins),
        ("Fourth down at opp 45 converted", "yards to go", "share", np.arange(1, 13), going),
        ("Field goal good", "yards of the kick", "share", np.arange(19, 40) + KICK_EXTRA, kicks),
    )
    edge = (100 - LEVEL) / 2
    out = []
    for what, label, unit, x, measure in drawn:
        lines = {}
        for name, worth in under.items():
            fits = np.asarray(measure(worth))
            low, high = np.percentile(fits[1:] if len(fits) > 1 else fits, [edge, 100 - edge], 0)
            lines[name] = np.stack([fits[0], low, high])
        out.append(Curve(what, label, unit, x, lines))
    return out
