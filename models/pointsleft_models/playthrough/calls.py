"""What the offense does with a snap: kneel, spike, kick, go, run or pass; or a flag falls."""

from __future__ import annotations

import numpy as np

from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.board import Board, View
from pointsleft_models.playthrough.parts import Parts

Array = np.ndarray


def choose(parts: Parts, board: Board, view: View, odds: Array, forced: Array | None) -> Array:
    """The call of every game.

    Parameters
    ----------
    odds
        (LOGIT_DRAWS, n) draws on the scale of log odds: an event happens where its log odds
        exceed the draw.
    forced
        (n,) calls made from outside, ``CALL_OPEN`` where the teams choose.

    Returns
    -------
    Array
        (n,) codes ``CALL_RUN`` and on.
    """
    call = np.full(len(board), codes.CALL_OPEN) if forced is None else forced.copy()
    call[board.spiking & (call == codes.CALL_OPEN)] = codes.CALL_SPIKE
    now = (board.half == 2) & (board.clock <= codes.KICK_NOW) & (call == codes.CALL_OPEN)
    now &= codes.kick_serves(board.half, view.lead, board.yards_to_goal)
    call[now] = codes.CALL_KICK
    _kneels(parts, board, view, odds, call)
    _last_kicks(parts, board, view, odds, call)
    flagged = (odds[codes.DRAW_FLAG] < parts.flag.eta(view.spot, view.mood)) & (
        call == codes.CALL_OPEN
    )
    call[flagged] = codes.CALL_FLAG
    _fourth(parts, board, view, odds, call)
    _overtime_kicks(parts, board, view, odds, call)
    rows = np.flatnonzero((call == codes.CALL_OPEN) | (call == codes.CALL_PLAY))
    eta = parts.passes.eta(view.spot[rows], view.mood[rows])
    late = np.flatnonzero(board.clock[rows] <= codes.LATE_FROM)
    if len(late):
        at = rows[late]
        eta[late] += parts.passes_late[
            view.half0[at], view.score[at], board.yards_to_goal[at] - 1, view.clock_code[at]
        ]
    passes = odds[codes.DRAW_PASS, rows] < eta
    call[rows] = np.where(passes, codes.CALL_PASS, codes.CALL_RUN)
    return call


def spare_seconds(board: Board, view: View, rows: Array) -> Array:
    """Seconds left beyond what kneeling out the downs would burn (see the recipe)."""
    waits = 4 - board.down[rows]
    running = np.maximum(waits - view.other_left[rows], 0)
    burns = codes.KNEEL_SECONDS * waits + codes.KNEEL_PLAY_CLOCK * running
    return board.clock[rows] - (burns + 3)


def _kneels(parts: Parts, board: Board, view: View, odds: Array, call: Array) -> None:
    rows = np.flatnonzero((board.clock <= codes.KNEEL_FROM) & (call == codes.CALL_OPEN))
    if not len(rows):
        return
    spare = np.clip(spare_seconds(board, view, rows), -125, 125) + 125
    half0, score = view.half0[rows], view.score[rows]
    eta = (
        parts.kneel_spare[half0, score, spare]
        + parts.kneel_clock[half0, score, view.clock_code[rows]]
        + parts.kneel_spot[half0, score, board.down[rows] - 1, board.yards_to_goal[rows] - 1]
    )
    call[rows[odds[codes.DRAW_KNEEL, rows] < eta]] = codes.CALL_KNEEL


def _fourth(parts: Parts, board: Board, view: View, odds: Array, call: Array) -> None:
    rows = np.flatnonzero((board.down == 4) & (call == codes.CALL_OPEN))
    if not len(rows):
        return
    spot, mood = view.spot[rows], view.mood[rows]
    kicks = odds[codes.DRAW_KICK, rows] < parts.kick.eta(spot, mood)
    goes = odds[codes.DRAW_GO, rows] < parts.go.eta(spot, mood)
    call[rows] = np.where(kicks, codes.CALL_KICK, np.where(goes, codes.CALL_PLAY, codes.CALL_PUNT))


def _last_kicks(parts: Parts, board: Board, view: View, odds: Array, call: Array) -> None:
    rows = np.flatnonzero(
        (board.clock <= codes.LAST_KICK_FROM)
        & (call == codes.CALL_OPEN)
        & (board.down < 4)
        & (board.yards_to_goal <= codes.LAST_KICK_SPOT)
    )
    if len(rows):
        eta = parts.last_kick[
            board.yards_to_goal[rows] - 1, view.half0[rows], view.score[rows], view.clock_code[rows]
        ]
        call[rows[odds[codes.DRAW_KICK, rows] < eta]] = codes.CALL_KICK


def _overtime_kicks(parts: Parts, board: Board, view: View, odds: Array, call: Array) -> None:
    """Field goals before fourth down in overtime, most of all where one wins."""
    rows = np.flatnonzero(
        (board.half == 3)
        & (call == codes.CALL_OPEN)
        & (board.down < 4)
        & (board.yards_to_goal <= codes.LAST_KICK_SPOT)
    )
    if len(rows):
        wins = (view.lead[rows] >= 0) & (
            (board.possessions[rows] > 0) | (parts.rules.overtime == "sudden")
        )
        eta = parts.overtime_kick[
            board.yards_to_goal[rows] - 1, board.down[rows] - 1, wins.astype(np.int64)
        ]
        call[rows[odds[codes.DRAW_KICK, rows] < eta]] = codes.CALL_KICK
