"""Random-walk football: a game whose chances to win are known exactly.

The ball is on one of the lines 0 to 4 and starts in the middle. Each of 56 plays moves it one
line either way with equal chance; at an end somebody scores one, and the ball starts again in
the middle. The leader after the last play wins, a tie is a coin flip (Brill, Yurko & Wyner 2025,
J. Quantitative Analysis in Sports, arXiv 2406.16171). Every estimator and every interval can be
held against the truth.

For our models the walk is a game of field goals in a second half that never ends early: a score
is worth three points, a line a quarter of the field, and the plays are spread over 30 minutes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pointsleft_models.values.states import States, states

Array = np.ndarray

LINES, PLAYS = 4, 56
MIDDLE = LINES // 2

#: What a score, a line and the whole game are in our units.
SCORE_POINTS, LINE_YARDS, GAME_SECONDS = 3, 25, 1800

#: What comes next, from the view of the side that gains by moving up.
NOTHING, OURS, THEIRS = 0, 1, 2


def exact_wins() -> Array:
    """Chance to win (PLAYS + 1, 2 * PLAYS + 1, LINES + 1), by dynamic programming.

    Axes: plays left; points ahead, from -PLAYS; line of the ball (ends are never asked).
    """
    ahead = np.arange(-PLAYS, PLAYS + 1)
    final = np.where(ahead > 0, 1.0, np.where(ahead < 0, 0.0, 0.5))
    wins = np.zeros((PLAYS + 1, 2 * PLAYS + 1, LINES + 1))
    wins[0] = final[:, None]
    for left in range(1, PLAYS + 1):
        before = wins[left - 1]
        scored, conceded = np.roll(before[:, MIDDLE], -1), np.roll(before[:, MIDDLE], 1)
        scored[-1], conceded[0] = 1.0, 0.0
        up, down = before[:, 2:].copy(), before[:, :-2].copy()
        up[:, -1], down[:, 0] = scored, conceded
        wins[left, :, 1:LINES] = 0.5 * (up + down)
    return wins


@dataclass(frozen=True, slots=True)
class Walks:
    """Plays of many games, (games, PLAYS) each, before every play.

    Attributes
    ----------
    left
        Plays left, this one included.
    ahead
        Scores ahead.
    line
        Where the ball is.
    coming
        NOTHING, OURS or THEIRS: the next score.
    won
        (games,) 1 or 0; ties were settled by a coin.
    """

    left: Array
    ahead: Array
    line: Array
    coming: Array
    won: Array


def walk(games: int, rng: np.random.Generator) -> Walks:
    """Play games."""
    shape = games, PLAYS
    line, ahead = np.empty(shape, dtype=np.int64), np.empty(shape, dtype=np.int64)
    scored = np.zeros(shape, dtype=np.int64)
    moves = 2 * rng.integers(0, 2, shape) - 1
    here, score = np.full(games, MIDDLE), np.zeros(games, dtype=np.int64)
    for play in range(PLAYS):
        line[:, play], ahead[:, play] = here, score
        here = here + moves[:, play]
        scored[:, play] = (here == LINES).astype(int) - (here == 0)
        score = score + scored[:, play]
        here = np.where(scored[:, play] != 0, MIDDLE, here)
    coming = np.zeros(shape, dtype=np.int64)
    later = np.zeros(games, dtype=np.int64)
    for play in reversed(range(PLAYS)):
        later = np.where(scored[:, play] != 0, scored[:, play], later)
        coming[:, play] = np.where(later > 0, OURS, np.where(later < 0, THEIRS, NOTHING))
    coin = rng.integers(0, 2, games)
    won = np.where(score > 0, 1, np.where(score < 0, 0, coin))
    left = np.broadcast_to(np.arange(PLAYS, 0, -1), shape)
    return Walks(left, ahead, line, coming, won)


def as_states(left: Array, ahead: Array, line: Array) -> States:
    """Situations of the walk in the units of our models."""
    return states(
        down=1,
        distance=10,
        yards_to_goal=100 - LINE_YARDS * line,
        half=2,
        half_seconds=np.round(GAME_SECONDS * left / PLAYS).astype(int),
        lead=SCORE_POINTS * ahead,
    )
