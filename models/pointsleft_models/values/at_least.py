"""Situations as good as harder ones.

The next score and the winner are fitted to what teams do, and teams do different things in
situations that are close: near the goal with the game level and little time a fit can have
fourth and one, where they tend to go, worth less than fourth and three, where they kick. But
whatever can be done in a harder situation can be done in an easier one. So a third or fourth
down is worth at least as much as the same one with more to go, and late in a half within reach of
a kick, where the fits are thinnest and time counts for more than downs, a down at least as much as
any later one.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pointsleft_models.fitting.within import within
from pointsleft_models.values.states import FOURTH_DISTANCE, States

Array = np.ndarray

#: Distances that a shorter third or fourth down is held against: the bends of the fit.
FOURTH = (2, 3, 5, 7, FOURTH_DISTANCE)
DISTANCES: dict[int, tuple[int, ...]] = {3: (*FOURTH, 14, 20), 4: FOURTH}

#: From so many seconds left in the half on, and so near to the goal, a down is held against every
#: later one, with the same or more to go.
LATE, REACH = 240, 45
LATER: dict[int, tuple[int, ...]] = {2: (), 3: (3, 5, 7, 10, 14, 20), 4: (3, 5, 7, 10)}

#: More to go than any of these makes no difference; no distance of its own stands for the same.
FARTHEST, SAME = 21, 0


def _harder(late: bool, down: int, distance: int) -> list[tuple[int, int]]:
    """Down and distance of what a situation is held against."""
    found = [(down, d) for d in DISTANCES.get(down, ()) if d > distance]
    for later, distances in LATER.items():
        if late and later > down:
            found += [(later, SAME), *((later, d) for d in distances if d > distance)]
    return found


#: Every situation's harder ones, by (late, down, distance): how many, where the first stands in
#: the list of them all, and that list (down and distance).
_EACH = [
    _harder(late, down, distance)
    for late in (False, True)
    for down in range(1, 5)
    for distance in range(1, FARTHEST + 1)
]
_COUNT = np.array([len(each) for each in _EACH])
_FIRST = np.cumsum(_COUNT) - _COUNT
_DOWN, _DISTANCE = np.array([pair for each in _EACH for pair in each]).T


def _kind(at: States) -> Array:
    """Place (n,) of every situation in the list of what it is held against."""
    late = (at.half_seconds <= LATE) & (at.yards_to_goal <= REACH)
    return np.asarray((4 * late + at.down - 1) * FARTHEST + within(at.distance, 1, FARTHEST) - 1)


def held(at: States, among: Array | None = None) -> Array:
    """Places (k,) of the situations that are held against harder ones.

    Parameters
    ----------
    among
        (n,) which situations to look at; all where absent.
    """
    found = _COUNT[_kind(at)] > 0
    return np.flatnonzero(found if among is None else found & among)


class AtLeast:
    """Situations with the harder ones that theirs are held against.

    Parameters
    ----------
    among
        (n,) which situations are held against harder ones; all where absent.

    Attributes
    ----------
    states
        The situations, and after them the harder ones.
    """

    def __init__(self, at: States, among: Array | None = None) -> None:
        self._at = self.states = at
        self._held = held(at, among)
        if not len(self._held):
            return
        kind = _kind(at)[self._held]
        count = _COUNT[kind]
        self._starts = np.cumsum(count) - count  # the first harder one of each of them
        self._rows = np.repeat(self._held, count)  # whose harder one each is
        which = np.arange(len(self._rows)) + np.repeat(_FIRST[kind] - self._starts, count)
        more = _DISTANCE[which]
        more = np.where(more == SAME, at.distance[self._rows], more)
        self.states = replace(
            at.take(np.concatenate([np.arange(len(at)), self._rows])),
            down=np.concatenate([at.down, _DOWN[which]]),
            distance=np.concatenate([at.distance, more]),
        )

    def best(self, values: Array) -> Array:
        """(..., n) of every situation and its harder ones the largest value."""
        if not len(self._held):
            return values
        n = len(self._at)
        out = values[..., :n].copy()
        harder = np.maximum.reduceat(values[..., n:], self._starts, axis=-1)
        out[..., self._held] = np.maximum(out[..., self._held], harder)
        return out

    def picked(self, values: Array) -> Array:
        """Places (n,) in ``states``: of every situation and its harder ones the most valuable."""
        n = len(self._at)
        pick = np.arange(n)
        if len(self._held):
            out = self.best(values)
            # of equals the first is taken, which is written last
            better = np.flatnonzero(values[n:] == out[self._rows])[::-1]
            pick[self._rows[better]] = n + better
            pick = np.where(values[:n] == out, np.arange(n), pick)
        return pick

    def chosen(self, values: Array) -> States:
        """Of every situation and its harder ones the one with the largest value (n,)."""
        if not len(self._held):
            return self._at
        pick = self.picked(values)
        return replace(self._at, down=self.states.down[pick], distance=self.states.distance[pick])
