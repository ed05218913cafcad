"""The clock between snaps: how long plays and waits last, who calls time, who spikes."""

from __future__ import annotations

import numpy as np

from pointsleft_models.laws.clock import TWO_MINUTES
from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.board import Board, View
from pointsleft_models.playthrough.parts import WAIT_CLOCKS, Parts
from pointsleft_models.playthrough.plays import Outcome
from pointsleft_models.playthrough.tables import slot

Array = np.ndarray

#: Seconds of an ordinary play, which a wait from snap to snap contains.
ORDINARY = 5

_AFTER = np.full(codes.LET_SCORE + 1, codes.AFTER_RUN)
_AFTER[[codes.CATCH, codes.INCOMPLETE]] = codes.AFTER_CATCH
_AFTER[codes.SACK] = codes.AFTER_SACK
_AFTER[codes.KNEEL] = codes.AFTER_KNEEL
_AFTER[codes.FLAG] = codes.AFTER_FLAG

_LASTS = np.full(codes.LET_SCORE + 1, codes.LASTS_OUT)
_LASTS[codes.INCOMPLETE] = codes.LASTS_INCOMPLETE
_LASTS[codes.SPIKE] = codes.LASTS_SPIKE
_LASTS[[codes.INTERCEPTION, codes.FUMBLE_LOST]] = codes.LASTS_TURNOVER
_LASTS[codes.PUNT] = codes.LASTS_PUNT
_LASTS[[codes.GOOD, codes.MISSED]] = codes.LASTS_KICK


def stays_stopped(parts: Parts, board: Board) -> Array:
    """Whether a runner out of bounds stops the clock until the snap."""
    rules = parts.rules
    window = np.where(
        board.half == 1, rules.out_of_bounds_stop_first_half, rules.out_of_bounds_stop_second_half
    )
    return board.clock <= window


def elapsed(
    parts: Parts, board: Board, view: View, out: Outcome, turned: Array, before: Array,
    odds: Array, u: Array, stopped: Array | None = None, saved: Array | None = None,
) -> Array:  # fmt: skip
    """Seconds from this snap to the next, time-outs charged and spikes set on the board.

    Parameters
    ----------
    turned
        (n,) the ball changed hands.
    before
        (n,) offense before the play (the board has moved on).
    stopped
        (n,) the defense calls time after this play if it can, whatever the fit says.
    saved
        (n,) the offense saves its time-outs for a last kick, whatever the fit says.
    """
    event = out.event
    scored = out.points != 0
    moved_on = turned | scored
    stopped_out = out.out & stays_stopped(parts, board)
    still = (event == codes.INCOMPLETE) | (event == codes.SPIKE) | stopped_out
    runs = ~(moved_on | still) & (event != codes.PUNT)
    how = np.where(scored & (event <= codes.SCRAMBLE), codes.LASTS_TOUCHDOWN, _LASTS[event])
    quick = (view.seconds <= codes.QUICK_FROM).astype(np.int64)
    short = parts.lasts.draw(2 * how + quick, slot(u[codes.DRAW_LASTS])).astype(np.int64)
    after = np.where(out.out & (event != codes.FLAG), codes.AFTER_OUT, _AFTER[event])
    after = _restart_after_first_down(parts, board, after)
    zone = codes.zone(board.yards_to_goal, view.seconds)
    cell = parts.wait_cell(zone, view.half0, view.score, view.seconds, after)
    wait = parts.wait.draw(cell, slot(u[codes.DRAW_WAIT])).astype(np.int64)
    kneels = (event == codes.KNEEL) & (board.half == 2) & (view.lead > 0)
    slow = parts.kneel_wait.draw(view.half0, slot(u[codes.DRAW_WAIT]))
    wait = np.where(kneels, slow, wait)
    asked = ~moved_on & (event <= codes.KNEEL) & (event != codes.INTERCEPTION)
    whose = _timeouts(parts, board, view, after, asked, still, before, odds, stopped, saved)
    called = whose >= 0
    used = np.where(runs & ~called, wait, short)
    _stop_waits(parts, board, view, np.flatnonzero(runs & called), whose, odds, u, used)
    used = np.where(kneels & called, np.minimum(codes.KNEEL_SECONDS, board.clock), used)
    _spikes(parts, board, view, runs & ~called & (event <= codes.SCRAMBLE), odds, u, used)
    waits = runs & ~called
    if saved is not None:
        waits &= ~_run_down(board, view, np.flatnonzero(waits & saved), before, short, used)
    _save_the_kick(parts, board, view, np.flatnonzero(waits), before, short, u, used)
    flows = waits & (after != codes.AFTER_OUT) & (after != codes.AFTER_FLAG)
    _let_it_run_out(board, view, np.flatnonzero(flows), short, used)
    return _held_at_marks(parts, board, used, np.minimum(short, used), runs)


