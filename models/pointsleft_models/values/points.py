"""Expected points of a situation.

EP is the expected net points of the next score of the half for the team with the ball, *with
the score level*: the fit knows what teams do when they are far ahead or behind, and the
currency leaves that out, so a point means the same at every score. A score is worth its points,
plus the expected try, minus k, what the other side gains by receiving the kickoff; the same
convention holds inside EP and for outcomes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from pointsleft_models.fitting.within import within
from pointsleft_models.football.rules import RuleSet
from pointsleft_models.laws.kickoff import RETURN_SECONDS, KickoffLaw, Starts
from pointsleft_models.values.at_least import AtLeast, held
from pointsleft_models.values.ending import knelt_to_the_end
from pointsleft_models.values.next_score import NextScore
from pointsleft_models.values.states import States, states

Array = np.ndarray

TOUCHDOWN, FIELD_GOAL, SAFETY = 6, 3, 2

#: Rounds after which the value of a kickoff has settled (it enters its own definition).
ROUNDS = 12


@dataclass(frozen=True)
class KickoffClock:
    """When the next score comes, given the time left: how k inside EP follows the clock.

    Attributes
    ----------
    knots
        (m,) seconds left in the half.
    mixing
        (m, m) rows: time left now; columns: time left at the next score; rows sum to 1.
    """

    knots: Array
    mixing: Array


@dataclass(frozen=True)
class ExpectedPoints:
    """EP under one rule set.

    Attributes
    ----------
    next_score
        Chances of the next score.
    kickoff
        Law of where drives start.
    clock
        When the next score comes.
    rules
        The rule set.
    try_points
        Expected points of the try after a touchdown.
    """

    next_score: NextScore
    kickoff: KickoffLaw
    clock: KickoffClock
    rules: RuleSet
    try_points: float

    @property
    def refits(self) -> int:
        return self.next_score.refits

    def only(self, fit: int) -> ExpectedPoints:
        """The same values with one fit as the point fit: 0 itself, r its r-th refit."""
        if fit == 0:
            return self
        return replace(self, next_score=self.next_score.only(fit))

    # -- the value of a kickoff ---------------------------------------------------------------

    @cached_property
    def _kickoffs(self) -> tuple[Array, Array]:
        """(1 + refits, m) points of receiving a kickoff and a free kick, by the clock's knots.

        The refits share the point fit's law of starts: its spread moves k by less than .01.
        """
        knots = self.clock.knots
        laws = [self.kickoff.starts(self.rules, free_kick=free) for free in (False, True)]
        chances = [self._start_chances(law, knots) for law in laws]
        fits = chances[0].shape[0]
        k = np.full((fits, len(knots)), 0.5)
        free = np.full((fits, len(knots)), 0.5)
        for _ in range(ROUNDS):
            inner_k, inner_free = k @ self.clock.mixing.T, free @ self.clock.mixing.T
            new = []
            for law, chance in zip(laws, chances, strict=True):
                value = self._net(chance, inner_k, inner_free)
                touchdown = TOUCHDOWN + self.try_points - k
                kept = 4.0  # EP of the kicking side first and ten at the 25
                new.append(value + law.returned * touchdown - law.kept * kept)
            k, free = new
        return k, free

    def _start_chances(self, law: Starts, knots: Array) -> Array:
        """(1 + refits, m, 7) class chances averaged over the starts of a law."""
        lines = np.flatnonzero(law.probability > 1e-6)
        after = np.maximum(knots - RETURN_SECONDS, 0)
        at = states(
            yards_to_goal=np.tile(99 - lines, len(knots)),
            half_seconds=np.repeat(after, len(lines)),
            down=1,
            distance=10,
        )
        chances = self.next_score.probabilities_all(at)
        chances = chances.reshape(len(chances), len(knots), len(lines), 7)
        averaged = np.einsum("fmlc,l->fmc", chances, law.probability[lines])
        return np.where(after[None, :, None] <= 0, 0.0, averaged)

    def _net(self, chances: Array, k: Array, free: Array) -> Array:
        """(...) net points of next-score chances (..., 7), a kickoff worth k to its receiver."""
        touchdowns = chances[..., 1] - chances[..., 6]
        goals = chances[..., 2] - chances[..., 5]
        safeties = chances[..., 3] - chances[..., 4]
        return (
            (TOUCHDOWN + self.try_points - k) * touchdowns
            + (FIELD_GOAL - k) * goals
            + (SAFETY + free) * safeties
        )

    def _at_clock(self, table: Array, seconds: Array) -> Array:
        """Interpolate (1 + refits, m) over the knots at seconds (n,)."""
        x = np.log(np.asarray(seconds, dtype=float) + 4)
        knots = np.log(self.clock.knots + 4)
        right = within(np.searchsorted(knots, x), 1, len(knots) - 1)
        share = within((x - knots[right - 1]) / (knots[right] - knots[right - 1]), 0, 1)
        return table[:, right - 1] * (1 - share) + table[:, right] * share

    @cached_property
    def _by_second(self) -> tuple[Array, Array, Array, Array]:
        """(1801,) kickoff and free kick now, and at the time of the next score; point fit."""
        seconds = np.arange(1801)
        k, free, inner_k, inner_free = (
            self._at_clock(table[:1], seconds)[0] for table in (*self._kickoffs, *self._inner)
        )
        return k, free, inner_k, inner_free

    def receiving(self, half_seconds: Array) -> Array:
        """Net points of being about to receive a kickoff (n,)."""
        return self._by_second[0][np.asarray(half_seconds, dtype=int)]

    def receiving_free_kick(self, half_seconds: Array) -> Array:
        """Net points of being about to receive the free kick after a safety (n,)."""
        return self._by_second[1][np.asarray(half_seconds, dtype=int)]

    def receiving_all(self, half_seconds: Array) -> Array:
        """(1 + refits, n) of :meth:`receiving`."""
        return self._at_clock(self._kickoffs[0], half_seconds)

    def receiving_free_kick_all(self, half_seconds: Array) -> Array:
        """(1 + refits, n) of :meth:`receiving_free_kick`."""
        return self._at_clock(self._kickoffs[1], half_seconds)

    # -- the value of a situation -------------------------------------------------------------

    def points(self, at: States) -> Array:
        """Expected points (n,) of a snap about to be played, the score taken as level."""
        wide = AtLeast(at)
        level = self.next_score.probabilities(wide.states.even())
        return wide.best(self.worth_of(level, wide.states))

    def eased(self, at: States, among: Array | None = None) -> States:
        """Every situation, or the harder one that the point fit has worth more.

        Parameters
        ----------
        among
            (n,) which situations may be taken for harder ones; all where absent.
        """
        rows = held(at, among)
        if not len(rows):
            return at
        wide = AtLeast(at.take(rows))
        level = self.next_score.probabilities(wide.states.even())
        chosen = wide.chosen(self.worth_of(level, wide.states))
        down, distance = at.down.copy(), at.distance.copy()
        down[rows], distance[rows] = chosen.down, chosen.distance
        return replace(at, down=down, distance=distance)

    def fitted(self, at: States) -> tuple[Array, Array]:
        """Points (n,) as fitted, not held against harder situations, and the next-score chances
        (n, 7) at the score as it is."""
        chances, level = self.next_score.both(at)
        return self.worth_of(level, at), chances

    def fitted_all(self, at: States) -> tuple[Array, Array]:
        """The same under every fit, (1 + refits, n) and (1 + refits, n, 7)."""
        chances, level = self.next_score.both_all(at)
        return self.worth_of_all(level, at), chances

    def worth_of(self, chances: Array, at: States) -> Array:
        """Net points (n,) of next-score chances (n, 7), point fit."""
        now = within(at.half_seconds, 0, 1800).astype(int)
        k, free = (table[now] for table in self._by_second[2:])
        return _or_knelt(self._net(chances, k, free), at)

    def points_all(self, at: States) -> Array:
        """(1 + refits, n) of :meth:`points`."""
        eased = self.eased(at)
        return self.worth_of_all(self.next_score.probabilities_all(eased.even()), eased)

    def worth_of_all(self, chances: Array, at: States) -> Array:
        """(1 + refits, n) net points of next-score chances (1 + refits, n, 7)."""
        inner = [self._at_clock(table, at.half_seconds) for table in self._inner]
        return _or_knelt(self._net(chances, *inner), at)

    @cached_property
    def _inner(self) -> tuple[Array, Array]:
        """(1 + refits, m) value of kickoff and free kick at the time of the next score."""
        k, free = self._kickoffs
        return k @ self.clock.mixing.T, free @ self.clock.mixing.T

    def gross_points(self, at: States) -> Array:
        """Expected points without the price of the kickoff (touchdown 6 + try, field goal 3)."""
        eased = self.eased(at)
        return _or_knelt(self.gross_of(self.next_score.probabilities(eased.even())), eased)

    def gross_points_all(self, at: States) -> Array:
        """(1 + refits, n) of :meth:`gross_points`."""
        eased = self.eased(at)
        return _or_knelt(self.gross_of(self.next_score.probabilities_all(eased.even())), eased)

    def gross_of(self, chances: Array) -> Array:
        """Gross points (..., n) of next-score chances (..., n, 7)."""
        return self._net(chances, np.array(0.0), np.array(0.0))


def _or_knelt(points: Array, at: States) -> Array:
    """(..., n) points, never below nothing where the offense can kneel the half out."""
    return np.where(knelt_to_the_end(at), np.maximum(points, 0), points)
