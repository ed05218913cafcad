"""All games of a batch played in step, from tables, until the last one is over."""

from __future__ import annotations

import numpy as np

from pointsleft_models.football.field import KICK_EXTRA
from pointsleft_models.laws.kicking import LONGEST_KICK
from pointsleft_models.playthrough import codes, restart, timing, whistle
from pointsleft_models.playthrough.ball import advance, coarse_distance
from pointsleft_models.playthrough.board import Board, View, look
from pointsleft_models.playthrough.calls import choose
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.plays import play
from pointsleft_models.playthrough.result import Playthroughs
from pointsleft_models.playthrough.start import CALLS, Opening, Start
from pointsleft_models.playthrough.whistle import Mode, Records

Array = np.ndarray

#: A game that has not ended after so many snaps is a fault of the engine.
MOST_SNAPS = 1000

#: Columns of the log of snaps; ``receives`` is whether the offense receives (or received) the
#: second-half kickoff, ``start`` the other side's own yard line where it takes the ball, 0
#: elsewhere, ``used`` the seconds to the next snap, the length of the play after a score.
LOG = (
    "game", "half", "seconds", "offense", "down", "distance", "yards_to_goal", "lead",
    "own_timeouts", "opponent_timeouts", "receives", "event", "gain", "points", "start", "used",
)  # fmt: skip


class EngineError(RuntimeError):
    """The engine did what a game cannot do."""


def draw(rng: np.random.Generator, games: int) -> tuple[Array, Array]:
    """One step's draws: (DRAWS, games) uniform, and the first rows of them as log odds."""
    u = rng.random((codes.DRAWS, games), dtype=np.float32)
    part = u[: codes.LOGIT_DRAWS]
    with np.errstate(divide="ignore"):
        return u, np.log(part / (1 - part))


def run_batch(
    parts: Parts,
    start: Start,
    strengths: Array,
    rng: np.random.Generator,
    mode: Mode,
    opening: Opening | None = None,
) -> Playthroughs:
    """Play one batch.

    Parameters
    ----------
    strengths
        (2, n) points a game of either offense above average.
    rng
        Every game has its column of the draws of every step, whatever happens in the others.
    """
    games = strengths.shape[1]
    board = start.board(games)
    board.strength0, board.strength1 = strengths.astype(np.float32)
    records = Records(
        start.half, np.zeros(games, np.int64), np.zeros(games, np.int64),
        np.zeros(games, np.int64), np.full(games, -1), np.zeros(games, bool),
        np.zeros(games, np.int64), [],
    )  # fmt: skip
    first = opening or Opening()
    u, odds = draw(rng, games)
    _open(parts, board, records, start, first, u, odds, mode)
    whistle.ends(parts, board, records, odds, u, mode)  # a try or a kickoff may have been the last
    _put_away(board, records)
    if mode.coarse:
        board.distance = coarse_distance(board.distance, board.yards_to_goal)
    step = 0
    while len(board):
        u, odds = draw(rng, games)
        if len(board) < games:
            u, odds = u[:, board.game], odds[:, board.game]
        forced = _orders(board, first, step)
        called = None if forced is None else board.ordered.copy()
        stopped = called if first.answered else None
        saved = called if first.last_kick else None
        _step(parts, board, records, u, odds, forced, mode, stopped, saved)
        step += 1
        if step == mode.snaps:
            board.over[:] = True
        if step > MOST_SNAPS:
            raise EngineError(f"{len(board)} games not over after {MOST_SNAPS} snaps")
        _put_away(board, records)
    log = {}
    if mode.record:
        columns = zip(*records.log, strict=True) if records.log else [[np.zeros(0, int)]] * len(LOG)
        log = {name: np.concatenate(c) for name, c in zip(LOG, columns, strict=True)}
    return Playthroughs(
        records.margin, records.total, records.next_score, records.next_seconds, records.overtime,
        records.snaps, (strengths[0] - strengths[1]) / 2, log,
    )  # fmt: skip