def _restart_after_first_down(parts: Parts, board: Board, after: Array) -> Array:
    """Where the rules stop the clock at a first down it starts again on the ready signal."""
    rule = parts.rules.first_down_stops_clock
    if rule == "no":
        return after
    stops = (board.down == 1) & (after <= codes.AFTER_CATCH)
    if rule == "last two minutes":
        stops &= board.clock <= TWO_MINUTES
    return np.where(stops, codes.AFTER_OUT, after)


def _timeouts(
    parts: Parts, board: Board, view: View, after: Array, asked: Array, still: Array,
    before: Array, odds: Array, stopped: Array | None, saved: Array | None,
) -> Array:  # fmt: skip
    """Who calls time: -1 nobody, 0 the offense, 1 the defense, which is asked first."""
    base = (view.clock_code * codes.SCORES + view.score) * 2 + view.half0
    quiet = still.astype(np.int64)
    tail = quiet * codes.AFTERS + after
    other = (base * 4 + view.other_left) * 2 * codes.AFTERS + tail
    zone = codes.zone(board.yards_to_goal, view.seconds)
    own = ((base * 4 + view.own_left) * 2 * codes.AFTERS + tail) * codes.ZONES + zone
    called = odds[codes.DRAW_OTHER_TIME] < parts.other_timeout.ravel()[other]
    if stopped is not None:
        called |= stopped & ~still & (board.clock > codes.KNEEL_SECONDS)
    theirs = asked & (view.other_left > 0) & called
    ours = (
        asked
        & ~theirs
        & (view.own_left > 0)
        & (odds[codes.DRAW_OWN_TIME] < parts.own_timeout.ravel()[own])
    )
    if saved is not None:
        ours &= ~saved
    rows = np.flatnonzero(theirs | ours)
    board.charge(rows, np.where(theirs[rows], 1 - before[rows], before[rows]))
    return np.where(theirs, 1, np.where(ours, 0, -1))


def _stop_waits(
    parts: Parts, board: Board, view: View, rows: Array, whose: Array, odds: Array, u: Array,
    used: Array,
) -> None:  # fmt: skip
    """Seconds until a time-out; a late one in range may come with the clock run down."""
    zone = codes.zone(board.yards_to_goal[rows], view.seconds[rows])
    cell = 2 * (2 * zone + view.half0[rows]) + whose[rows]
    cell = cell * codes.SCORES + view.score[rows]
    cell = cell * len(WAIT_CLOCKS) + parts.wait_clock_at[view.seconds[rows]]
    drawn = parts.timeout_wait.draw(cell, slot(u[codes.DRAW_WAIT, rows]))
    # time was called because some was left
    used[rows] = np.minimum(drawn, np.maximum(board.clock[rows] - 1, 0))
    late = rows[
        (board.clock[rows] <= codes.DRAIN_FROM)
        & (board.clock[rows] >= codes.DRAINED + 4)
        & (whose[rows] == 0)
    ]
    if len(late):
        zone = codes.zone(board.yards_to_goal[late], view.seconds[late])
        eta = parts.drained[zone, view.half0[late], view.score[late], view.clock_code[late]]
        late = late[odds[codes.DRAW_SPIKE, late] < eta]
        used[late] = board.clock[late] - codes.DRAINED_TO


def _spikes(
    parts: Parts, board: Board, view: View, running: Array, odds: Array, u: Array, used: Array
) -> None:
    """Where the next snap is a spike it comes sooner."""
    board.spiking[:] = False
    rows = np.flatnonzero(running & (board.clock <= codes.SPIKE_FROM) & (board.down < 4))
    if not len(rows):
        return
    eta = parts.spike[
        view.clock_code[rows], view.score[rows], view.half0[rows], view.own_left[rows],
        codes.zone(board.yards_to_goal[rows], view.seconds[rows]),
    ]  # fmt: skip
    rows = rows[odds[codes.DRAW_SPIKE, rows] < eta]
    cell = parts.wait_clock_at[view.seconds[rows]]
    drawn = parts.spike_wait.draw(cell, slot(u[codes.DRAW_WAIT, rows]))
    used[rows] = np.minimum(drawn, np.maximum(board.clock[rows] - 1, 0))
    board.spiking[rows] = True


