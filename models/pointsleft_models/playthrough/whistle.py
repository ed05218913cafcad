"""After the whistle: points, tries and kickoffs, possessions of overtime, ends of halves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from pointsleft_models.playthrough import codes, overtime, restart
from pointsleft_models.playthrough.board import Board
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.plays import Outcome

Array = np.ndarray

Until = Literal["game", "half", "score"]


@dataclass(frozen=True, slots=True)
class Mode:
    """How a run is played.

    Attributes
    ----------
    until
        A game of the run ends with the game, the half, or the next score.
    playoff
        A level overtime goes on.
    record
        Keep a log of every snap.
    coarse
        The clock stands still and distances are rounded as in the exact chains, whose answers
        this mode must meet.
    snaps
        The run ends after so many, whatever ``until`` says.
    """

    until: Until = "game"
    playoff: bool = False
    record: bool = False
    coarse: bool = False
    snaps: int | None = None


@dataclass(slots=True)
class Records:
    """Results of a batch while it runs, by game; ``half`` is that of the start."""

    half: int
    margin: Array
    total: Array
    next_score: Array
    next_seconds: Array
    overtime: Array
    snaps: Array
    log: list[tuple[Array, ...]]


def kick_off(
    parts: Parts, board: Board, records: Records, rows: Array, team: Array, free: Array,
    odds: Array, u: Array, mode: Mode, forced: Array | None = None,
) -> None:  # fmt: skip
    """Kickoffs; a return that scores is followed by its try and a touchback."""
    clock = board.clock[rows]
    returned = restart.kick_off(parts, board, rows, team, free, odds, u, forced)
    if mode.coarse:
        board.clock[rows] = clock
    if not len(returned):
        return
    scorer = 1 - team[np.searchsorted(rows, returned)]
    board.score(returned, scorer, 6)
    kind = np.where(scorer == 0, codes.TOUCHDOWN, codes.TOUCHDOWN_AGAINST)
    _note_next(board, records, returned, kind)
    extra = board.half[returned] == 3
    board.possessions[returned[extra]] += 1
    board.over[returned[extra]] = overtime.decided(
        board, parts.rules, returned[extra], np.full(int(extra.sum()), 6), scorer[extra]
    )
    kept = ~board.over[returned]
    returned, scorer = returned[kept], scorer[kept]
    restart.attempt(parts, board, returned, scorer, odds, u)
    board.over[returned] = mode.until == "score"
    board.give(returned, 1 - scorer, np.full(len(returned), 100 - parts.rules.touchback))


def _next_class(points: Array, before: Array) -> Array:
    """Class of a score from team 0."""
    own = np.select(
        [points == 6, points == 3, points == -2, points == -6],
        [codes.TOUCHDOWN, codes.FIELD_GOAL, codes.SAFETY_AGAINST, codes.TOUCHDOWN_AGAINST],
        codes.NO_SCORE,
    )
    return np.where((before == 0) | (own == 0), own, 7 - own)


def scores(
    parts: Parts, board: Board, records: Records, out: Outcome, before: Array, odds: Array,
    u: Array, mode: Mode,
) -> None:  # fmt: skip
    """Put points on the board; overtime may be over; then the try and the kickoff."""
    rows = np.flatnonzero(out.points)
    if not len(rows):
        return
    points, had = out.points[rows], before[rows]
    scorer = np.where(points > 0, had, 1 - had)
    board.score(rows, scorer, np.abs(points))
    _note_next(board, records, rows, _next_class(points, had))
    extra = board.half[rows] == 3
    board.possessions[rows[extra]] += 1
    if extra.any():
        ot = rows[extra]
        board.over[ot] = overtime.decided(board, parts.rules, ot, points[extra], had[extra])
    tried = (np.abs(points) == 6) & ~board.over[rows]
    must = overtime.must_go_for_two(board, parts.rules, rows[tried])
    restart.attempt(parts, board, rows[tried], scorer[tried], odds, u, must_go=must)
    ot = rows[extra & ~board.over[rows]]
    board.over[ot] |= overtime.decided_after_try(board, parts.rules, ot)
    if mode.until == "score":
        board.over[rows] = True
    series = (board.half[rows] == 3) & (parts.rules.overtime == "series")
    kicks = ~board.over[rows] & (board.clock[rows] > 0) & ~series
    safety = points == -2
    kicker = np.where(safety, had, scorer)
    kick_off(parts, board, records, rows[kicks], kicker[kicks], safety[kicks], odds, u, mode)


def _note_next(board: Board, records: Records, rows: Array, kind: Array) -> None:
    """Keep the first score of the half in which the run started."""
    game = board.game[rows]
    new = (board.half[rows] == records.half) & (records.next_score[game] == codes.NO_SCORE)
    records.next_score[game[new]] = kind[new]
    records.next_seconds[game[new]] = board.clock[rows[new]]


def possessions(
    parts: Parts, board: Board, out: Outcome, turned: Array, before: Array, odds: Array, u: Array
) -> None:
    """Possessions of overtime that ended without a score; the next series."""
    extra = (board.half == 3) & ~board.over
    if not extra.any():
        return
    rows = np.flatnonzero(extra & turned)
    board.possessions[rows] += 1
    board.over[rows] = overtime.decided(
        board, parts.rules, rows, np.zeros(len(rows), np.int64), before[rows]
    )
    if parts.rules.overtime == "series":
        rows = np.flatnonzero(extra & ~board.over & (turned | (out.points != 0)))
        overtime.next_series(board, parts.rules, rows, before[rows], u)


def ends(
    parts: Parts, board: Board, records: Records, odds: Array, u: Array, mode: Mode
) -> None:  # fmt: skip
    """Ends of halves: the second half, overtime, or the end of the game."""
    rows = np.flatnonzero((board.clock <= 0) & ~board.over)
    if not len(rows):
        return
    if mode.until != "game":
        board.over[rows] = True
        return
    rules = parts.rules
    board.spiking[rows] = False
    first = rows[board.half[rows] == 1]
    second = rows[board.half[rows] == 2]
    third = rows[board.half[rows] == 3]
    board.half[first] = 2
    board.clock[first] = 2 * rules.quarter_seconds
    board.timeouts0[first] = board.timeouts1[first] = 3
    level = board.difference[second] == 0
    board.over[second[~level]] = True
    kicks = overtime.begin(
        board, rules, second[level], (u[codes.DRAW_MAKE, second[level]] < 0.5).astype(np.int64)
    )
    records.overtime[board.game[second[level]]] = True
    if mode.playoff:
        level = board.difference[third] == 0
        board.clock[third[level]] = rules.overtime_seconds
        board.over[third[~level]] = True
    else:
        board.over[third] = True
    _kick_off_halves(parts, board, records, first, kicks, odds, u, mode)


def _kick_off_halves(
    parts: Parts, board: Board, records: Records, second_half: Array, extra: Array, odds: Array,
    u: Array, mode: Mode,
) -> None:  # fmt: skip
    rows = np.concatenate([second_half, extra])
    if not len(rows):
        return
    coin = (u[codes.DRAW_MAKE, extra] < 0.5).astype(np.int64)
    team = 1 - np.concatenate([board.second[second_half], coin])
    order = np.argsort(rows)
    rows, team = rows[order], team[order]
    free = np.zeros(len(rows), bool)
    kick_off(parts, board, records, rows, team, free, odds, u, mode)
