"""What first downs, scores and the end of a half are worth, many at a time, in one currency.

The point fit is exact; the refits are the point fit and a difference read off a plan
(:mod:`pointsleft.calls.differences`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Protocol

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.laws.kickoff import RETURN_SECONDS
from pointsleft_models.values.ending import end_value
from pointsleft_models.values.kickoffs import condensed_starts
from pointsleft_models.values.states import States, states

from pointsleft.calls.differences import Differences
from pointsleft.calls.knots import FEW, KNOTS, hats

Array = np.ndarray

HALF = 1800


@dataclass(frozen=True, slots=True)
class Situations:
    """Where first downs or scores come, seen from the team they are good for; arrays (m,)."""

    half: Array
    seconds: Array
    lead: Array
    own: Array
    other: Array
    receives: Array
    spread: Array

    def __len__(self) -> int:
        return len(self.half)

    def turned(self) -> Situations:
        """The same from the other side's view."""
        return Situations(
            self.half, self.seconds, -self.lead, self.other, self.own, -self.receives, -self.spread
        )

    def differences(self, plan: Differences) -> Array:
        """(m, spots, refits) read off a plan."""
        return plan.at(self.half, self.seconds, self.lead, self.own, self.other, self.receives)

    def take(self, rows: Array) -> Situations:
        return Situations(*(getattr(self, name)[rows] for name in Situations.__slots__))


class Money(Protocol):
    """A currency: expected points or wins."""

    def moved(self, at: Situations) -> Array:
        """(m, FEW, refits) by which every refit differs from the point fit, of first downs."""
        ...

    def knots(self, at: Situations) -> Array:
        """(m, knots) of first downs at every spot of ``KNOTS``, point fit."""
        ...

    def turned(self, value: Array, mass: Array) -> Array:
        """Worth to the offense of what is worth ``value`` to the other side; ``mass`` is the
        probability that ``value`` holds."""
        ...

    def over(self, at: Situations) -> Array:
        """(m, fits) worth of a half that has ended."""
        ...

    def scores(self, at: Situations) -> Array:
        """(m, 4, fits) touchdown, field goal, safety against, touchdown against."""
        ...


def _first_downs(at: Situations, spots: Sequence[int] | Array, *, spread: bool = True) -> States:
    """m times spots first downs, the spots fastest; the spread left out where asked."""
    many = len(spots)

    def column(values: Array) -> Array:
        return np.repeat(values, many)

    return states(
        down=1, distance=10, yards_to_goal=np.tile(spots, len(at)), half=column(at.half),
        half_seconds=column(at.seconds), lead=column(at.lead), own_timeouts=column(at.own),
        opponent_timeouts=column(at.other), receives=column(at.receives),
        spread=column(at.spread) if spread else np.nan,
    )  # fmt: skip


@dataclass(frozen=True)
class Points:
    """Expected points."""

    worth: Worth
    differences: Differences

    def knots(self, at: Situations) -> Array:
        return self.worth.points.points(_first_downs(at, KNOTS)).reshape(len(at), len(KNOTS))

    def moved(self, at: Situations) -> Array:
        return at.differences(self.differences)

    def turned(self, value: Array, mass: Array) -> Array:
        return -value

    def over(self, at: Situations) -> Array:
        return np.zeros((len(at), 1 + self.differences.refits))

    @cached_property
    def _by_second(self) -> tuple[Array, Array]:
        """(1801, fits) points of receiving a kickoff and a free kick."""
        seconds = np.arange(HALF + 1)
        k = self.worth.points.receiving_all(seconds).T.copy()
        free = self.worth.points.receiving_free_kick_all(seconds).T.copy()
        k[0] = free[0] = 0.0
        return k, free

    def scores(self, at: Situations) -> Array:
        k, free = (table[at.seconds] for table in self._by_second)
        touchdown = 6 + self.worth.points.try_points - k
        return np.stack([touchdown, 3 - k, -2 - free, -touchdown], axis=1)