def _save_the_kick(
    parts: Parts, board: Board, view: View, rows: Array, before: Array, short: Array, u: Array,
    used: Array,
) -> None:  # fmt: skip
    """Nobody in range whom a field goal serves lets the half run out: a time-out, or a spike.

    A judgement (see ``codes.KICK_NOW``), for waits that would have outlasted the clock.
    """
    rows = rows[(used[rows] >= board.clock[rows]) & (short[rows] < board.clock[rows])]
    rows = rows[codes.kick_serves(board.half[rows], view.lead[rows], board.yards_to_goal[rows])]
    _time_for_the_kick(board, rows[view.own_left[rows] > 0], before, short, used)
    rows = rows[(view.own_left[rows] == 0) & (board.down[rows] < 4)]
    cell = parts.wait_clock_at[view.seconds[rows]]
    drawn = parts.spike_wait.draw(cell, slot(u[codes.DRAW_WAIT, rows]))
    caught_up = drawn < board.clock[rows]
    used[rows[caught_up]] = drawn[caught_up]
    board.spiking[rows[caught_up]] = True


def _time_for_the_kick(board: Board, rows: Array, before: Array, short: Array, used: Array) -> None:
    """The offense lets the clock run down and calls time for the last kick."""
    board.charge(rows, before[rows])
    used[rows] = np.maximum(board.clock[rows] - codes.DRAINED_TO, short[rows])
    board.spiking[rows] = False


def _let_it_run_out(board: Board, view: View, rows: Array, short: Array, used: Array) -> None:
    """Nobody ahead snaps again where the play clock outlasts the game.

    The laws of waits are smooth in the clock and have sides snap that need not. In the archive,
    2009 to 2019, 4 of 993 kneels by sides ahead with 0:40 or less left, and none of 10 runs in
    bounds, against a side without time-outs were followed by another snap of theirs.
    """
    left = board.clock[rows] - short[rows]
    over = (board.half[rows] == 2) & (view.lead[rows] > 0) & (left <= codes.KNEEL_PLAY_CLOCK)
    rows = rows[over]
    used[rows] = board.clock[rows]
    board.spiking[rows] = False


def _run_down(
    board: Board, view: View, rows: Array, before: Array, short: Array, used: Array
) -> Array:
    """Where (n,) the play clock outlasts the half, so that the last kick comes next."""
    left = board.clock[rows] - short[rows]
    outlasts = (left > 0) & (left <= codes.KNEEL_PLAY_CLOCK + codes.DRAINED_TO)
    rows = rows[outlasts & (view.own_left[rows] > 0)]
    _time_for_the_kick(board, rows, before, short, used)
    done = np.zeros(len(board), bool)
    done[rows] = True
    return done


def _held_at_marks(parts: Parts, board: Board, used: Array, short: Array, running: Array) -> Array:
    """No wait runs over the end of a quarter or the two-minute warning; a play may."""
    quarter = np.where(board.half < 3, parts.rules.quarter_seconds, 0)
    over = (board.clock > quarter) & (board.clock - used < quarter)
    used = np.where(over, board.clock - quarter, used)
    if parts.rules.two_minute_stop:
        over = (board.clock > TWO_MINUTES) & (board.clock - used < TWO_MINUTES) & running
        used = np.where(over, np.maximum(board.clock - TWO_MINUTES, short), used)
    return used


def wait_before_snap(
    parts: Parts, board: Board, view: View, u: Array, spikes: bool = False
) -> Array:
    """Seconds until the next snap of games whose clock runs at a standstill of the ball.

    Parameters
    ----------
    spikes
        The next snap is a spike, for which the side lines up sooner.
    """
    if spikes:
        cell = parts.wait_clock_at[view.seconds]
        wait = parts.spike_wait.draw(cell, slot(u[codes.DRAW_WAIT])).astype(np.int64)
        return np.maximum(wait - ORDINARY, 0)
    zone = codes.zone(board.yards_to_goal, view.seconds)
    after = np.full(len(board), codes.AFTER_RUN)
    cell = parts.wait_cell(zone, view.half0, view.score, view.seconds, after)
    wait = parts.wait.draw(cell, slot(u[codes.DRAW_WAIT])).astype(np.int64)
    used = np.maximum(wait - ORDINARY, 0)
    return _held_at_marks(parts, board, used, np.zeros_like(used), np.ones(len(board), bool))
