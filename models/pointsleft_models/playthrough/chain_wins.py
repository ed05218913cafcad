"""The winner of a coarse game of so many snaps, solved exactly.

The states are those of the next-score chain times the lead. The clock stands still at one reading,
so that calls know the score and the lateness of the game; what runs is the number of snaps left,
and with the last of them the game is over. Every snap leads to a state with one snap less, so the
system is triangular and solved from the end backward, a sparse product at a time. A try after a
kickoff that was run back right after a touchdown takes the luck of the first try in the engine and
its own here; a few in a thousand kickoffs are run back.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pointsleft_models.fitting.logit import expit
from pointsleft_models.laws.kickoff import FREE_KICK_TOUCHBACK
from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.board import class_of
from pointsleft_models.playthrough.chain_steps import (
    AGAINST,
    FIELD_GOAL,
    SAFETY,
    STATES,
    TOUCHDOWN,
    Steps,
    snap_steps,
    state_index,
)
from pointsleft_models.playthrough.parts import KEPT, RETURNED, TOUCHBACK, Parts
from pointsleft_models.playthrough.restart import (
    EXPECTED_FROM,
    KICKOFF_KEPT,
    ONSIDE_KEPT,
    ONSIDE_LOST,
    TABLE_SECONDS,
)

Array = np.ndarray

#: Half of the coarse game.
HALF = 2

#: A lead that counts as won.
MOST = 60
LEADS = np.arange(-MOST, MOST + 1)

#: States of first downs by yards to goal; nothing stands at 0.
_SPOT = np.arange(100)
FIRST_DOWN = state_index(np.ones(100, np.int64), np.minimum(10, _SPOT), _SPOT)


@dataclass(frozen=True, slots=True)
class WinChain:
    """Exact chances to win of every state, a tie counting half.

    Attributes
    ----------
    seconds, snaps
        Reading of the clock, and snaps that are left.
    wins
        (STATES, leads) of the offense, from ``MOST`` behind to as many ahead.
    leaks
        Largest difference from 1 of the chances out of a state: rounding only.
    """

    seconds: int
    snaps: int
    wins: Array
    leaks: float

    def at(self, lead: object, down: object, distance: object, yards_to_goal: object) -> Array:
        """Chances (...) at snaps."""
        state = state_index(np.asarray(down), np.asarray(distance), np.asarray(yards_to_goal))
        return self.wins[state, np.asarray(lead) + MOST]


def win_chain(parts: Parts, seconds: int, snaps: int) -> WinChain:
    """Solve the coarse game of one rule set's parts.

    Parameters
    ----------
    seconds
        Left in the second half, for all of the game.
    snaps
        With the last of them the game is over; 0 is the score as it stands.

    Raises
    ------
    ValueError
        A clock so late that the end of the game is played for.
    """
    groups = _by_class(parts, seconds)
    after = _AfterScores(parts, seconds)
    wins = np.tile(0.5 * (1 + np.sign(LEADS)), (STATES, 1))
    for _ in range(snaps):
        wins = _one_snap(groups, after.values(wins), wins)
    return WinChain(seconds, snaps, wins, max(steps.leaks for _, steps in groups))


def _by_class(parts: Parts, seconds: int) -> list[tuple[Array, Steps]]:
    """Places of the leads that are played alike, with their steps; the outermost leads are over."""
    kind = class_of(LEADS)
    kind[[0, -1]] = -1
    groups = []
    for one in range(codes.SCORES):
        at = np.flatnonzero(kind == one)
        groups.append((at, snap_steps(parts, HALF, seconds, int(LEADS[at[0]]))))
    return groups


def _one_snap(groups: list[tuple[Array, Steps]], after: Array, wins: Array) -> Array:
    """Chances with one snap more.

    Parameters
    ----------
    after
        (4, leads) chance of the offense after each score, by its lead before.
    wins
        (STATES, leads) with the snaps that follow.
    """
    out = wins.copy()
    for at, steps in groups:
        turned = 1 - wins[:, ::-1][:, at]
        out[:, at] = steps.keep @ wins[:, at] + steps.turn @ turned + steps.scored @ after[:, at]
    return out


class _AfterScores:
    """Tries and kickoffs of the coarse game."""

    def __init__(self, parts: Parts, seconds: int) -> None:
        gap = np.clip(LEADS, -codes.MOST_GAP, codes.MOST_GAP) + codes.MOST_GAP
        step = min(seconds // TABLE_SECONDS, parts.two_points.shape[1] - 1)
        #: (leads,) that a side ahead by so much after a touchdown goes for two, and each try made.
        self._two = expit(parts.two_points[gap, step].astype(float))
        self._made_two, self._made_one = parts.two_point, parts.extra_point
        code = parts.clock_at[seconds]
        self._onside = expit(parts.onside[HALF - 1, class_of(LEADS), code].astype(float))
        late = (LEADS < 0) & (seconds <= EXPECTED_FROM)
        self._recovered = parts.onside_kept[late.astype(np.int64)]
        self._kickoff, self._free_kick = parts.kickoff.law(0), parts.free_kick.law(0)
        self._touchback = parts.rules.touchback

    def values(self, wins: Array) -> Array:
        """(4, leads) chance of the offense after each score, by its lead before the score."""
        kicker = self._kick_off(wins)
        touchdown = _moved(self._tried(kicker), 6)
        out = np.empty((4, len(LEADS)))
        out[TOUCHDOWN] = touchdown
        out[FIELD_GOAL] = _moved(kicker, 3)
        out[SAFETY] = _moved(self._deep(wins, self._free_kick, FREE_KICK_TOUCHBACK), -2)
        out[AGAINST] = 1 - touchdown[::-1]
        return out

    def _tried(self, value: Array) -> Array:
        """(leads,) chance of a side before its try, from that after it, by its lead."""
        two = self._made_two * _moved(value, 2) + (1 - self._made_two) * value
        one = self._made_one * _moved(value, 1) + (1 - self._made_one) * value
        return self._two * two + (1 - self._two) * one

    def _kick_off(self, wins: Array) -> Array:
        """(leads,) chance of the side that kicks off, by its lead."""
        kept = wins[FIRST_DOWN[ONSIDE_KEPT]]
        lost = 1 - wins[FIRST_DOWN[ONSIDE_LOST]][::-1]
        onside = self._recovered * kept + (1 - self._recovered) * lost
        deep = self._deep(wins, self._kickoff, self._touchback)
        return self._onside * onside + (1 - self._onside) * deep

    def _deep(self, wins: Array, law: tuple[Array, Array], touchback: int) -> Array:
        total = np.zeros(len(LEADS))
        for drawn, chance in zip(*law, strict=True):
            total += chance * self._after_kick(wins, int(drawn), touchback)
        return total

    def _after_kick(self, wins: Array, drawn: int, touchback: int) -> Array:
        """(leads,) chance of the kicking side after one outcome of a kick."""
        if drawn == KEPT:
            return np.asarray(wins[FIRST_DOWN[KICKOFF_KEPT]])
        if drawn == RETURNED:
            # the receiver scores, tries, and kicks off to a touchback
            again = 1 - wins[FIRST_DOWN[100 - self._touchback]][::-1]
            return np.asarray(1 - _moved(self._tried(again), 6)[::-1])
        start = touchback if drawn == TOUCHBACK else min(max(drawn, 1), 99)
        return np.asarray(1 - wins[FIRST_DOWN[100 - start]][::-1])


def _moved(value: Array, points: int) -> Array:
    """(leads,) a value by the lead before so many points, from that after them."""
    return np.asarray(value[np.clip(np.arange(len(LEADS)) + points, 0, len(LEADS) - 1)])
