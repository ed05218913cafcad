"""The next score as an absorbing chain, solved exactly.

States are down, rounded distance and yards to goal, with the score level and the clock far from
the end of a half; a change of possession turns the view. The chances of every step are read off
the tables that the engine draws from, so the engine's coarse mode and this must agree.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import splu

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

#: Half, seconds left in it, and lead at which the chain stands still.
HALF, SECONDS, LEAD = 1, 900, 0

GOAL_TO_GO = len(COARSE_TO_GO)
BINS = GOAL_TO_GO + 1
STATES = 4 * BINS * codes.SPOTS

# Columns of the absorbing part: scores of the offense, then of the defense.
_TOUCHDOWN, _FIELD_GOAL, _SAFETY, _AGAINST = range(4)


def state_index(down: Array, distance: Array, yards_to_goal: Array) -> Array:
    """Number of the state of a snap; distances are rounded."""
    rounded = coarse_distance(distance, yards_to_goal)
    bin_ = np.where(
        rounded >= yards_to_goal, GOAL_TO_GO, np.minimum(np.searchsorted(COARSE_TO_GO, rounded),
        GOAL_TO_GO - 1),
    )  # fmt: skip
    return (((down - 1) * BINS + bin_) * codes.SPOTS + yards_to_goal - 1).astype(np.int64)


@dataclass
class _Steps:
    """Chances of going from state to state while they are collected."""

    rows: list[Array] = field(default_factory=list)
    columns: list[Array] = field(default_factory=list)
    chances: list[Array] = field(default_factory=list)
    turned: list[Array] = field(default_factory=list)
    absorbed: Array = field(default_factory=lambda: np.zeros((STATES, 4)))

    def go(self, rows: Array, to: Array, chance: Array, turned: bool) -> None:
        rows, to, chance = np.broadcast_arrays(rows, to, chance)
        used = chance.ravel() > 0
        self.rows.append(rows.ravel()[used])
        self.columns.append(to.ravel()[used])
        self.chances.append(chance.ravel()[used])
        self.turned.append(np.full(int(used.sum()), turned))

    def matrix(self, turned: bool) -> sp.csc_matrix:
        rows, columns, chances = (
            np.concatenate(x) for x in (self.rows, self.columns, self.chances)
        )
        kept = np.concatenate(self.turned) == turned
        return sp.csc_matrix((chances[kept], (rows[kept], columns[kept])), shape=(STATES, STATES))


@dataclass(frozen=True, slots=True)
class NextScoreChain:
    """Exact chances of the next score of every state.

    Attributes
    ----------
    chances
        (STATES, 7) by the classes of the next-score model.
    leaks
        Largest difference from 1 of the chances out of a state: rounding only.
    """

    chances: Array
    leaks: float

    def at(self, down: object, distance: object, yards_to_goal: object) -> Array:
        """(..., 7) chances at snaps."""
        return self.chances[
            state_index(np.asarray(down), np.asarray(distance), np.asarray(yards_to_goal))
        ]

    def points(self, values: Array) -> Array:
        """(STATES,) expected points, the classes worth ``values`` (7,)."""
        return self.chances @ values


class _Snaps:
    """Every state's snap, with what the parts say of it."""

    def __init__(self, parts: Parts) -> None:
        down, bin_, spot = np.meshgrid(
            np.arange(1, 5), np.arange(BINS), np.arange(1, codes.SPOTS + 1), indexing="ij"
        )
        self.down, self.spot = down.ravel(), spot.ravel()
        known = np.append(COARSE_TO_GO, codes.SPOTS)[bin_.ravel()]
        self.distance = np.minimum(known, self.spot)
        self.parts = parts
        clock = np.full(STATES, parts.clock_at[SECONDS])
        score = class_of(np.full(STATES, LEAD))
        self._spot_at = spot_index(self.down, self.distance, self.spot)
        self._mood_at = mood_index(self.down, np.zeros(STATES, np.int64), score, clock)
        self.gain_cell = parts.gain_cell(
            self.down, self.distance, self.spot, np.full(STATES, codes.USUAL)
        )

    def chance(self, table: PairTable) -> Array:
        return expit(table.eta(self._spot_at, self._mood_at).astype(float))