def _orders(board: Board, opening: Opening, step: int) -> Array | None:
    """Calls made from outside at this snap; ``None`` where the teams choose."""
    if opening.call is None or (step > 0 and not opening.keep):
        return None
    call = CALLS[opening.call]
    if step == 0:
        return np.full(len(board), call)
    calls = np.where(board.ordered & (board.down < 4), call, codes.CALL_OPEN)
    if opening.last_kick:
        now = board.ordered & ((board.down == 4) | (board.clock <= codes.KICK_NOW))
        reached = board.yards_to_goal <= LONGEST_KICK - KICK_EXTRA
        calls = np.where(now, np.where(reached, codes.CALL_KICK, codes.CALL_OPEN), calls)
    return calls


def _put_away(board: Board, records: Records) -> None:
    """Keep the results of finished games and take them off the board."""
    if board.over.any():
        ended = np.flatnonzero(board.over)
        records.margin[board.game[ended]] = board.difference[ended]
        records.total[board.game[ended]] = board.total[ended]
        board.keep(np.flatnonzero(~board.over))


def _open(
    parts: Parts, board: Board, records: Records, start: Start, opening: Opening, u: Array,
    odds: Array, mode: Mode,
) -> None:  # fmt: skip
    """What happens before the first snap."""
    rows = np.arange(len(board))
    team = np.zeros(len(board), np.int64)
    if start.phase == "try":
        forced = np.full(len(board), {None: 0, "kick": 1, "two points": 2}[opening.try_])
        restart.attempt(parts, board, rows, team, odds, u, forced)
    if start.phase != "snap" and start.seconds > 0:
        forced = np.full(len(board), {None: 0, "deep": 1, "onside": 2}[opening.kickoff])
        free = np.full(len(board), start.phase == "free kick")
        whistle.kick_off(parts, board, records, rows, team, free, odds, u, mode, forced)
    elif opening.timeout is not None and start.phase == "snap":
        board.charge(rows, team if opening.timeout == "own" else 1 - team)
    elif start.clock_running:
        spikes = opening.call == "spike"
        board.clock -= timing.wait_before_snap(parts, board, look(parts, board), u, spikes)
        board.clock = np.maximum(board.clock, 0)


def _step(
    parts: Parts, board: Board, records: Records, u: Array, odds: Array, forced: Array | None,
    mode: Mode, stopped: Array | None = None, saved: Array | None = None,
) -> None:  # fmt: skip
    """One snap of every game."""
    before = board.offense.copy()
    view = look(parts, board)
    call = choose(parts, board, view, odds, forced)
    out = play(parts, board, view, call, odds, u)
    held = _situation(board, view) if mode.record else ()
    turned = advance(parts, board, view, out, odds, u)
    used = timing.elapsed(parts, board, view, out, turned, before, odds, u, stopped, saved)
    records.snaps[board.game] += 1
    if mode.coarse:
        board.distance = coarse_distance(board.distance, board.yards_to_goal)
        used[:] = 0
    _run_clock(parts, board, used)
    if mode.record:
        records.log.append((*held, out.event, out.gain, out.points, out.start, used))
    whistle.scores(parts, board, records, out, before, odds, u, mode)
    whistle.possessions(parts, board, out, turned, before, odds, u)
    board.ordered &= (board.offense == before) & (out.points == 0)
    whistle.ends(parts, board, records, odds, u, mode)


def _situation(board: Board, view: View) -> tuple[Array, ...]:
    """The logged columns of the situation before a snap."""
    return (
        board.game.copy(), board.half.copy(), board.clock.copy(), board.offense.copy(),
        board.down.copy(), board.distance.copy(), board.yards_to_goal.copy(), view.lead,
        view.own_left, view.other_left, board.second == board.offense,
    )  # fmt: skip


def _run_clock(parts: Parts, board: Board, used: Array) -> None:
    untimed = (board.half == 3) & (parts.rules.overtime == "series")
    board.clock = np.where(untimed, board.clock, np.maximum(board.clock - used, 0))
