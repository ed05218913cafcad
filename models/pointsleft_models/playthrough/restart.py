"""After a score and at the start of a half: tries, kickoffs, free kicks."""

from __future__ import annotations

import numpy as np

from pointsleft_models.laws.kickoff import FREE_KICK_TOUCHBACK
from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.board import Board, class_of
from pointsleft_models.playthrough.parts import KEPT, RETURNED, TOUCHBACK, Parts
from pointsleft_models.playthrough.tables import QuantileTable, slot

Array = np.ndarray

#: Where an onside kick is recovered: yards to goal of the side that kicked, of the other side
#: (archive means).
ONSIDE_KEPT, ONSIDE_LOST = 53, 47

#: Spot of the kicking side after a kickoff that the receiver lost (as the law of kickoffs).
KICKOFF_KEPT = 25

#: An onside kick is expected from a team behind in so many last seconds of the game: the last
#: quarter. A judgement, since no source says whether the receivers had lined up for it.
EXPECTED_FROM = 900

#: Step of the table of two-point tries, in seconds of regulation left.
TABLE_SECONDS = 30


def attempt(
    parts: Parts, board: Board, rows: Array, team: Array, odds: Array, u: Array,
    forced: Array | None = None, must_go: Array | None = None,
) -> None:  # fmt: skip
    """The try after a touchdown.

    Parameters
    ----------
    team
        (rows,) side that scored.
    forced
        (rows,) 1 kick, 2 two points, 0 as the team chooses.
    must_go
        (rows,) the rules leave no choice but two points.
    """
    lead = np.where(team == 0, board.difference[rows], -board.difference[rows])
    gap = np.clip(lead, -codes.MOST_GAP, codes.MOST_GAP) + codes.MOST_GAP
    left = board.clock[rows] + np.where(board.half[rows] == 1, codes.HALF_SECONDS, 0)
    at = np.clip(left // TABLE_SECONDS, 0, parts.two_points.shape[1] - 1)
    two = odds[codes.DRAW_TWO, rows] < parts.two_points[gap, at]
    if forced is not None:
        two = np.where(forced == 0, two, forced == 2)
    if must_go is not None:
        two = two | must_go
    good = u[codes.DRAW_TRY, rows] < np.where(two, parts.two_point, parts.extra_point)
    board.score(rows, team, np.where(good, 1 + two, 0))


def kick_off(
    parts: Parts, board: Board, rows: Array, team: Array, free: Array, odds: Array, u: Array,
    forced: Array | None = None,
) -> Array:  # fmt: skip
    """Kick off (or free kick) by ``team``; returns the rows whose return scored.

    Parameters
    ----------
    free
        (rows,) a free kick after a safety.
    forced
        (rows,) 1 deep, 2 onside, 0 as the team chooses.
    """
    other = 1 - team
    slots = slot(u[codes.DRAW_KICKOFF, rows])
    nothing = np.zeros(len(rows), np.int64)
    drawn = np.where(
        free, parts.free_kick.draw(nothing, slots), parts.kickoff.draw(nothing, slots)
    ).astype(np.int64)
    touchback = np.where(free, FREE_KICK_TOUCHBACK, parts.rules.touchback)
    start = np.where(drawn == TOUCHBACK, touchback, np.clip(drawn, 1, 99))
    lasts = _return_seconds(parts.lasts, u, rows)
    used = np.where(drawn == TOUCHBACK, 0, lasts)
    receiver = np.where(drawn == KEPT, team, other)
    spot = np.where(drawn == KEPT, KICKOFF_KEPT, 100 - start)
    scored = drawn == RETURNED
    onside = _onside(parts, board, rows, team, free, odds, forced)
    lead = np.where(team == 0, board.difference[rows], -board.difference[rows])
    late = (board.half[rows] == 2) & (board.clock[rows] <= EXPECTED_FROM) & (lead < 0)
    kept = u[codes.DRAW_RECOVER, rows] < parts.onside_kept[late.astype(np.int64)]
    receiver = np.where(onside, np.where(kept, team, other), receiver)
    spot = np.where(onside, np.where(kept, ONSIDE_KEPT, ONSIDE_LOST), spot)
    used = np.where(onside, np.minimum(lasts, 3), used)
    scored &= ~onside
    board.give(rows, receiver, spot)
    warned = parts.rules.two_minute_stop
    clock = board.clock[rows]
    held = (clock > 120) & (clock - used < 120) & warned
    board.clock[rows] = np.maximum(np.where(held, np.minimum(clock - 1, 120), clock - used), 0)
    return rows[scored]


def _return_seconds(lasts: QuantileTable, u: Array, rows: Array) -> Array:
    how = np.full(len(rows), 2 * codes.LASTS_RETURN)
    return lasts.draw(how, slot(u[codes.DRAW_RETURN, rows])).astype(np.int64)


def _onside(
    parts: Parts, board: Board, rows: Array, team: Array, free: Array, odds: Array,
    forced: Array | None,
) -> Array:  # fmt: skip
    lead = np.where(team == 0, board.difference[rows], -board.difference[rows])
    half0 = (board.half[rows] > 1).astype(np.int64)
    code = parts.clock_at[np.clip(board.clock[rows], 0, codes.HALF_SECONDS)]
    chosen = odds[codes.DRAW_ONSIDE, rows] < parts.onside[half0, class_of(lead), code]
    if forced is not None:
        chosen = np.where(forced == 0, chosen, forced == 2)
    return np.asarray(chosen & ~free)
