"""Matching the snaps of two logs of one game.

Both logs are sequences in time, either may lack snaps, and clip times run on two copies of the
film. So the two sequences are aligned as a whole (Needleman & Wunsch 1970): a pair costs what its
situations differ, a snap left alone costs :data:`ALONE`, and the cheapest alignment in order is
taken, which is exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pointsleft.log.cells import clip as read_clip
from pointsleft.log.record import Snap

Array = np.ndarray

#: Cost of a snap that the other log does not have. Two snaps that cost more than two of these as
#: a pair are two snaps.
ALONE = 1.5

#: Cost of a difference, and the difference at which it is reached; costs stop there.
CLOCK, CLOCK_SECONDS = 1.5, 30.0
SPOT, SPOT_YARDS = 1.5, 10.0
DISTANCE, DISTANCE_YARDS = 0.5, 5.0
CLIP, CLIP_SECONDS = 1.5, 30.0
PERIOD, DOWN, FAMILY, RESULT = 2.0, 1.0, 0.5, 0.5

#: Cost where one of the two does not say; a little, so that what is known counts for more.
UNSAID = 0.1

#: A share of the shorter log that must match, or the two are not logs of one game.
ENOUGH = 0.5


@dataclass(frozen=True, slots=True)
class Matched:
    """Which snap is which.

    Attributes
    ----------
    pairs
        Indices into the two logs, rising in both.
    only_first, only_second
        Snaps that the other log does not have.
    offset
        Seconds by which the second's clip times run ahead of the first's; ``None`` without clips.
    """

    pairs: tuple[tuple[int, int], ...]
    only_first: tuple[int, ...]
    only_second: tuple[int, ...]
    offset: float | None

    @property
    def share(self) -> float:
        """Share of the shorter log that is matched."""
        shorter = len(self.pairs) + min(len(self.only_first), len(self.only_second))
        return len(self.pairs) / shorter if shorter else 0.0


def match(first: Sequence[Snap], second: Sequence[Snap]) -> Matched:
    """Match the snaps of two logs.

    Situations alone come first; the pairs found so say how far the two films are apart, and with
    that the clip times have their word.
    """
    costs = np.array([[situation_cost(a, b) for b in second] for a in first])
    costs = costs.reshape(len(first), len(second))
    pairs = align(costs)
    clips = [[seconds_of(s) for s in snaps] for snaps in (first, second)]
    gaps = [
        two - one for i, j in pairs if (one := clips[0][i]) is not None
        and (two := clips[1][j]) is not None
    ]  # fmt: skip
    offset = float(np.median(gaps)) if gaps else None
    if offset is not None:
        pairs = align(costs + _clip_costs(clips[0], clips[1], offset))
    left = {i for i, _ in pairs}, {j for _, j in pairs}
    return Matched(
        tuple(pairs),
        tuple(i for i in range(len(first)) if i not in left[0]),
        tuple(j for j in range(len(second)) if j not in left[1]),
        offset,
    )


def seconds_of(snap: Snap) -> float | None:
    """Clip time in seconds."""
    return None if snap.clip is None else read_clip(snap.clip)[0]


def _capped(one: float | None, other: float | None, most: float, at: float) -> float:
    if one is None or other is None:
        return UNSAID
    return most * min(abs(one - other) / at, 1.0)


def situation_cost(one: Snap, other: Snap) -> float:
    """What two snaps differ, clip times aside; 0 where they say the same."""
    cost = FAMILY * (_differ(one.call.family, other.call.family))
    cost += RESULT * (_differ(one.happened.result, other.happened.result))
    a, b = one.situation, other.situation
    if a is None or b is None:
        return cost + (UNSAID if a is b else DOWN)
    cost += PERIOD * (a.period != b.period) + DOWN * (a.down != b.down)
    # a slip of a quarter is one difference; the clock is then not held against it twice
    cost += _capped(a.seconds, b.seconds, CLOCK, CLOCK_SECONDS)
    cost += _capped(a.yards_to_goal, b.yards_to_goal, SPOT, SPOT_YARDS)
    return cost + _capped(a.distance, b.distance, DISTANCE, DISTANCE_YARDS)


def _differ(one: str | None, other: str | None) -> float:
    if one is None or other is None:
        return 0.0
    return float(one != other)


def _clip_costs(
    first: Sequence[float | None], second: Sequence[float | None], offset: float
) -> Array:
    moved = [None if two is None else two - offset for two in second]
    return np.array([[_capped(one, two, CLIP, CLIP_SECONDS) for two in moved] for one in first])


def align(costs: Array, alone: float = ALONE) -> list[tuple[int, int]]:
    """The pairs of the cheapest alignment in order.

    Parameters
    ----------
    costs
        (n, m) cost of every pair.
    alone
        Cost of each row or column that stays alone.

    >>> align(np.array([[0.0, 9.0, 9.0], [9.0, 9.0, 0.0]]))
    [(0, 0), (1, 2)]
    """
    n, m = costs.shape
    best = np.zeros((n + 1, m + 1))
    best[:, 0], best[0] = alone * np.arange(n + 1), alone * np.arange(m + 1)
    for i in range(1, n + 1):
        for j in range(1, m + 1):
            best[i, j] = min(
                best[i - 1, j - 1] + costs[i - 1, j - 1],
                best[i - 1, j] + alone,
                best[i, j - 1] + alone,
            )
    pairs = []
    i, j = n, m
    while i and j:
        if best[i, j] == best[i - 1, j - 1] + costs[i - 1, j - 1]:
            i, j = i - 1, j - 1
            pairs.append((i, j))
        elif best[i, j] == best[i - 1, j] + alone:
            i -= 1
        else:
            j -= 1
    return pairs[::-1]
