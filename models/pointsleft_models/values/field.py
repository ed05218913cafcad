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
from pointsleft_models.laws.clock import ClockLaw
from pointsleft_models.laws.lattice import CELLS, RUNNING, SPOTS, STOPPED
from pointsleft_models.laws.setting import Setting
from pointsleft_models.values.ending import end_value
from pointsleft_models.values.following import (
    Following,
    Team,
    failed_spots,
    following,
    next_states,
)
from pointsleft_models.values.kickoffs import Kickoff, KickoffBook, condensed_starts
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.states import States, joined
from pointsleft_models.values.wins import WinProbability

Array = np.ndarray

#: Changes of the lead that scores bring, and whether we receive the kickoff (after a safety a free
#: kick) that follows: our touchdown with a try missed, kicked and run in; theirs; our field goal;
#: a safety against us.
SCORES = (
    (6, False), (7, False), (8, False), (-6, True), (-7, True), (-8, True), (3, False), (-2, False),
)  # fmt: skip
SAFETY_AGAINST = -2


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
class Asked:
    """Plays from one situation whose outcomes are to be valued.

    Attributes
    ----------
    plays
        Seconds that each of the plays takes.
    points, wins
        Which currencies are wanted.
    """

    at: Setting
    team: Team
    plays: tuple[float, ...]
    points: bool = True
    wins: bool = True


