"""What comes of a call: the event, the yards, and whose ball it is where."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.board import Board, View
from pointsleft_models.playthrough.parts import BLOCKED, KEPT, RETURNED, TOUCHBACK, Parts
from pointsleft_models.playthrough.tables import PairTable, slot

Array = np.ndarray

#: Yards behind the line of a field goal's hold, and of a blocked punt (as the kicking laws).
HOLD, BLOCKED_LOSS, TOUCHBACK_SPOT = 8, 10, 20

#: Own yard line of a punt that the kicking team gets back, yards down the field (as the laws).
REGAINED = 40

#: Chance that a blocked field goal is run back for a touchdown (archive, 226 kicks).
BLOCK_RETURNED = 0.049


@dataclass(slots=True)
class Outcome:
    """What happened on one step, game by game.

    Attributes
    ----------
    event
        Codes ``RUN`` and on.
    gain
        Yards of the offense.
    points
        Scored on the play: positive by the offense, negative by the defense.
    start
        Own yard line at which the other side has the ball; 0 where the offense keeps it.
    out
        The runner went out of bounds.
    """

    event: Array
    gain: Array
    points: Array
    start: Array
    out: Array


def play(parts: Parts, board: Board, view: View, call: Array, odds: Array, u: Array) -> Outcome:
    """Play the calls.

    Parameters
    ----------
    odds, u
        Draws on the scale of log odds, and as they are.
    """
    n = len(board)
    out = Outcome(
        np.full(n, codes.FLAG), np.zeros(n, np.int64), np.zeros(n, np.int64),
        np.zeros(n, np.int64), np.zeros(n, bool),
    )  # fmt: skip
    _runs_and_passes(parts, board, view, call, odds, u, out)
    out.event[call == codes.CALL_KNEEL] = codes.KNEEL
    out.gain[call == codes.CALL_KNEEL] = -1
    out.event[call == codes.CALL_SPIKE] = codes.SPIKE
    rows = np.flatnonzero(call == codes.CALL_LET_SCORE)
    out.event[rows], out.gain[rows] = codes.RUN, board.yards_to_goal[rows]
    rows = np.flatnonzero(call == codes.CALL_SAFETY)
    out.event[rows], out.gain[rows] = codes.SACK, board.yards_to_goal[rows] - 100
    _scored_or_lost(parts, board, out, u)
    _punts(parts, board, call, u, out)
    _field_goals(parts, board, call, u, out)
    return out


def _runs_and_passes(
    parts: Parts, board: Board, view: View, call: Array, odds: Array, u: Array, out: Outcome
) -> None:
    passing = np.flatnonzero(call == codes.CALL_PASS)
    spot, mood, strength = view.spot[passing], view.mood[passing], view.strength[passing]

    def happens(row: int, part: PairTable) -> Array:
        return odds[row, passing] < part.eta(spot, mood) + part.strength * strength

    sacked = happens(codes.DRAW_SACK, parts.sacked)
    runs_off = happens(codes.DRAW_SCRAMBLE, parts.scrambles)
    picked = happens(codes.DRAW_PICK, parts.intercepted)
    caught = happens(codes.DRAW_CATCH, parts.complete)
    event = np.where(caught, codes.CATCH, codes.INCOMPLETE)
    event[picked] = codes.INTERCEPTION
    event[runs_off] = codes.SCRAMBLE
    event[sacked] = codes.SACK
    out.event[passing] = event
    running = np.flatnonzero(call == codes.CALL_RUN)
    out.event[running] = codes.RUN
    script = codes.script(view.half0, view.seconds, view.lead, board.yards_to_goal)
    cell = parts.gain_cell(board.down, board.distance, board.yards_to_goal, script)
    moves = np.where(call == codes.CALL_PASS, parts.catch.strength, parts.run.strength)
    slots = slot(_strong(u[codes.DRAW_GAIN], moves, view.strength))
    out.gain[running] = parts.run.draw(cell[running], slots[running])
    rows = passing[event == codes.CATCH]
    out.gain[rows] = parts.catch.draw(cell[rows], slots[rows])
    rows = passing[event == codes.SCRAMBLE]
    out.gain[rows] = parts.scramble.draw(cell[rows] // codes.SCRIPTS, slots[rows])
    rows = passing[event == codes.SACK]
    out.gain[rows] = parts.sack.draw(parts.spot_at[board.yards_to_goal[rows]], slots[rows])
    _out_of_bounds(parts, view, odds, out)
    _fumbles(parts, view, odds, out)


def _strong(u: Array, moves: Array, strength: Array) -> Array:
    """Uniform draws moved by strength; the same draws where all teams are equal."""
    if not strength.any():
        return u
    odds = u / np.maximum(1 - u, np.float32(1e-7)) * np.exp(moves.astype(np.float32) * strength)
    return odds / (1 + odds)


def _out_of_bounds(parts: Parts, view: View, odds: Array, out: Outcome) -> None:
    at = (view.half0 * codes.SCORES + view.score) * len(codes.CLOCKS) + view.clock_code
    caught, scrambled = out.event == codes.CATCH, out.event == codes.SCRAMBLE
    eta = np.where(caught, parts.caught_out.ravel()[at], parts.ran_out.ravel()[at])
    eta[scrambled] = parts.scrambled_out.ravel()[at[scrambled]]
    carried = (out.event == codes.RUN) | caught | scrambled
    out.out |= carried & (odds[codes.DRAW_OUT] < eta)


_FUMBLER = np.full(codes.LET_SCORE + 1, -1)
_FUMBLER[[codes.RUN, codes.CATCH, codes.SACK, codes.SCRAMBLE]] = [
    codes.FUMBLE_RUN, codes.FUMBLE_CATCH, codes.FUMBLE_SACK, codes.FUMBLE_SCRAMBLE,
]  # fmt: skip


def _fumbles(parts: Parts, view: View, odds: Array, out: Outcome) -> None:
    how = _FUMBLER[out.event]
    eta = parts.fumble[how] + parts.fumble_strength * view.strength
    lost = (how >= 0) & (odds[codes.DRAW_FUMBLE] < eta)
    out.event[lost] = codes.FUMBLE_LOST


def _scored_or_lost(parts: Parts, board: Board, out: Outcome, u: Array) -> None:
    """Touchdowns, safeties, and where a lost ball ends up."""
    lost = (out.event == codes.INTERCEPTION) | (out.event == codes.FUMBLE_LOST)
    out.gain[lost] = 0
    after = board.yards_to_goal - out.gain
    out.points[after <= 0] = 6
    out.gain = np.minimum(out.gain, board.yards_to_goal)
    out.points[after >= 100] = -2
    rows = np.flatnonzero(lost)
    cell = (out.event[rows] == codes.FUMBLE_LOST) * codes.SPOTS + board.yards_to_goal[rows] - 1
    start = parts.turnover.draw(cell, slot(u[codes.DRAW_BALL, rows])).astype(np.int64)
    out.points[rows] = np.where(start >= 100, -6, 0)
    out.start[rows] = np.minimum(start, 99)


def _punts(parts: Parts, board: Board, call: Array, u: Array, out: Outcome) -> None:
    rows = np.flatnonzero(call == codes.CALL_PUNT)
    if not len(rows):
        return
    spot = board.yards_to_goal[rows]
    drawn = parts.punt.draw(spot - 1, slot(u[codes.DRAW_BALL, rows])).astype(np.int64)
    start = np.where(drawn == TOUCHBACK, parts.rules.punt_touchback, drawn)
    start = np.where(drawn == BLOCKED, np.minimum(spot + BLOCKED_LOSS, 99), start)
    out.event[rows] = codes.PUNT
    out.points[rows] = np.where(drawn == RETURNED, -6, 0)
    out.start[rows] = np.where(drawn == KEPT, 0, np.clip(start, 1, 99))
    out.gain[rows] = np.where(drawn == KEPT, np.minimum(REGAINED, spot - 1), 0)


def _field_goals(parts: Parts, board: Board, call: Array, u: Array, out: Outcome) -> None:
    rows = np.flatnonzero(call == codes.CALL_KICK)
    if not len(rows):
        return
    spot = board.yards_to_goal[rows]
    good = u[codes.DRAW_MAKE, rows] < parts.make[spot - 1]
    returned = u[codes.DRAW_BLOCK, rows] < parts.blocked[spot - 1] * BLOCK_RETURNED
    out.event[rows] = np.where(good, codes.GOOD, codes.MISSED)
    out.points[rows] = np.where(good, 3, np.where(returned, -6, 0))
    out.start[rows] = np.minimum(np.maximum(spot + HOLD, TOUCHBACK_SPOT), 99)
