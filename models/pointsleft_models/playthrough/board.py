"""The games of one batch as columns: what stands on the scoreboard and where the ball is."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.tables import mood_index, spot_index

Array = np.ndarray

#: Score differences looked up directly.
MOST_DIFFERENCE = 200

_CLASS = codes.score_class(np.arange(-MOST_DIFFERENCE, MOST_DIFFERENCE + 1))


@dataclass(slots=True)
class Board:
    """Running games; all arrays have one length and change as the games go on.

    Attributes
    ----------
    game
        Number of the game in its batch (its column of draws and its row of results).
    half, clock
        1, 2 or 3 (overtime); seconds left in the half.
    offense
        Team with the ball, 0 or 1.
    difference, total
        Points of team 0 minus those of team 1; points of both.
    timeouts0, timeouts1
        Time-outs left.
    second
        Team that receives the second-half kickoff.
    down, distance, yards_to_goal
        The next snap, seen from the offense.
    spiking
        The next snap is a spike.
    ordered
        The possession of the start goes on, so a call that is kept is made again.
    possessions
        Possessions of overtime that are over.
    strength0, strength1
        What the offense of each team is worth above average, points a game.
    over
        Finished.
    """

    game: Array
    half: Array
    clock: Array
    offense: Array
    difference: Array
    total: Array
    timeouts0: Array
    timeouts1: Array
    second: Array
    down: Array
    distance: Array
    yards_to_goal: Array
    spiking: Array
    ordered: Array
    possessions: Array
    strength0: Array
    strength1: Array
    over: Array

    def __len__(self) -> int:
        return len(self.game)

    def keep(self, rows: Array) -> None:
        """Drop all games but these."""
        for field in fields(self):
            setattr(self, field.name, getattr(self, field.name)[rows])

    def lead(self) -> Array:
        """Points of the offense minus those of the defense."""
        return np.where(self.offense == 0, self.difference, -self.difference)

    def give(self, rows: Array, team: Array, yards_to_goal: Array) -> None:
        """First and ten for a team at a spot (seen from it)."""
        self.offense[rows] = team
        self.yards_to_goal[rows] = yards_to_goal
        self.down[rows] = 1
        self.distance[rows] = np.minimum(yards_to_goal, 10)

    def score(self, rows: Array, team: Array, points: Array | int) -> None:
        """Add points for a team."""
        self.difference[rows] += np.where(team == 0, points, -np.asarray(points))
        self.total[rows] += points

    def charge(self, rows: Array, team: Array) -> None:
        """Take a time-out from a team."""
        self.timeouts0[rows] -= team == 0
        self.timeouts1[rows] -= team == 1


@dataclass(frozen=True, slots=True)
class View:
    """A step as the offense sees it: codes and table indices, worked out once."""

    lead: Array
    own_left: Array
    other_left: Array
    half0: Array
    score: Array
    clock_code: Array
    spot: Array
    mood: Array
    seconds: Array
    strength: Array


def class_of(lead: Array) -> Array:
    """Class of a lead, by look-up."""
    return _CLASS[np.clip(lead, -MOST_DIFFERENCE, MOST_DIFFERENCE) + MOST_DIFFERENCE]


def look(parts: Parts, board: Board, timed: bool = True) -> View:
    """What every part is asked with at this snap."""
    home = board.offense == 0
    lead = np.where(home, board.difference, -board.difference)
    half0 = (board.half > 1).astype(np.int64)
    seconds = np.clip(board.clock, 0, codes.HALF_SECONDS)
    score = class_of(lead)
    code = parts.clock_at[seconds]
    return View(
        lead=lead,
        own_left=np.where(home, board.timeouts0, board.timeouts1),
        other_left=np.where(home, board.timeouts1, board.timeouts0),
        half0=half0,
        score=score,
        clock_code=code,
        spot=spot_index(board.down, board.distance, board.yards_to_goal),
        mood=mood_index(board.down, half0, score, code),
        seconds=seconds,
        strength=np.where(home, board.strength0, board.strength1),
    )
