"""How every refit differs from the point fit, over a plan of situations.

A hundred refits of forty thousand fourth downs are too many to value one by one. What a refit
says of a situation is the point fit, which is exact and fast, and a difference that is smooth.
The differences are worked out on a plan of first downs, dense where the half runs out, and read
off between its points. Points of the plan are worked out when they are first asked for, so a
game costs little and a decade not much more.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np
from pointsleft_models.values.states import States, states

from pointsleft.calls.knots import FEW

Array = np.ndarray

#: (1 + refits, n) values of n states.
Valuer = Callable[[States], Array]

#: States valued at once.
AT_ONCE = 1024

#: Seconds left in the half: the plan is coarse above the first, dense below.
LATE = 300
_EARLY = (300, 420, 600, 800, 1000, 1200, 1500, 1800)
_FIRST_HALF = (0, 5, 12, 25, 45, 75, 120, 190, 300)
_SECOND_HALF = (0, 2, 5, 9, 14, 20, 30, 45, 60, 90, 120, 160, 220, 300)

#: Points ahead: one by one where a score turns the game, coarser beyond.
_ALL_LEADS = (-42, -28, -21, -17, -14, *range(-11, 12), 14, 17, 21, 28, 42)
_FEW_LEADS = (-42, -28, -21, -17, -14, -11, -9, -7, -5, -3, -1, 0, 1, 3, 5, 7, 9, 11, 14, 17, 21,
              28, 42)  # fmt: skip

#: Time-outs of one side.
_TIMEOUTS = (0, 1, 2, 3)


@dataclass(frozen=True, slots=True)
class Section:
    """One part of the plan: the points of every axis, rising."""

    half: int
    seconds: tuple[int, ...]
    leads: tuple[int, ...]
    receives: tuple[int, ...]

    @property
    def axes(self) -> tuple[tuple[int, ...], ...]:
        """Seconds left, points ahead, own and other time-outs, who receives."""
        return self.seconds, self.leads, _TIMEOUTS, _TIMEOUTS, self.receives

    @property
    def shape(self) -> tuple[int, ...]:
        return tuple(len(axis) for axis in self.axes)

    @property
    def size(self) -> int:
        return int(np.prod(self.shape))


def plan(*, wins: bool) -> tuple[Section, ...]:
    """The four sections: first half early and late, second half early and late.

    Points do not depend on the score nor on the second half's kickoff.
    """
    both = (-1, 1) if wins else (0,)
    few = _FEW_LEADS if wins else (0,)
    leads = _ALL_LEADS if wins else (0,)
    return (
        Section(1, _EARLY, few, both),
        Section(1, _FIRST_HALF, few, both),
        Section(2, _EARLY, leads, (0,)),
        Section(2, _SECOND_HALF, leads, (0,)),
    )


#: (section, cells) -> (cells, spots, refits) differences.
Source = Callable[[Section, Array], Array]


class Differences:
    """Refits less point fit.

    Parameters
    ----------
    sections
        The plan.
    source
        Works cells of a section out.
    spots, refits
        Size of what it gives for each cell.
    """

    def __init__(
        self, sections: tuple[Section, ...], source: Source, spots: int, refits: int
    ) -> None:
        self.sections = sections
        self.refits = refits
        self._source = source
        self._tables = [np.zeros((s.size, spots, refits), dtype=np.float32) for s in sections]
        self._done = [np.zeros(s.size, dtype=bool) for s in sections]

    def at(
        self, half: Array, seconds: Array, lead: Array, own: Array, other: Array, receives: Array
    ) -> Array:
        """(n, spots, refits) differences of first downs at the spots of ``FEW``."""
        out = np.zeros((len(half), *self._tables[0].shape[1:]), dtype=np.float32)
        late = seconds < LATE
        for number, section in enumerate(self.sections):
            rows = np.flatnonzero((half == section.half) & (late == (number % 2 == 1)))
            if not len(rows):
                continue
            here = [c[rows] for c in (seconds, lead, own, other, receives)]
            for index, weight in _corners(section, here):
                some = np.flatnonzero(weight > 1e-6)
                if len(some):
                    part = self._rows(number, index[some])
                    out[rows[some]] += weight[some, None, None].astype(np.float32) * part
        return out

    def _rows(self, number: int, cells: Array) -> Array:
        done = self._done[number]
        missing = np.unique(cells[~done[cells]])
        if len(missing):
            self._tables[number][missing] = self._source(self.sections[number], missing)
            done[missing] = True
        return np.asarray(self._tables[number][cells])

    def averaged(self, weights: Array) -> Differences:
        """The same with the spots averaged: (n, 1, refits), from weights (spots,)."""
        few = weights.astype(np.float32)

        def source(section: Section, cells: Array) -> Array:
            whole = self._rows(self.sections.index(section), cells)
            return np.einsum("ckr,k->cr", whole, few)[:, None]

        return Differences(self.sections, source, 1, self.refits)


def _corners(section: Section, coordinates: list[Array]) -> Iterator[tuple[Array, Array]]:
    """Cells around each place and their weights: straight between the points of every axis."""
    sides = [_between(a, v) for a, v in zip(section.axes, coordinates, strict=True)]
    for picked in product(*sides):
        weight = np.prod([w for _, w in picked], axis=0)
        yield np.ravel_multi_index(tuple(i for i, _ in picked), section.shape), weight


def _between(axis: tuple[int, ...], value: Array) -> list[tuple[Array, Array]]:
    """Points on both sides of each value, and their weights."""
    points = np.asarray(axis, dtype=float)
    if len(points) == 1:
        return [(np.zeros(len(value), dtype=int), np.ones(len(value)))]
    if axis == _TIMEOUTS:  # every value is a point
        return [(value.astype(int), np.ones(len(value)))]
    x = np.clip(value, points[0], points[-1])
    right = np.clip(np.searchsorted(points, x), 1, len(points) - 1)
    share = (x - points[right - 1]) / (points[right] - points[right - 1])
    return [(right - 1, 1 - share), (right, share)]


def differences(value: Valuer, refits: int, *, wins: bool) -> Differences:
    """Differences of a currency.

    Parameters
    ----------
    value
        (1 + refits, n) of n states, the point fit first.
    wins
        Whether the values are wins: points need no score.
    """

    def source(section: Section, cells: Array) -> Array:
        index = np.unravel_index(cells, section.shape)
        columns = [np.asarray(a)[i] for a, i in zip(section.axes, index, strict=True)]
        seconds, lead, own, other, receives = (np.repeat(c, len(FEW)) for c in columns)
        spot = np.tile(FEW, len(cells))
        rows = []
        for first in range(0, len(spot), AT_ONCE):
            some = slice(first, first + AT_ONCE)
            found = value(
                states(
                    down=1, distance=10, yards_to_goal=spot[some], half=section.half,
                    half_seconds=seconds[some], lead=lead[some], own_timeouts=own[some],
                    opponent_timeouts=other[some], receives=receives[some],
                )
            )  # fmt: skip
            rows.append((found[1:] - found[:1]).T.astype(np.float32))
        return np.concatenate(rows).reshape(len(cells), len(FEW), -1)

    return Differences(plan(wins=wins), source, len(FEW), refits)