@dataclass(frozen=True, slots=True)
class _Play:
    """One play of a snap: what follows it, and its lines in the book of kickoffs."""

    after: Following
    scores: Array | None  # (moments, scores, 2): two lines to be averaged
    over: tuple[int, int] | None


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
        asked = Asked(at, team, (play_seconds,), with_points, with_wins)
        return self.fields([asked], refits=refits)[0][0]

    def fields(self, asked: Sequence[Asked], *, refits: bool = False) -> list[list[Field]]:
        """Value every cell after each play of each snap, all in one go.

        Parameters
        ----------
        refits
            One row for the point fit and each refit; a snap then takes tens of megabytes.
        """
        fits = 1 + self.wins.refits if refits else 1
        book = KickoffBook(self._starts, fits)
        plays = [[self._noted(book, a, seconds) for seconds in a.plays] for a in asked]
        parts = [
            next_states(a.at, a.team, [block for play in own for block in play.after.blocks])
            for a, own in zip(asked, plays, strict=True)
        ]
        points, wins = self._values(asked, [states for states, _ in parts], book, refits)
        out = []
        for i, (a, own, (_, sign)) in enumerate(zip(asked, plays, parts, strict=True)):
            won = wins[i]
            if won is not None:
                won = np.where(sign > 0, won, 1 - won)
            out.append(self._cells(a, own, points[i] * sign, won, book, refits))
        return out

    def _values(
        self, asked: Sequence[Asked], states: list[States], book: KickoffBook, refits: bool
    ) -> tuple[list[Array], list[Array | None]]:
        """Points and wins (fits, n) of the states of every snap; closes the book.

        Wins need points anyway, so snaps that want both get them together.
        """
        points: list[Array] = [np.zeros(0)] * len(asked)
        wins: list[Array | None] = [None] * len(asked)
        for wanted in (True, False):
            here = [i for i, a in enumerate(asked) if a.wins == wanted]
            if not here:
                continue
            edges = np.cumsum([len(states[i]) for i in here])
            if wanted:
                at = joined(*(states[i] for i in here), book.states())
                worth, won = self.wins.with_points(at, refits=refits)
                book.close(won[:, edges[-1] :])
                for i, part in zip(here, np.split(won[:, : edges[-1]], edges[:-1], 1), strict=True):
                    wins[i] = part
            else:
                at = joined(*(states[i] for i in here))
                worth = self.points.points_all(at) if refits else self.points.points(at)[None]
            for i, part in zip(here, np.split(worth[:, : edges[-1]], edges[:-1], 1), strict=True):
                points[i] = part
        return points, wins

    def _cells(
        self, asked: Asked, plays: list[_Play], points: Array, wins: Array | None,
        book: KickoffBook, refits: bool,
    ) -> list[Field]:  # fmt: skip
        """Fields of one snap from the values of its blocks, seen by the offense."""
        failed = failed_spots(asked.at)
        out, first = [], 0
        for play in plays:
            last = first + len(play.after.blocks) * SPOTS
            worth, won = None, None
            if asked.points:
                worth = _spread(points[:, first:last], play.after)
                worth[:, 3 * SPOTS :] = self._score_points(play.after, refits)
            if wins is not None:
                won = _spread(wins[:, first:last], play.after)
                self._add_ends(won, play, book)
            for table in (worth, won):
                if table is not None:  # the clock stands when the ball changes hands
                    table[:, RUNNING + failed] = table[:, STOPPED + failed]
            out.append(Field(worth, won))
            first = last
        return out

    # -- scores -------------------------------------------------------------------------------

    def _score_points(self, after: Following, refits: bool) -> Array:
        """(fits, 4) points of TOUCHDOWN, FIELD_GOAL, SAFETY, DEFENSE_TOUCHDOWN."""
        seconds = np.array(after.moments)
        if refits:
            k = self.points.receiving_all(seconds)
            free = self.points.receiving_free_kick_all(seconds)
        else:
            k = self.points.receiving(seconds)[None]
            free = self.points.receiving_free_kick(seconds)[None]
        k, free = (np.where(seconds > 0, x, 0.0) @ after.weights for x in (k, free))
        sure = after.weights.sum()
        touchdown = (6 + self.points.try_points) * sure - k
        return np.stack([touchdown, 3 * sure - k, -2 * sure - free, -touchdown], axis=-1)

    def _noted(self, book: KickoffBook, asked: Asked, play_seconds: float) -> _Play:
        """What follows a play, the kickoffs that its scores lead to noted in the book."""
        at, team = asked.at, asked.team
        after = following(self.clock, self.rules, at, team, play_seconds)
        if not asked.wins:
            return _Play(after, None, None)
        lines = [
            [self._after_score(book, at, team, seconds, *score) for score in SCORES]
            for seconds in after.moments
        ]
        over = self._half_over(book, at, team, at.lead) if after.ended else None
        return _Play(after, np.array(lines), over)

    def _after_score(
        self, book: KickoffBook, at: Setting, team: Team, seconds: int, change: int, receives: bool
    ) -> tuple[int, int]:
        """Lines to be averaged: our chance when a score has changed the lead."""
        lead = at.lead + change
        if seconds <= 0:
            return self._half_over(book, at, team, lead)
        kickoff = Kickoff(
            lead, seconds, at.half, receives, team.own_timeouts, team.other_timeouts,
            team.receives if at.half == 1 else 0, team.spread, change == SAFETY_AGAINST,
        )  # fmt: skip
        return (book.line(kickoff),) * 2

    def _half_over(self, book: KickoffBook, at: Setting, team: Team, lead: int) -> tuple[int, int]:
        """Lines to be averaged: our chance when the half has ended with this lead."""
        if at.half == 2:
            return (book.known(float(end_value(np.array(lead)))),) * 2
        sides = {1: (True, True), -1: (False, False), 0: (True, False)}[team.receives]
        first, second = (
            book.line(Kickoff(lead, 1800, 2, side, 3, 3, 0, team.spread)) for side in sides
        )
        return first, second

    def _add_ends(self, table: Array, play: _Play, book: KickoffBook) -> None:
        """Write scores and a half that is over into (fits, CELLS) wins."""
        assert play.scores is not None
        chances = book.values[:, play.scores].mean(-1)
        table[:, 3 * SPOTS :] = np.einsum(
            "m,fmk->fk", play.after.weights, self._score_wins(chances)
        )
        if play.over is not None:
            over = book.values[:, play.over].mean(-1)
            for cell, weights in play.after.ended:
                table[:, cell : cell + SPOTS] += weights * over[:, None]

    def _score_wins(self, after: Array) -> Array:
        """(..., 4) wins of TOUCHDOWN, FIELD_GOAL, SAFETY, DEFENSE_TOUCHDOWN, the better of the two
        tries taken, from the chances (..., 8) after every one of SCORES."""
        ours = self._better_try(after[..., 0], after[..., 1], after[..., 2])
        theirs = self._better_try(1 - after[..., 3], 1 - after[..., 4], 1 - after[..., 5])
        return np.stack([ours, after[..., 6], after[..., 7], 1 - theirs], axis=-1)

    def _better_try(self, none: Array, one: Array, two: Array) -> Array:
        kick = self.points.try_points
        by_kick = kick * one + (1 - kick) * none
        by_two = self.two_point * two + (1 - self.two_point) * none
        return np.maximum(by_kick, by_two)

    def kickoff_wins(self, kickoff: Kickoff, *, refits: bool = False) -> Array:
        """(fits,) chance to win before a kickoff."""
        book = KickoffBook(self._starts, 1 + self.wins.refits if refits else 1)
        line = book.line(kickoff)
        book.close(self.wins.with_points(book.states(), refits=refits)[1])
        return book.values[:, line]


def _spread(raw: Array, after: Following) -> Array:
    """(fits, CELLS) of the values (fits, n) of a play's blocks."""
    out = np.zeros((len(raw), CELLS))
    for at, block in enumerate(after.blocks):
        here = raw[:, at * SPOTS : (at + 1) * SPOTS]
        out[:, block.first : block.first + SPOTS] += block.weights * here
    return out