def next_score_chain(parts: Parts) -> NextScoreChain:
    """Solve the chain of one rule set's parts."""
    at, steps = _Snaps(parts), _Steps()
    flag = at.chance(parts.flag)
    _flag(at, steps, flag)
    rest = 1 - flag
    fourth = at.down == 4
    kicks = np.where(fourth, at.chance(parts.kick), 0.0)
    goes = np.where(fourth, at.chance(parts.go), 1.0)
    _kick(at, steps, rest * kicks)
    _punt(at, steps, rest * (1 - kicks) * (1 - goes))
    _scrimmage(at, steps, rest * (1 - kicks) * goes)
    return _solve(steps)


def _dense(table: QuantileTable) -> tuple[Array, Array]:
    """Values, and chances (cells, values), of a table of quantiles."""
    values = table.values.reshape(-1, SLOTS).astype(np.int64)
    first, last = int(values.min()), int(values.max())
    chances = np.zeros((len(values), last - first + 1))
    for k in range(SLOTS):
        np.add.at(chances, (np.arange(len(values)), values[:, k] - first), SLOT_CHANCE[k])
    return np.arange(first, last + 1), chances


def _scrimmage(at: _Snaps, steps: _Steps, play: Array) -> None:
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


def _gain(at: _Snaps, steps: _Steps, chance: Array, yards: Array) -> None:
    """A play that kept the ball: (STATES, len(yards)) chances of its gains."""
    gain = np.minimum(yards[None, :], at.spot[:, None])
    after = at.spot[:, None] - gain
    steps.absorbed[:, _TOUCHDOWN] += np.where(after <= 0, chance, 0).sum(1)
    steps.absorbed[:, _SAFETY] += np.where(after >= 100, chance, 0).sum(1)
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


def _turn(steps: _Steps, rows: Array, chance: Array, own_line: Array) -> None:
    """The other side's first and ten at its own yard line."""
    spot = 100 - own_line
    to = state_index(np.ones_like(spot), np.minimum(10, spot), spot)
    steps.go(rows, to, chance, True)


def _lost_ball(at: _Snaps, steps: _Steps, chance: Array, fumbled: int) -> None:
    values, law = _dense(at.parts.turnover)
    _start(steps, chance[:, None] * law[fumbled * codes.SPOTS + at.spot - 1], values)


def _start(steps: _Steps, chance: Array, values: Array) -> None:
    """The other side starts at an own yard line, or has scored (100)."""
    scored = values >= RETURNED
    steps.absorbed[:, _AGAINST] += chance[:, scored].sum(1)
    rows = np.arange(STATES)[:, None]
    _turn(steps, rows, chance[:, ~scored], np.clip(values[~scored], 1, 99)[None, :])


def _punt(at: _Snaps, steps: _Steps, chance: Array) -> None:
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


def _kick(at: _Snaps, steps: _Steps, chance: Array) -> None:
    parts = at.parts
    good = parts.make[at.spot - 1]
    returned = (1 - good) * parts.blocked[at.spot - 1] * BLOCK_RETURNED
    steps.absorbed[:, _FIELD_GOAL] += chance * good
    steps.absorbed[:, _AGAINST] += chance * returned
    line = np.minimum(np.maximum(at.spot + HOLD, TOUCHBACK_SPOT), 99)
    _turn(steps, np.arange(STATES), chance * (1 - good - returned), line)


def _flag(at: _Snaps, steps: _Steps, chance: Array) -> None:
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


def _solve(steps: _Steps) -> NextScoreChain:
    keep, turn = steps.matrix(False), steps.matrix(True)
    total = np.asarray(keep.sum(1) + turn.sum(1)).ravel() + steps.absorbed.sum(1)
    own = np.zeros((STATES, 3))  # touchdown, field goal, safety for the offense
    other = np.zeros((STATES, 3))  # the same for the defense
    own[:, 0], own[:, 1] = steps.absorbed[:, _TOUCHDOWN], steps.absorbed[:, _FIELD_GOAL]
    other[:, 0], other[:, 2] = steps.absorbed[:, _AGAINST], steps.absorbed[:, _SAFETY]
    eye = sp.identity(STATES, format="csc")
    # for + against and for - against obey one equation each: a turn of the view swaps the two
    both = splu(eye - keep - turn).solve(own + other)
    gap = splu(eye - keep + turn).solve(own - other)
    ours, theirs = (both + gap) / 2, (both - gap) / 2
    none = np.zeros(STATES)
    chances = np.column_stack(
        [none, ours[:, 0], ours[:, 1], ours[:, 2], theirs[:, 2], theirs[:, 1], theirs[:, 0]]
    )
    return NextScoreChain(chances, float(np.abs(total - 1).max()))
