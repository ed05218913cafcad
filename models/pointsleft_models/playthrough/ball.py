"""Where the ball is after a play: downs, flags, changes of possession."""

from __future__ import annotations

import numpy as np

from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.board import Board, View
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.plays import Outcome
from pointsleft_models.playthrough.tables import slot

Array = np.ndarray

#: Range of the yards that the questions about flags tell apart.
SHIFT_LOW, SHIFT_HIGH = -20, 30


#: Distances to go that the exact chain tells apart; goal to go is apart from them.
COARSE_TO_GO = np.array([1, 2, 3, 5, 7, 10, 15, 20])
_COARSE = np.abs(np.arange(100)[:, None] - COARSE_TO_GO[None, :]).argmin(1)


def coarse_distance(distance: Array, yards_to_goal: Array) -> Array:
    """Distances rounded to those of the exact chain; goal to go stays what it is."""
    rounded = COARSE_TO_GO[_COARSE[np.minimum(distance, 99)]]
    return np.where(distance >= yards_to_goal, yards_to_goal, np.minimum(rounded, yards_to_goal))


def advance(parts: Parts, board: Board, view: View, out: Outcome, odds: Array, u: Array) -> Array:
    """Move the ball; scores are left where they are for the kickoff that follows.

    Returns
    -------
    Array
        (n,) whether the ball changed hands without a score.
    """
    flagged = np.flatnonzero(out.event == codes.FLAG)
    fresh = np.zeros(len(board), bool)
    repeats = np.zeros(len(board), bool)
    _flags(parts, board, view, out, odds, u, flagged, fresh, repeats)
    spot = np.clip(board.yards_to_goal - out.gain, 1, 99)
    first = fresh | (out.gain >= board.distance)
    down = np.where(first, 1, board.down + ~repeats)
    distance = np.where(first, np.minimum(spot, 10), board.distance - out.gain)
    kicked = (out.event >= codes.PUNT) & (out.event <= codes.MISSED)
    failed = (down > 4) & (out.start == 0) & ~kicked
    punt_kept = (out.event == codes.PUNT) & (out.start == 0)
    down = np.where(punt_kept, 1, down)
    distance = np.where(punt_kept, np.minimum(spot, 10), distance)
    turned = ((out.start > 0) | failed) & (out.points == 0)
    start = np.where(out.start > 0, out.start, spot)
    board.offense ^= turned
    board.yards_to_goal = np.where(turned, 100 - start, spot)
    board.down = np.where(turned, 1, np.minimum(down, 4))
    distance = np.where(turned, 10, distance)
    board.distance = np.clip(np.minimum(distance, board.yards_to_goal), 1, 99)
    return turned


def _flags(
    parts: Parts, board: Board, view: View, out: Outcome, odds: Array, u: Array, rows: Array,
    fresh: Array, repeats: Array,
) -> None:  # fmt: skip
    """Yards and downs of flagged snaps, written into ``out``, ``fresh`` and ``repeats``."""
    if not len(rows):
        return
    eta = parts.flag_on_offense.eta(view.spot[rows], view.mood[rows])
    side = (odds[codes.DRAW_SIDE, rows] >= eta).astype(np.int64)
    cell = parts.spot_at[board.yards_to_goal[rows]]
    slots = slot(u[codes.DRAW_GAIN, rows])
    gain = np.where(
        side == 0, parts.flag_offense.draw(cell, slots), parts.flag_defense.draw(cell, slots)
    ).astype(np.int64)
    spot = board.yards_to_goal[rows]
    gain = np.clip(gain, spot - 99, spot - 1)
    shift = np.clip(gain, SHIFT_LOW, SHIFT_HIGH) - SHIFT_LOW
    out.gain[rows] = gain
    fresh[rows] = odds[codes.DRAW_CATCH, rows] < parts.flag_fresh[side, shift]
    used = (odds[codes.DRAW_SACK, rows] < parts.flag_used_down[side, shift]) & (
        board.down[rows] < 4
    )
    repeats[rows] = ~used
