"""One snap of the coarse game as chances: from where to where, and what is scored.

The coarse game has the downs, the flags, the kicks and the turnovers of the engine, distances
rounded, and a clock that stands still. Its chances are read off the tables that the engine draws
from, so the engine's coarse mode and the chains must agree.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import scipy.sparse as sp

from pointsleft_models.fitting.logit import expit
from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.ball import COARSE_TO_GO, SHIFT_HIGH, SHIFT_LOW, coarse_distance
from pointsleft_models.playthrough.board import class_of
from pointsleft_models.playthrough.parts import BLOCKED, KEPT, RETURNED, TOUCHBACK, Parts
from pointsleft_models.playthrough.plays import (
    BLOCK_RETURNED,
    BLOCKED_LOSS,
    HOLD,
    REGAINED,
    TOUCHBACK_SPOT,
)
from pointsleft_models.playthrough.tables import (
    SLOT_CHANCE,
    SLOTS,
    PairTable,
    QuantileTable,
    mood_index,
    spot_index,
)

Array = np.ndarray

GOAL_TO_GO = len(COARSE_TO_GO)
BINS = GOAL_TO_GO + 1
STATES = 4 * BINS * codes.SPOTS

# Columns of what is scored: a touchdown or field goal of the offense, a safety that it concedes, a
# touchdown of the defense.
TOUCHDOWN, FIELD_GOAL, SAFETY, AGAINST = range(4)


def state_index(down: Array, distance: Array, yards_to_goal: Array) -> Array:
    """Number of the state of a snap; distances are rounded."""
    rounded = coarse_distance(distance, yards_to_goal)
    bin_ = np.where(
        rounded >= yards_to_goal, GOAL_TO_GO, np.minimum(np.searchsorted(COARSE_TO_GO, rounded),
        GOAL_TO_GO - 1),
    )  # fmt: skip
    return (((down - 1) * BINS + bin_) * codes.SPOTS + yards_to_goal - 1).astype(np.int64)


@dataclass(frozen=True, slots=True)
class Steps:
    """Chances of one snap from every state.

    Attributes
    ----------
    keep, turn
        (STATES, STATES) to the next snap of the same side, and of the other side.
    scored
        (STATES, 4) of the scores ``TOUCHDOWN`` and on.
    leaks
        Largest difference from 1 of the chances out of a state: rounding only.
    """

    keep: sp.csr_matrix
    turn: sp.csr_matrix
    scored: Array
    leaks: float


@dataclass
class _Collected:
    """Chances of going from state to state while they are collected."""

    rows: list[Array] = field(default_factory=list)
    columns: list[Array] = field(default_factory=list)
    chances: list[Array] = field(default_factory=list)
    turned: list[Array] = field(default_factory=list)
    scored: Array = field(default_factory=lambda: np.zeros((STATES, 4)))

    def go(self, rows: Array, to: Array, chance: Array, turned: bool) -> None:
        rows, to, chance = np.broadcast_arrays(rows, to, chance)
        used = chance.ravel() > 0
        self.rows.append(rows.ravel()[used])
        self.columns.append(to.ravel()[used])
        self.chances.append(chance.ravel()[used])
        self.turned.append(np.full(int(used.sum()), turned))

    def matrix(self, turned: bool) -> sp.csr_matrix:
        rows, columns, chances = (
            np.concatenate(x) for x in (self.rows, self.columns, self.chances)
        )
        kept = np.concatenate(self.turned) == turned
        return sp.csr_matrix((chances[kept], (rows[kept], columns[kept])), shape=(STATES, STATES))

    def done(self) -> Steps:
        keep, turn = self.matrix(False), self.matrix(True)
        total = np.asarray(keep.sum(1) + turn.sum(1)).ravel() + self.scored.sum(1)
        return Steps(keep, turn, self.scored, float(np.abs(total - 1).max()))


class _Snaps:
    """Every state's snap, with what the parts say of it."""

    def __init__(self, parts: Parts, half: int, seconds: int, lead: int) -> None:
        down, bin_, spot = np.meshgrid(
            np.arange(1, 5), np.arange(BINS), np.arange(1, codes.SPOTS + 1), indexing="ij"
        )
        self.down, self.spot = down.ravel(), spot.ravel()
        known = np.append(COARSE_TO_GO, codes.SPOTS)[bin_.ravel()]
        self.distance = np.minimum(known, self.spot)
        self.parts = parts
        half0, ahead = np.full(STATES, half - 1), np.full(STATES, lead)
        clock = np.full(STATES, parts.clock_at[seconds])
        self._spot_at = spot_index(self.down, self.distance, self.spot)
        self._mood_at = mood_index(self.down, half0, class_of(ahead), clock)
        script = codes.script(half0, np.full(STATES, seconds), ahead, self.spot)
        self.gain_cell = parts.gain_cell(self.down, self.distance, self.spot, script)

    def chance(self, table: PairTable) -> Array:
        return expit(table.eta(self._spot_at, self._mood_at).astype(float))


