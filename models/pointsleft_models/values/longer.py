"""Fourth downs as good as longer ones.

The next score is fitted to what teams do, and on fourth down they do different things at
different distances: near the goal with the game level and little time a fit can have fourth and
one, where teams tend to go, worth less than fourth and three, where they kick. But with less to
go everything can be done that can be done with more, so a fourth down is worth at least as much
as the same one with more to go.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pointsleft_models.values.states import States, joined

Array = np.ndarray

#: Distances that a shorter fourth down is held against: the bends of the fit. Also where the goal
#: line is nearer, so that the same is asked on either side of it.
DISTANCES = (2, 3, 5, 7, 10, 14, 20, 30)


class Longer:
    """Situations with the longer fourth downs that theirs are held against.

    Attributes
    ----------
    states
        The situations, and after them the longer ones.
    """

    def __init__(self, at: States) -> None:
        self._n = len(at)
        self._rows: list[Array] = []
        parts = [at]
        fourth = at.down == 4
        if fourth.any():
            for distance in DISTANCES:
                rows = np.flatnonzero(fourth & (at.distance < distance))
                if len(rows):
                    part = States(**{name: getattr(at, name)[rows] for name in States.__slots__})
                    parts.append(replace(part, distance=np.full(len(rows), distance)))
                    self._rows.append(rows)
        self.states = joined(*parts) if self._rows else at

    def best(self, values: Array) -> Array:
        """(..., n) of every situation and its longer ones the largest value."""
        if not self._rows:
            return values
        out = values[..., : self._n].copy()
        first = self._n
        for rows in self._rows:
            out[..., rows] = np.maximum(out[..., rows], values[..., first : first + len(rows)])
            first += len(rows)
        return out
