"""What can follow a snap: the next snap at every spot and moment, or a half that is over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pointsleft_models.football.rules import RuleSet
from pointsleft_models.laws.clock import ClockLaw, Elapsed, stops_at_first_down
from pointsleft_models.laws.lattice import OTHER, RUNNING, SPOTS, STOPPED
from pointsleft_models.laws.setting import Setting
from pointsleft_models.values.states import States, spread_column

Array = np.ndarray

_SPOTS = np.arange(1, SPOTS + 1)
_EVERYWHERE = np.ones(SPOTS)


@dataclass(frozen=True, slots=True)
class Team:
    """The rest of a situation that outcomes carry along.

    ``spread`` is the points by which the offense was favoured before the game, ``None`` unknown.
    """

    own_timeouts: int
    other_timeouts: int
    receives: int
    spread: float | None = None


@dataclass(frozen=True, slots=True)
class Block:
    """Situations that follow a snap: 99 spots at one moment."""

    first: int  # first cell
    seconds: int  # left in the half
    own_timeouts: int
    other_timeouts: int
    weights: Array  # (SPOTS,)


@dataclass(frozen=True, slots=True)
class Following:
    """What can follow one play.

    Attributes
    ----------
    blocks
        The next snaps.
    ended
        First cell and weights (SPOTS,) with which the half is over.
    moments, weights
        Seconds left (k,) when a play that stops the clock is over, and how likely.
    """

    blocks: list[Block]
    ended: list[tuple[int, Array]]
    moments: list[int]
    weights: Array


def following(
    clock: ClockLaw, rules: RuleSet, at: Setting, team: Team, play_seconds: float
) -> Following:
    """What can follow a play that takes ``play_seconds``."""
    stopped = clock.stopped(at, play_seconds)
    blocks: list[Block] = []
    ended: list[tuple[int, Array]] = []
    for first, moments, spots in (
        *((RUNNING, m, spots) for m, spots in _waits(clock, rules, at, team, play_seconds)),
        (STOPPED, stopped, _EVERYWHERE),
        (OTHER, stopped, _EVERYWHERE),
    ):
        over = 0.0
        for e in moments:
            if e.weight <= 0:
                continue
            if e.seconds >= at.half_seconds:
                over += e.weight
            else:
                blocks.append(_block(first, at, team, e, spots))
        if over > 0:
            ended.append((first, over * spots))
    return Following(
        blocks,
        ended,
        [max(at.half_seconds - e.seconds, 0) for e in stopped],
        np.array([e.weight for e in stopped]),
    )


def _waits(
    clock: ClockLaw, rules: RuleSet, at: Setting, team: Team, play_seconds: float
) -> list[tuple[tuple[Elapsed, ...], Array]]:
    """Waits after a play in bounds, and where they hold: a first down may stop the clock."""
    given = at, play_seconds, team.own_timeouts, team.other_timeouts, rules
    running = clock.running(*given)
    if not stops_at_first_down(rules, at, play_seconds):
        return [(running, _EVERYWHERE)]
    moved = (at.yards_to_goal - _SPOTS >= at.distance).astype(float)
    return [(running, 1 - moved), (clock.running(*given, first_down=True), moved)]


def _block(first: int, at: Setting, team: Team, e: Elapsed, spots: Array) -> Block:
    return Block(
        first,
        at.half_seconds - e.seconds,
        max(team.own_timeouts - e.own_timeout, 0),
        max(team.other_timeouts - e.other_timeout, 0),
        e.weight * spots,
    )


def failed_spots(at: Setting) -> Array:
    """Spots (from 0) at which a fourth down has failed; none on other downs."""
    if at.down < 4:
        return np.zeros(0, dtype=int)
    return np.arange(max(at.yards_to_goal - at.distance, 0), SPOTS)


def next_states(at: Setting, team: Team, blocks: Sequence[Block]) -> tuple[States, Array]:
    """States of all blocks, each from the view of whoever has the ball, and +1 where that is the
    offense still, -1 where not (n,)."""
    first_down = at.yards_to_goal - _SPOTS >= at.distance
    kept = first_down | (at.down < 4)
    spot = np.where(kept, _SPOTS, 100 - _SPOTS)
    distance = np.where(first_down, 10, at.distance - at.yards_to_goal + _SPOTS)
    keep = (
        np.where(kept & ~first_down, at.down + 1, 1),
        np.minimum(np.where(kept, distance, 10), spot),
        spot,
        np.where(kept, 1, -1),
    )
    other = (
        np.ones(SPOTS, dtype=int),
        np.minimum(10, 100 - _SPOTS),
        100 - _SPOTS,
        np.full(SPOTS, -1),
    )
    # (4, 2, SPOTS) -> (4, n): columns by kind of block, then block by block
    kinds = np.array([keep, other]).transpose(1, 0, 2)
    which = np.array([b.first == OTHER for b in blocks], dtype=int)
    down, distance, spot, sign = kinds[:, which].reshape(4, -1)
    n = len(sign)
    each = np.array(
        [(b.seconds, b.own_timeouts, b.other_timeouts) for b in blocks], dtype=int
    ).reshape(-1, 3)
    seconds, own, opp = np.repeat(each, SPOTS, axis=0).T
    ours = sign > 0
    states = States(
        down=down,
        distance=distance,
        yards_to_goal=spot,
        half=np.full(n, at.half),
        half_seconds=seconds,
        lead=at.lead * sign,
        own_timeouts=np.where(ours, own, opp),
        opponent_timeouts=np.where(ours, opp, own),
        receives=team.receives * sign,
        home=np.zeros(n),
        spread=spread_column(team.spread) * sign,
    )
    return states, sign