def snap_steps(parts: Parts, half: int, seconds: int, lead: int) -> Steps:
    """Chances of a snap with so many seconds left in a half of regulation, at a lead.

    Raises
    ------
    ValueError
        A clock so late that sides kneel, spike and kick before fourth down.
    """
    if seconds <= codes.ENDS_FROM:
        raise ValueError(
            f"the coarse game has no last {codes.ENDS_FROM} seconds of a half; {seconds} are left"
        )
    at, steps = _Snaps(parts, half, seconds, lead), _Collected()
    flag = at.chance(parts.flag)
    _flag(at, steps, flag)
    rest = 1 - flag
    fourth = at.down == 4
    kicks = np.where(fourth, at.chance(parts.kick), 0.0)
    goes = np.where(fourth, at.chance(parts.go), 1.0)
    _kick(at, steps, rest * kicks)
    _punt(at, steps, rest * (1 - kicks) * (1 - goes))
    _scrimmage(at, steps, rest * (1 - kicks) * goes)
    return steps.done()


def _dense(table: QuantileTable) -> tuple[Array, Array]:
    """Values, and chances (cells, values), of a table of quantiles."""
    values = table.values.reshape(-1, SLOTS).astype(np.int64)
    first, last = int(values.min()), int(values.max())
    wide = last - first + 1
    at = np.arange(len(values))[:, None] * wide + values - first
    chances = np.bincount(at.ravel(), np.tile(SLOT_CHANCE, len(values)), len(values) * wide)
    return np.arange(first, last + 1), chances.reshape(-1, wide)


