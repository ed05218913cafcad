"""What every outcome of a snap is worth: the value of each cell of the lattice.

One field serves all options of a snap, so an option's exact value is a sum over its law. The
only place where the view turns: when the other side has the ball, points change their sign and
wins become one minus.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pointsleft_models.football.rules import RuleSet
from pointsleft_models.laws.clock import ClockLaw, Elapsed, stops_at_first_down
from pointsleft_models.laws.lattice import (
    CELLS,
    OTHER,
    RUNNING,
    SPOTS,
    STOPPED,
)
from pointsleft_models.laws.setting import Setting
from pointsleft_models.values.ending import end_value
from pointsleft_models.values.kickoffs import Kickoff, KickoffBook, condensed_starts
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.states import States, joined
from pointsleft_models.values.wins import WinProbability

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Team:
    """The rest of a situation that outcomes carry along."""

    own_timeouts: int
    other_timeouts: int
    receives: int
    spread: float = 0.0


@dataclass(frozen=True, slots=True)
class Field:
    """Value of every cell, in points and in wins.

    Attributes
    ----------
    points, wins
        (fits, CELLS), from the view of the offense; ``None`` where not defined.
    """

    points: Array | None
    wins: Array | None


@dataclass(frozen=True, slots=True)
class _Block:
    """Situations that follow a snap: 99 spots at one moment."""

    first: int  # first cell
    seconds: int  # left in the half
    own_timeouts: int
    other_timeouts: int
    weight: float
    spots: Array | None = None  # (SPOTS,) 1 where it can come so, 0 where not; None: everywhere


@dataclass(frozen=True, slots=True)
class _Plan:
    """What can follow a play: the next snaps, a half that is over, the moments of a score."""

    blocks: list[_Block]
    ended: list[tuple[int, Array]]  # first cell and weights (SPOTS,)
    moments: list[tuple[int, float]]  # seconds left and weight


class Valuation:
    """Values the cells of a lattice under one rule set.

    Parameters
    ----------
    points, wins
        The two currencies; they share rules and refits.
    clock
        Laws of the clock.
    two_point
        Chance of a two-point try.
    """

    def __init__(
        self, points: ExpectedPoints, wins: WinProbability, clock: ClockLaw, two_point: float
    ) -> None:
        self.points = points
        self.wins = wins
        self.clock = clock
        self.two_point = two_point
        self.rules: RuleSet = points.rules
        self._starts = condensed_starts(points)

    # -- the cells of one snap ----------------------------------------------------------------

    def field(
        self,
        at: Setting,
        team: Team,
        play_seconds: float,
        *,
        with_points: bool = True,
        with_wins: bool = True,
        refits: bool = False,
    ) -> Field:
        """Value every cell after a play that takes ``play_seconds``."""
        return self.fields(
            at, team, (play_seconds,), with_points=with_points, with_wins=with_wins, refits=refits
        )[0]

    def fields(
        self,
        at: Setting,
        team: Team,
        plays: Sequence[float],
        *,
        with_points: bool = True,
        with_wins: bool = True,
        refits: bool = False,
    ) -> list[Field]:
        """Value every cell after each of some plays that take so many seconds.

        Parameters
        ----------
        plays
            Seconds that each of the plays takes; they are valued in one go.
        refits
            One row for the point fit and each refit.
        """
        ends = [self._plan(at, team, seconds) for seconds in plays]
        blocks = [block for plan in ends for block in plan.blocks]
        states, sign = self._states(at, team, blocks)
        if with_wins:
            points, wins = self._wins(at, team, ends, states, sign, refits)
        else:
            points = self.points.points_all(states) if refits else self.points.points(states)[None]
            wins = [None] * len(ends)
        signed, out, first = points * sign, [], 0
        failed = _failed(at)
        for plan, won in zip(ends, wins, strict=True):
            last = first + len(plan.blocks) * SPOTS
            valued = self._points(signed[:, first:last], plan, refits) if with_points else None
            for table in (valued, won):
                if table is not None:  # the clock stands when the ball changes hands
                    table[:, RUNNING + failed] = table[:, STOPPED + failed]
            out.append(Field(valued, won))
            first = last
        return out

    def _plan(self, at: Setting, team: Team, play_seconds: float) -> _Plan:
        blocks, ended = self._blocks(at, team, play_seconds)
        moments = [
            (max(at.half_seconds - e.seconds, 0), e.weight)
            for e in self.clock.stopped(at, play_seconds)
        ]
        return _Plan(blocks, ended, moments)

    def _points(self, signed: Array, plan: _Plan, refits: bool) -> Array:
        """(fits, CELLS) points after one play."""
        points = self._spread(signed, plan.blocks, len(signed))
        for seconds, weight in plan.moments:
            points[:, 3 * SPOTS :] += weight * self._score_points(seconds, refits)
        return points

    def _wins(
        self, at: Setting, team: Team, ends: list[_Plan], states: States, sign: Array,
        refits: bool,
    ) -> tuple[Array, list[Array | None]]:  # fmt: skip
        """Points of the states (fits, n), which wins need anyway, and wins of each play's cells."""
        fits = 1 + self.wins.refits if refits else 1
        book = KickoffBook(self._starts, fits)

        def after(plan: _Plan) -> tuple[Array, Array]:
            """Scores (fits, 4) and a half that is over (fits,)."""
            total = np.zeros((fits, 4))
            for seconds, weight in plan.moments:
                total += weight * self._score_wins(book, at, team, seconds)
            over = self._half_over(book, at, team, at.lead, fits) if plan.ended else np.zeros(fits)
            return total, over

        for plan in ends:
            after(plan)  # notes the kickoffs that are needed
        n = len(states)
        points, raw = self.wins.with_points(joined(states, book.states()), refits=refits)
        book.close(raw[:, n:])
        own = np.where(sign > 0, raw[:, :n], 1 - raw[:, :n])
        out: list[Array | None] = []
        first = 0
        for plan in ends:
            scores, over = after(plan)
            last = first + len(plan.blocks) * SPOTS
            wins = self._spread(own[:, first:last], plan.blocks, fits)
            for cell, weights in plan.ended:
                wins[:, cell : cell + SPOTS] += weights * over[:, None]
            wins[:, 3 * SPOTS :] = scores
            out.append(wins)
            first = last
        return points[:, :n], out

    def _blocks(
        self, at: Setting, team: Team, play_seconds: float
    ) -> tuple[list[_Block], list[tuple[int, Array]]]:
        """Moments at which the next snap can come, and the weights with which the half is over."""
        stopped = self.clock.stopped(at, play_seconds)
        everywhere = np.ones(SPOTS)
        blocks: list[_Block] = []
        ended: list[tuple[int, Array]] = []
        waits = self._waits(at, team, play_seconds)
        for first, moments, spots in (
            *((RUNNING, moments, spots) for moments, spots in waits),
            (STOPPED, stopped, None),
            (OTHER, stopped, None),
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
                ended.append((first, over * (everywhere if spots is None else spots)))
        return blocks, ended

    def _waits(
        self, at: Setting, team: Team, play_seconds: float
    ) -> list[tuple[tuple[Elapsed, ...], Array | None]]:
        """Waits after a play in bounds, and where they hold: a first down may stop the clock."""
        given = at, play_seconds, team.own_timeouts, team.other_timeouts, self.rules
        running = self.clock.running(*given)
        if not stops_at_first_down(self.rules, at, play_seconds):
            return [(running, None)]
        moved = (at.yards_to_goal - np.arange(1, SPOTS + 1) >= at.distance).astype(float)
        return [(running, 1 - moved), (self.clock.running(*given, first_down=True), moved)]

    def _states(self, at: Setting, team: Team, blocks: list[_Block]) -> tuple[States, Array]:
        """States of all blocks, and +1 where the offense keeps the ball, -1 where not."""
        spots = np.arange(1, SPOTS + 1)
        gain = at.yards_to_goal - spots
        first_down = gain >= at.distance
        kept = first_down | (at.down < 4)
        down = np.where(first_down, 1, at.down + 1)
        distance = np.where(first_down, 10, at.distance - gain)
        keep = _Columns(
            down=np.where(kept, down, 1),
            distance=np.minimum(np.where(kept, distance, 10), np.where(kept, spots, 100 - spots)),
            spot=np.where(kept, spots, 100 - spots),
            sign=np.where(kept, 1, -1),
        )
        other = _Columns(
            down=np.ones(SPOTS, dtype=int),
            distance=np.minimum(10, 100 - spots),
            spot=100 - spots,
            sign=np.full(SPOTS, -1),
        )
        columns = [other if b.first == OTHER else keep for b in blocks]
        sign = np.concatenate([c.sign for c in columns]) if columns else np.zeros(0, dtype=int)
        own = np.repeat([b.own_timeouts for b in blocks], SPOTS)
        opp = np.repeat([b.other_timeouts for b in blocks], SPOTS)
        n = len(sign)
        states = States(
            down=_join(c.down for c in columns),
            distance=_join(c.distance for c in columns),
            yards_to_goal=_join(c.spot for c in columns),
            half=np.full(n, at.half),
            half_seconds=np.repeat([b.seconds for b in blocks], SPOTS),
            lead=at.lead * sign,
            own_timeouts=np.where(sign > 0, own, opp),
            opponent_timeouts=np.where(sign > 0, opp, own),
            receives=team.receives * sign,
            home=np.zeros(n),
            spread=team.spread * sign,
        )
        return states, sign

    def _spread(self, raw: Array, blocks: list[_Block], fits: int) -> Array:
        out = np.zeros((fits, CELLS))
        for at, block in enumerate(blocks):
            here = raw[:, at * SPOTS : (at + 1) * SPOTS]
            weight = block.weight if block.spots is None else block.weight * block.spots
            out[:, block.first : block.first + SPOTS] += weight * here
        return out

    # -- scores -------------------------------------------------------------------------------

    def _score_points(self, seconds: int, refits: bool) -> Array:
        """(fits, 4) points of TOUCHDOWN, FIELD_GOAL, SAFETY, DEFENSE_TOUCHDOWN."""
        if refits:
            k = self.points.receiving_all(np.array([seconds]))[:, 0]
            free = self.points.receiving_free_kick_all(np.array([seconds]))[:, 0]
        else:
            k = self.points.receiving(np.array([seconds]))
            free = self.points.receiving_free_kick(np.array([seconds]))
        if seconds <= 0:
            k, free = np.zeros_like(k), np.zeros_like(free)
        touchdown = 6 + self.points.try_points - k
        return np.stack([touchdown, 3 - k, -2 - free, -touchdown], axis=-1)

    def _score_wins(self, book: KickoffBook, at: Setting, team: Team, seconds: int) -> Array:
        """(fits, 4) wins of the same, the better of the two tries taken."""

        def after(change: int, *, receives: bool, free_kick: bool = False) -> Array:
            lead = at.lead + change
            if seconds <= 0:
                return self._half_over(book, at, team, lead)
            return book.wins(self._kickoff(at, team, lead, seconds, receives, free_kick))

        ours = self._better_try(*(after(p, receives=False) for p in (6, 7, 8)))
        theirs = self._better_try(*(1 - after(-p, receives=True) for p in (6, 7, 8)))
        field_goal = after(3, receives=False)
        safety = after(-2, receives=False, free_kick=True)
        return np.stack([ours, field_goal, safety, 1 - theirs], axis=-1)

    def _better_try(self, none: Array, one: Array, two: Array) -> Array:
        kick = self.points.try_points
        by_kick = kick * one + (1 - kick) * none
        by_two = self.two_point * two + (1 - self.two_point) * none
        return np.maximum(by_kick, by_two)

    @staticmethod
    def _kickoff(
        at: Setting, team: Team, lead: int, seconds: int, receives: bool, free_kick: bool = False
    ) -> Kickoff:
        return Kickoff(
            lead, seconds, at.half, receives, team.own_timeouts, team.other_timeouts,
            team.receives if at.half == 1 else 0, team.spread, free_kick,
        )  # fmt: skip

    def _half_over(
        self, book: KickoffBook, at: Setting, team: Team, lead: int, fits: int = 1
    ) -> Array:
        """(fits,) chance to win when the half has ended with this lead."""
        if at.half == 2:
            return np.full(fits, float(end_value(np.array(lead))))
        sides = {1: (True,), -1: (False,), 0: (True, False)}[team.receives]
        return np.mean(
            [book.wins(Kickoff(lead, 1800, 2, side, 3, 3, 0, team.spread)) for side in sides],
            axis=0,
        )

    def kickoff_wins(self, kickoff: Kickoff, *, refits: bool = False) -> Array:
        """(fits,) chance to win before a kickoff."""
        book = KickoffBook(self._starts, 1 + self.wins.refits if refits else 1)
        book.wins(kickoff)
        book.close(self.wins.with_points(book.states(), refits=refits)[1])
        return book.wins(kickoff)


def _failed(at: Setting) -> Array:
    """Spots (from 0) at which a fourth down has failed; none on other downs."""
    if at.down < 4:
        return np.zeros(0, dtype=int)
    return np.arange(max(at.yards_to_goal - at.distance, 0), SPOTS)


@dataclass(frozen=True, slots=True)
class _Columns:
    down: Array
    distance: Array
    spot: Array
    sign: Array


def _join(parts: object) -> Array:
    arrays = list(parts)  # type: ignore[call-overload]
    return np.concatenate(arrays) if arrays else np.zeros(0, dtype=int)


def _block(first: int, at: Setting, team: Team, e: Elapsed, spots: Array | None) -> _Block:
    return _Block(
        first,
        at.half_seconds - e.seconds,
        max(team.own_timeouts - e.own_timeout, 0),
        max(team.other_timeouts - e.other_timeout, 0),
        e.weight,
        spots,
    )
