"""Fourth downs as columns, each seen from the team with the ball."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from pointsleft_models.laws.setting import Setting

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Downs:
    """Fourth downs in regulation, clock and score known.

    All arrays have one length n. ``receives`` is +1 where the offense receives the second-half
    kickoff, -1 where it does not, 0 where that is unknown or past. ``spread`` is the points by
    which the offense was favoured before the game, not a number where that is not known.
    """

    distance: Array
    yards_to_goal: Array
    half: Array
    half_seconds: Array
    lead: Array
    own_timeouts: Array
    other_timeouts: Array
    receives: Array
    spread: Array

    def __len__(self) -> int:
        return len(self.distance)

    def take(self, rows: Array) -> Downs:
        """Some of them: a mask (n,) or their places."""
        return Downs(**{name: getattr(self, name)[rows] for name in Downs.__slots__})

    def setting(self, row: int) -> Setting:
        """One of them as the laws see it."""
        return Setting(
            4, int(self.distance[row]), int(self.yards_to_goal[row]), int(self.half[row]),
            int(self.half_seconds[row]), int(self.lead[row]),
        )  # fmt: skip


def downs(
    *,
    distance: object,
    yards_to_goal: object,
    half: object = 1,
    half_seconds: object = 1500,
    lead: object = 0,
    own_timeouts: object = 3,
    other_timeouts: object = 3,
    receives: object = 0,
    spread: object = np.nan,
) -> Downs:
    """Downs from scalars and arrays, broadcast together; a distance ends at the goal line.

    >>> len(downs(distance=[1, 2, 3], yards_to_goal=40))
    3
    """
    given = [distance, yards_to_goal, half, half_seconds, lead, own_timeouts, other_timeouts,
             receives, spread]  # fmt: skip
    full = [a.copy() for a in np.broadcast_arrays(*[np.atleast_1d(np.asarray(x)) for x in given])]
    full[0] = np.minimum(full[0], full[1])
    full[7] = np.where(full[2] == 1, full[7], 0)
    return Downs(*full)