def _scrimmage(at: _Snaps, steps: _Collected, play: Array) -> None:
    parts = at.parts
    passes = at.chance(parts.passes)
    sacked, runs_off = at.chance(parts.sacked), at.chance(parts.scrambles)
    picked, caught = at.chance(parts.intercepted), at.chance(parts.complete)
    fumble = expit(parts.fumble.astype(float))
    back = play * passes
    scramble = back * (1 - sacked) * runs_off
    thrown = back * (1 - sacked) * (1 - runs_off)
    kept = thrown * (1 - picked)
    carriers = (
        (play * (1 - passes), parts.run, at.gain_cell, codes.FUMBLE_RUN),
        (kept * caught, parts.catch, at.gain_cell, codes.FUMBLE_CATCH),
        (scramble, parts.scramble, at.gain_cell // codes.SCRIPTS, codes.FUMBLE_SCRAMBLE),
        (back * sacked, parts.sack, parts.spot_at[at.spot], codes.FUMBLE_SACK),
    )
    lost = np.zeros(STATES)
    for chance, table, cell, how in carriers:
        lost += chance * fumble[how]
        values, law = _dense(table)
        _gain(at, steps, (chance * (1 - fumble[how]))[:, None] * law[cell], values)
    _gain(at, steps, (kept * (1 - caught))[:, None], np.zeros(1, np.int64))
    _lost_ball(at, steps, thrown * picked, 0)
    _lost_ball(at, steps, lost, 1)


def _gain(at: _Snaps, steps: _Collected, chance: Array, yards: Array) -> None:
    """A play that kept the ball: (STATES, len(yards)) chances of its gains."""
    gain = np.minimum(yards[None, :], at.spot[:, None])
    after = at.spot[:, None] - gain
    steps.scored[:, TOUCHDOWN] += np.where(after <= 0, chance, 0).sum(1)
    steps.scored[:, SAFETY] += np.where(after >= 100, chance, 0).sum(1)
    chance = np.where((after <= 0) | (after >= 100), 0.0, chance)
    spot = np.clip(after, 1, 99)
    first = gain >= at.distance[:, None]
    rows = np.arange(STATES)[:, None]
    down = np.where(first, 1, np.minimum(at.down[:, None] + 1, 4))
    distance = np.where(first, np.minimum(spot, 10), at.distance[:, None] - gain)
    failed = ~first & (at.down[:, None] == 4)
    keeps = state_index(down, np.minimum(distance, spot), spot)
    steps.go(rows, keeps, np.where(failed, 0.0, chance), False)
    _turn(steps, rows, np.where(failed, chance, 0.0), spot)


def _turn(steps: _Collected, rows: Array, chance: Array, own_line: Array) -> None:
    """The other side's first and ten at its own yard line."""
    spot = 100 - own_line
    to = state_index(np.ones_like(spot), np.minimum(10, spot), spot)
    steps.go(rows, to, chance, True)


def _lost_ball(at: _Snaps, steps: _Collected, chance: Array, fumbled: int) -> None:
    values, law = _dense(at.parts.turnover)
    _start(steps, chance[:, None] * law[fumbled * codes.SPOTS + at.spot - 1], values)


def _start(steps: _Collected, chance: Array, values: Array) -> None:
    """The other side starts at an own yard line, or has scored (100)."""
    scored = values >= RETURNED
    steps.scored[:, AGAINST] += chance[:, scored].sum(1)
    rows = np.arange(STATES)[:, None]
    _turn(steps, rows, chance[:, ~scored], np.clip(values[~scored], 1, 99)[None, :])


def _punt(at: _Snaps, steps: _Collected, chance: Array) -> None:
    values, law = _dense(at.parts.punt)
    rows = np.arange(STATES)
    by = {int(v): chance * law[at.spot - 1, k] for k, v in enumerate(values)}
    nothing = np.zeros(STATES)
    _turn(steps, rows, by.get(TOUCHBACK, nothing),
          np.full(STATES, at.parts.rules.punt_touchback))  # fmt: skip
    spot = np.clip(at.spot - np.minimum(REGAINED, at.spot - 1), 1, 99)
    again = state_index(np.ones(STATES, np.int64), np.minimum(spot, 10), spot)
    steps.go(rows, again, by.get(KEPT, nothing), False)
    _turn(steps, rows, by.get(BLOCKED, nothing), np.minimum(at.spot + BLOCKED_LOSS, 99))
    ordinary = values >= 1
    _start(steps, chance[:, None] * law[at.spot - 1][:, ordinary], values[ordinary])


def _kick(at: _Snaps, steps: _Collected, chance: Array) -> None:
    parts = at.parts
    good = parts.make[at.spot - 1]
    returned = (1 - good) * parts.blocked[at.spot - 1] * BLOCK_RETURNED
    steps.scored[:, FIELD_GOAL] += chance * good
    steps.scored[:, AGAINST] += chance * returned
    line = np.minimum(np.maximum(at.spot + HOLD, TOUCHBACK_SPOT), 99)
    _turn(steps, np.arange(STATES), chance * (1 - good - returned), line)


def _flag(at: _Snaps, steps: _Collected, chance: Array) -> None:
    parts = at.parts
    offense = at.chance(parts.flag_on_offense)
    cell = parts.spot_at[at.spot]
    rows = np.arange(STATES)[:, None]
    down = at.down[:, None]
    for side, share, table in (
        (0, offense, parts.flag_offense),
        (1, 1 - offense, parts.flag_defense),
    ):
        values, law = _dense(table)
        whole = (chance * share)[:, None] * law[cell]
        gain = np.clip(values[None, :], at.spot[:, None] - 99, at.spot[:, None] - 1)
        shift = np.clip(gain, SHIFT_LOW, SHIFT_HIGH) - SHIFT_LOW
        fresh = expit(parts.flag_fresh[side, shift].astype(float))
        used = np.where(down < 4, expit(parts.flag_used_down[side, shift].astype(float)), 0.0)
        fresh = np.where(gain >= at.distance[:, None], 1.0, fresh)
        spot = at.spot[:, None] - gain
        distance = np.minimum(at.distance[:, None] - gain, spot)
        short = np.maximum(distance, 1)
        series = state_index(np.ones_like(spot), np.minimum(spot, 10), spot)
        steps.go(rows, series, whole * fresh, False)
        again = state_index(np.broadcast_to(down, spot.shape), short, spot)
        steps.go(rows, again, whole * (1 - fresh) * (1 - used), False)
        later = state_index(np.broadcast_to(np.minimum(down + 1, 4), spot.shape), short, spot)
        steps.go(rows, later, whole * (1 - fresh) * used, False)
