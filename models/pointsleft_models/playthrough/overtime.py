"""When an overtime is over, and how a series overtime goes on."""

from __future__ import annotations

import numpy as np

from pointsleft_models.football.rules import RuleSet
from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.board import Board

Array = np.ndarray

OVERTIME_TIMEOUTS = 2

#: A series overtime has no clock; parts are asked as at this reading.
OPEN_CLOCK = 900

#: Yards to goal of a series where the rules name none.
SERIES_SPOT = 25


def begin(board: Board, rules: RuleSet, rows: Array, first: Array) -> Array:
    """Level after regulation: overtime; returns the rows that kick off (a series does not).

    Parameters
    ----------
    first
        (rows,) team that has the ball first.
    """
    board.half[rows] = 3
    board.possessions[rows] = 0
    board.timeouts0[rows] = board.timeouts1[rows] = OVERTIME_TIMEOUTS
    if rules.overtime == "series":
        board.clock[rows] = OPEN_CLOCK
        board.give(rows, first, np.full(len(rows), rules.overtime_spot or SERIES_SPOT))
        return rows[:0]
    board.clock[rows] = rules.overtime_seconds
    return rows


def decided(board: Board, rules: RuleSet, rows: Array, points: Array, before: Array) -> Array:
    """Whether the possession that has just ended decided the game, before any try.

    Parameters
    ----------
    rows
        Games of an overtime in which a possession ended; counted already.
    points
        (rows,) of the play, negative for the defense.
    before
        (rows,) team that had the ball.
    """
    level = board.difference[rows] == 0
    count = board.possessions[rows]
    if rules.overtime == "sudden":
        return ~level
    first = count == 1
    if rules.overtime == "series":
        ended = (count % 2 == 0) | (points < 0)
    elif rules.overtime == "first-touchdown":
        ended = ~first | (points == 6) | (points < 0)
    else:
        ended = ~first | (points < 0)
    ahead = np.where(before == 0, board.difference[rows], -board.difference[rows]) > 0
    # a touchdown that leaves the scorer behind or level still has its try
    waits = (points == 6) & ~ahead
    return ended & ~level & ~waits


def decided_after_try(board: Board, rules: RuleSet, rows: Array) -> Array:
    """Whether an overtime is decided once the try is over."""
    count = board.possessions[rows]
    whole = count % 2 == 0 if rules.overtime == "series" else count >= 2
    return whole & (board.difference[rows] != 0)


def next_series(board: Board, rules: RuleSet, rows: Array, before: Array, u: Array) -> None:
    """The next possession of a series overtime; the tries-only rounds are settled by one draw.

    In those rounds both sides try alike, so either wins with the same chance, by two points.
    """
    count = board.possessions[rows]
    team = np.where(count % 2 == 0, before, 1 - before)
    board.give(rows, team, np.full(len(rows), rules.overtime_spot or SERIES_SPOT))
    board.clock[rows] = OPEN_CLOCK
    if rules.overtime_tries_only_from is not None:
        only = (count % 2 == 0) & (count // 2 + 1 >= rules.overtime_tries_only_from)
        settled = rows[only]
        board.score(settled, (u[codes.DRAW_TRY, settled] < 0.5).astype(np.int64), 2)
        board.over[settled] = True


def must_go_for_two(board: Board, rules: RuleSet, rows: Array) -> Array:
    """Whether the rules ask for a two-point try in this period of overtime."""
    start = rules.overtime_must_go_for_two_from
    if start is None:
        return np.zeros(len(rows), bool)
    period = (board.possessions[rows] - 1) // 2 + 1
    return (board.half[rows] == 3) & (period >= start)