@dataclass(frozen=True)
class Wins:
    """Win probability."""

    worth: Worth
    differences: Differences

    def knots(self, at: Situations) -> Array:
        return self.worth.wins.wins(_first_downs(at, KNOTS)).reshape(len(at), len(KNOTS))

    def moved(self, at: Situations) -> Array:
        every = np.eye(len(FEW))
        return self._with_spread(at, np.array(FEW), every, at.differences(self.differences))

    def _with_spread(self, at: Situations, spots: Array, weights: Array, moved: Array) -> Array:
        """Differences (m, k, refits) of the refits, read off a plan that knows no spread, as they
        are with the spreads of the games.

        Parameters
        ----------
        spots, weights
            First downs, and (spots, k) how they are averaged.
        """
        favoured, rows = self.worth.wins.favoured, np.flatnonzero(~np.isnan(at.spread))
        if favoured is None or not len(rows):
            return moved
        here = at.take(rows)
        plain = self.worth.wins.wins(_first_downs(here, spots, spread=False))
        point = (plain.reshape(len(here), -1) @ weights)[..., None]
        every = np.concatenate([point, point + moved[rows]], axis=-1)  # (m, k, fits)
        many = every.shape[1]
        when = states(
            half=np.repeat(here.half, many), half_seconds=np.repeat(here.seconds, many),
            spread=np.repeat(here.spread, many),
        )  # fmt: skip
        known = favoured.chances(every.reshape(-1, every.shape[-1]).T, when).T.reshape(every.shape)
        out = np.array(moved)
        out[rows] = known[..., 1:] - known[..., :1]
        return out

    def turned(self, value: Array, mass: Array) -> Array:
        return np.asarray(mass - value)

    @cached_property
    def _starts(self) -> dict[bool, tuple[Array, Array, Differences]]:
        """Spots and weights of starts after a kickoff or a free kick, and their differences."""
        found = {}
        for free, (spots, weights) in condensed_starts(self.worth.points).items():
            few = weights @ hats(FEW)[spots - 1]
            found[free] = spots, weights, self.differences.averaged(few)
        return found

    def receiving(self, at: Situations, *, free_kick: bool = False) -> Array:
        """(m, fits) wins of the side about to receive a kickoff."""
        spots, weights, differences = self._starts[free_kick]
        at = replace(at, seconds=np.maximum(at.seconds - RETURN_SECONDS, 1))
        point = self.worth.wins.wins(_first_downs(at, spots)).reshape(len(at), -1) @ weights
        moved = at.differences(differences)
        moved = self._with_spread(at, spots, weights[:, None], moved)[:, 0]
        return np.concatenate([point[:, None], point[:, None] + moved], axis=1)

    def over(self, at: Situations) -> Array:
        out = np.repeat(end_value(at.lead)[:, None], 1 + self.differences.refits, axis=1)
        first = np.flatnonzero(at.half == 1)
        if not len(first):
            return out
        here = at.take(first)
        n = len(here)
        fresh = np.full(n, 3)
        start = Situations(
            np.full(n, 2),
            np.full(n, HALF),
            here.lead,
            fresh,
            fresh,
            np.zeros(n, dtype=int),
            here.spread,
        )
        ours, theirs = self.receiving(start), 1 - self.receiving(start.turned())
        share = ((here.receives + 1) / 2)[:, None]
        out[first] = share * ours + (1 - share) * theirs
        return out

    def scores(self, at: Situations) -> Array:
        ours = self._better_try([self.after(at, p, receives=False) for p in (6, 7, 8)])
        theirs = self._better_try([1 - self.after(at, -p, receives=True) for p in (6, 7, 8)])
        return np.stack(
            [
                ours,
                self.after(at, 3, receives=False),
                self.after(at, -2, receives=False, free_kick=True),
                1 - theirs,
            ],
            axis=1,
        )

    def after(
        self, at: Situations, change: int, *, receives: bool, free_kick: bool = False
    ) -> Array:
        """(m, fits) wins after a score that changed the lead, before the kickoff.

        Parameters
        ----------
        receives
            Whether the offense receives it.
        """
        moved = Situations(
            at.half, at.seconds, at.lead + change, at.own, at.other,
            np.where(at.half == 1, at.receives, 0), at.spread,
        )  # fmt: skip
        if receives:
            value = self.receiving(moved, free_kick=free_kick)
        else:
            value = 1 - self.receiving(moved.turned(), free_kick=free_kick)
        ended = np.flatnonzero(at.seconds <= 0)
        if len(ended):
            value[ended] = self.over(moved.take(ended))
        return value

    def _better_try(self, values: list[Array]) -> Array:
        none, one, two = values
        kick, pair = self.worth.points.try_points, self.worth.two_point
        return np.maximum(kick * one + (1 - kick) * none, pair * two + (1 - pair) * none)
