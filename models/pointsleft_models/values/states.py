"""Many situations at once, as arrays that broadcast against one another."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pointsleft_models.fitting.within import within
from pointsleft_models.football.situation import Situation

Array = np.ndarray

#: Lead beyond which the models tell no more differences.
MOST_LEAD = 45


#: On fourth down more to go than this changes nothing: nobody goes for it.
FOURTH_DISTANCE = 10

#: Seconds left in the game from which teams begin to play to the score, and from which they do so
#: in full.
NEED_BEGINS, NEED_FULL = 420, 120

#: Leads (first, last) at which three more points leave a side as many scores behind as before, and
#: leads at which they win, tie or make the other side need one score more.
THREE_USELESS = ((-16, -12), (-8, -4))
THREE_ENOUGH = ((-3, 8),)

#: Variables of :meth:`States.columns` that know the score.
SCORE = ("lead", "three_counts", "three_enough")


@dataclass(frozen=True, slots=True)
class States:
    """Situations as columns, each seen from its own team with the ball.

    All arrays have one length n. ``half`` is 1 or 2 (overtime is not a state of these models).
    ``receives`` is +1 where the offense receives the second-half kickoff, -1 where it does not,
    0 where that is unknown or past. ``home`` is +.5 at home, -.5 away, 0 unknown.
    ``spread`` is the points by which the offense was favoured, not a number where unknown: with 0
    the teams are known to be equal.
    """

    down: Array
    distance: Array
    yards_to_goal: Array
    half: Array
    half_seconds: Array
    lead: Array
    own_timeouts: Array
    opponent_timeouts: Array
    receives: Array
    home: Array
    spread: Array

    def __len__(self) -> int:
        return len(self.down)

    @property
    def game_seconds(self) -> Array:
        return self.half_seconds + np.where(self.half == 1, 1800, 0)

    def columns(self) -> dict[str, Array]:
        """The variables of the next-score basis.

        ``three_counts`` falls from 1 to 0 late in a game in which three points would change
        nothing; ``three_enough`` rises from 0 to 1 late where they would do.
        """
        late = within((NEED_BEGINS - self.game_seconds) / (NEED_BEGINS - NEED_FULL), 0, 1)
        return {
            "down": self.down - 1,
            "distance": np.where(
                self.down == 4, np.minimum(self.distance, FOURTH_DISTANCE), self.distance
            ),
            "yards_to_goal": self.yards_to_goal,
            "half": self.half - 1,
            "half_seconds": self.half_seconds,
            "lead": within(self.lead, -MOST_LEAD, MOST_LEAD),
            "three_counts": 1 - late * _among(self.lead, THREE_USELESS),
            "three_enough": late * _among(self.lead, THREE_ENOUGH),
            "own_timeouts": self.own_timeouts,
            "opponent_timeouts": self.opponent_timeouts,
        }

    def take(self, rows: Array) -> States:
        """Some of the situations: a mask (n,) or their places."""
        return States(**{name: getattr(self, name)[rows] for name in States.__slots__})

    def even(self) -> States:
        """The same situations with the score level."""
        return replace(self, lead=np.zeros_like(self.lead))


def _among(lead: Array, ranges: tuple[tuple[int, int], ...]) -> Array:
    inside = np.zeros(len(lead), dtype=bool)
    for first, last in ranges:
        inside |= (lead >= first) & (lead <= last)
    return inside


def states(
    *,
    down: object = 1,
    distance: object = 10,
    yards_to_goal: object = 75,
    half: object = 1,
    half_seconds: object = 1800,
    lead: object = 0,
    own_timeouts: object = 3,
    opponent_timeouts: object = 3,
    receives: object = 0,
    home: object = 0.0,
    spread: object = np.nan,
) -> States:
    """States from scalars and arrays, broadcast together.

    A distance beyond the goal line is cut to goal to go.

    >>> len(states(yards_to_goal=[20, 40, 60], down=1))
    3
    """
    given = [
        down, distance, yards_to_goal, half, half_seconds, lead, own_timeouts,
        opponent_timeouts, receives, home, spread,
    ]  # fmt: skip
    arrays = [np.atleast_1d(np.asarray(x)) for x in given]
    full = [a.copy() for a in np.broadcast_arrays(*arrays)]
    full[1] = np.minimum(full[1], full[2])
    return States(*full)


def spread_column(spread: float | None) -> float:
    """A pre-game spread, or none, as a value of the column."""
    return np.nan if spread is None else float(spread)


def joined(*parts: States) -> States:
    """Several batches of states as one."""
    return States(
        **{name: np.concatenate([getattr(p, name) for p in parts]) for name in States.__slots__}
    )


def state_of(
    situation: Situation, *, seconds: int | None = None, lead: int | None = None
) -> States:
    """One situation as states of length 1; ``seconds`` and ``lead`` fill in what is unknown.

    Parameters
    ----------
    seconds
        Seconds left in the half where the situation has no clock.
    """
    half_seconds = situation.half_seconds if situation.half_seconds is not None else seconds
    score = situation.lead if situation.lead is not None else lead
    receives = situation.receives_second_half
    return states(
        down=situation.down,
        distance=situation.distance,
        yards_to_goal=situation.yards_to_goal,
        half=min(situation.half, 2),
        half_seconds=900 if half_seconds is None else half_seconds,
        lead=0 if score is None else score,
        own_timeouts=situation.own_timeouts,
        opponent_timeouts=situation.opponent_timeouts,
        receives=0 if receives is None or situation.half != 1 else (1 if receives else -1),
        spread=spread_column(situation.spread),
    )
