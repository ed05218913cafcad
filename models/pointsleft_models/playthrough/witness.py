"""The second witness: expected points and win probability of a situation by playing it out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pointsleft_models.football.situation import Situation
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import Opening, start_of
from pointsleft_models.playthrough.teams import Teams
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.states import States, joined, state_of

Array = np.ndarray

CLASSES = 7


@dataclass(frozen=True, slots=True)
class Witness:
    """What playing a situation out says, with the standard errors of the draws.

    Attributes
    ----------
    points, points_error
        Expected net points, in the currency of the regression; ``None`` in overtime.
    wins, wins_error
        Chance to win, a tie counting half; ``None`` where clock or score are unknown.
    chances
        (7,) of the next score of the half, the score taken as level.
    """

    points: float | None
    points_error: float | None
    wins: float | None
    wins_error: float | None
    chances: Array
    games: int


def second_witness(
    parts: Parts,
    teams: Teams,
    points: ExpectedPoints,
    situation: Situation,
    *,
    games: int = 20_000,
    seed: int | Sequence[int] = 1,
    workers: int = 1,
    opening: Opening | None = None,
    seconds: int = 900,
) -> Witness:
    """Play a situation out, to the next score and to the end of the game.

    Points take the score as level, as the regression's do, and the sides as equal. Wins take the
    sides as what the score says of them, or as the pre-game spread does where it is known. The
    clock of the situation is that at the snap, so no wait is drawn before it.

    Parameters
    ----------
    points
        The regression, for what each next score is worth.
    seed
        One seed; the same seed and another opening give paired runs.
    opening
        What is forced on the first snap.
    seconds
        Left in the half where the clock is not known.
    """
    start = start_of(situation, seconds=seconds).with_(clock_running=False)
    seeds = [seed] if isinstance(seed, int) else list(seed)
    value = error = None
    chances = np.full(CLASSES, np.nan)
    if situation.has_points:
        level = start.with_(lead=0)
        done = play_through(
            parts, level, games, [*seeds, 1], until="score", workers=workers, opening=opening
        )
        value, error = done.points(class_worth(points, state_of(situation, seconds=start.seconds)))
        chances = done.next_chances()
    wins = wins_error = None
    if situation.has_wins:
        done = play_through(
            parts, start, games, [*seeds, 2], teams=teams.sides(start, situation.spread),
            workers=workers, opening=opening,
        )  # fmt: skip
        wins, wins_error = done.win_probability()
    return Witness(value, error, wins, wins_error, chances, games)


def class_worth(points: ExpectedPoints, at: States) -> Array:
    """(7,) net points of every next score at one state (states of length 1)."""
    return points.worth_of(np.eye(CLASSES), joined(*[at] * CLASSES))
