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

from pointsleft_models.values.states import FOURTH_DISTANCE, States, joined

Array = np.ndarray

#: Distances that a shorter third or fourth down is held against: the bends of the fit.
FOURTH = (2, 3, 5, 7, FOURTH_DISTANCE)
DISTANCES: dict[int, tuple[int, ...]] = {3: (*FOURTH, 14, 20), 4: FOURTH}

#: From so many seconds left in the half on, and so near to the goal, a down is held against every
#: later one, with the same or more to go.
LATE, REACH = 240, 45
LATER: dict[int, tuple[int, ...]] = {2: (), 3: (3, 5, 7, 10, 14, 20), 4: (3, 5, 7, 10)}


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
        self._n = len(at)
        self._rows: list[Array] = []
        parts = [at]

        def against(which: Array, down: int, distance: Array | int) -> None:
            rows = np.flatnonzero(which)
            if len(rows):
                part = at.take(rows)
                own = np.broadcast_to(distance, self._n)[rows]
                parts.append(replace(part, down=np.full(len(rows), down), distance=own))
                self._rows.append(rows)

        for down, distances in DISTANCES.items():
            here = at.down == down
            if among is not None:
                here = here & among
            if here.any():
                for distance in distances:
                    against(here & (at.distance < distance), down, distance)
        late = (at.half_seconds <= LATE) & (at.yards_to_goal <= REACH)
        if among is not None:
            late = late & among
        for down, distances in LATER.items():
            earlier = late & (at.down < down)
            against(earlier, down, at.distance)
            for distance in distances:
                against(earlier & (at.distance < distance), down, distance)
        self.states = joined(*parts) if self._rows else at

    def best(self, values: Array) -> Array:
        """(..., n) of every situation and its harder ones the largest value."""
        if not self._rows:
            return values
        out = values[..., : self._n].copy()
        first = self._n
        for rows in self._rows:
            out[..., rows] = np.maximum(out[..., rows], values[..., first : first + len(rows)])
            first += len(rows)
        return out

    def picked(self, values: Array) -> Array:
        """Places (n,) in ``states``: of every situation and its harder ones the most valuable."""
        pick = np.arange(self._n)
        if not self._rows:
            return pick
        out = values[: self._n].copy()
        first = self._n
        for rows in self._rows:
            last = first + len(rows)
            better = values[first:last] > out[rows]
            out[rows] = np.where(better, values[first:last], out[rows])
            pick[rows] = np.where(better, np.arange(first, last), pick[rows])
            first = last
        return pick

    def chosen(self, values: Array) -> States:
        """Of every situation and its harder ones the one with the largest value (n,)."""
        return self.states.take(self.picked(values)) if self._rows else self.states
