"""The last seconds of a game, by the laws of what can still be done."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pointsleft_models.fitting.within import within
from pointsleft_models.values.states import States

Array = np.ndarray

#: Seconds that a kneel takes and that run off after it when nobody stops the clock
#: (common practice, no source; checked against the archive's kneels in tests).
KNEEL, RUNOFF, LAST_KNEEL = 2, 40, 3

#: Yards that a kneel may lose (common practice, no source).
KNEEL_YARDS = 2


def end_value(lead: Array) -> Array:
    """Worth of a final lead: 1 won, 0 lost, and a half when the game goes on to overtime."""
    return 0.5 * (np.sign(lead) + 1)


def kneel_seconds(down: Array, opponent_timeouts: Array) -> Array:
    """Seconds (n,) that the offense can run off by kneeling from this down to fourth.

    Every kneel but the last is followed by a wait that the defense can stop with a time-out.

    >>> kneel_seconds(np.array([1]), np.array([0]))
    array([129])
    """
    waits = 4 - down
    running = np.maximum(waits - opponent_timeouts, 0)
    return waits * KNEEL + running * RUNOFF + LAST_KNEEL


def knelt_to_the_end(at: States) -> Array:
    """Whether (n,) the offense can kneel until the half is over, and has the room for it."""
    kneels = 5 - at.down
    room = at.yards_to_goal + KNEEL_YARDS * kneels < 100
    return room & (at.half_seconds <= kneel_seconds(at.down, at.opponent_timeouts))


@dataclass(frozen=True)
class Ending:
    """Laws of the last play.

    Attributes
    ----------
    kick
        (fits, 99) chance of a field goal by yards to goal 1..99.
    heave
        (fits, 99) chance of a touchdown on a last play from scrimmage.
    lasts
        (k,) chance that a play lasts at least 0, 1, 2, ... seconds.
    knelt_out
        How often a game that could be knelt out was won.
    """

    kick: Array
    heave: Array
    lasts: Array
    knelt_out: float

    #: Seconds that a field goal try takes, and a kickoff after it.
    kick_seconds: int = 5
    return_seconds: int = 5

    @property
    def horizon(self) -> int:
        """Seconds left from which the ending matters."""
        return 30

    def last_play(self, half_seconds: Array) -> Array:
        """Chance (n,) that the clock is out when this play is over."""
        at = within(half_seconds, 0, len(self.lasts) - 1).astype(int)
        return self.lasts[at]

    def _fits(self, table: Array, yards_to_goal: Array, fits: int) -> Array:
        rows = table[:fits] if len(table) >= fits else np.broadcast_to(table[:1], (fits, 99))
        return rows[:, yards_to_goal.astype(int) - 1]

    def field_goals(self, yards_to_goal: Array, fits: int) -> Array:
        """(fits, n) chance that a field goal from here is good."""
        return self._fits(self.kick, yards_to_goal, fits)

    def touchdowns(self, yards_to_goal: Array, fits: int) -> Array:
        """(fits, n) chance of a touchdown on a last play from here."""
        return self._fits(self.heave, yards_to_goal, fits)

    def value(self, at: States, fits: int) -> Array:
        """(fits, n) chance to win when this is the last play of the game.

        The better of a kick and a throw at the end zone; ahead, a kneel (or, on fourth down,
        running the clock out).
        """
        kick = self.field_goals(at.yards_to_goal, fits)
        heave = self.touchdowns(at.yards_to_goal, fits)
        lead = at.lead
        after_touchdown = np.maximum(
            0.94 * end_value(lead + 7) + 0.06 * end_value(lead + 6),
            0.48 * end_value(lead + 8) + 0.52 * end_value(lead + 6),
        )
        stay = end_value(lead)
        by_kick = kick * end_value(lead + 3) + (1 - kick) * stay
        by_heave = heave * after_touchdown + (1 - heave) * stay
        best = np.maximum(by_kick, by_heave)
        return np.where(lead > 0, 1.0, np.maximum(best, stay))
