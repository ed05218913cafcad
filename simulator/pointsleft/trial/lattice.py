"""Situations of the trial on a lattice, and drives on it.

A drive moves over few enough situations that film can be laid out for each of them. After every
play spot and distance are put on a point of the lattice next to where they are, drawn so that the
mean stays.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from pointsleft_models.football.rules import RuleSet
from pointsleft_models.football.situation import Situation

Array = np.ndarray

#: Yards to goal and yards to go that are told apart.
SPOTS = np.array(
    (1, 2, 3, 5, 7, 10, 13, 17, 21, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 86, 92, 97, 99)
)
DISTANCES = np.array((1, 2, 3, 4, 6, 8, 10, 15, 20))

#: The clock stands far from any end, and the score is level.
PERIOD, SECONDS = 1, 480


@dataclass(frozen=True, slots=True)
class Point:
    """One situation of the lattice; ``distance`` runs to the goal line at most."""

    down: int
    distance: int
    spot: int

    def situation(self, rules: RuleSet) -> Situation:
        return Situation(
            period=PERIOD, seconds=SECONDS, down=self.down, distance=self.distance,
            yards_to_goal=self.spot, lead=0, rules=rules,
        )  # fmt: skip


@cache
def points() -> tuple[Point, ...]:
    """Every situation."""
    out = []
    for spot in SPOTS.tolist():
        out.append(Point(1, min(10, spot), spot))
        for down in (2, 3, 4):
            to_go = sorted({min(d, spot) for d in DISTANCES.tolist()})
            out += [Point(down, d, spot) for d in to_go if d in DISTANCES or d == spot]
    return tuple(out)


@cache
def _index() -> Array:
    """(5, 21, 100) place of a situation, -1 where it is none."""
    out = np.full((5, int(DISTANCES.max()) + 1, 100), -1)
    for at, p in enumerate(points()):
        if p.distance <= DISTANCES.max():
            out[p.down, p.distance, p.spot] = at
        elif p.distance == p.spot:
            out[p.down, int(DISTANCES.max()), p.spot] = at
    return out


def between(values: Array, marks: Array, u: Array) -> Array:
    """Values put on one of the two marks beside them, their mean kept inside the marks."""
    high = np.clip(np.searchsorted(marks, values), 0, len(marks) - 1)
    low = np.clip(high - (marks[high] > values), 0, len(marks) - 1)
    gap = np.maximum(marks[high] - marks[low], 1)
    share = np.clip((values - marks[low]) / gap, 0, 1)
    return np.where(u < share, marks[high], marks[low])


def place(down: Array, distance: Array, spot: Array, rng: np.random.Generator) -> Array:
    """(n,) index of the situation beside down, distance and spot."""
    u = rng.random((2, len(down)))
    on = between(spot, SPOTS, u[0])
    to_go = between(distance, DISTANCES, u[1])
    first = down == 1
    goal = distance >= spot
    to_go = np.where(first, np.minimum(10, on), np.where(goal, on, np.minimum(to_go, on)))
    found = _index()[down, np.minimum(to_go, DISTANCES.max()), on]
    # a distance that runs to the goal line is one of the lattice whatever it is
    goal_line = _index()[down, np.minimum(on, DISTANCES.max()), on]
    return np.where(found >= 0, found, goal_line)
