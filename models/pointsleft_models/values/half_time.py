"""The last seconds of the first half lead to the kickoff of the second.

So near half-time the next score is the last of the half, and the chance to win is the mean of
what it is before the second-half kickoff, over who scores next. The win logit, fitted over the
whole game, knows half-time only through the points of that kickoff; here the two are joined.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from pointsleft_models.fitting.within import within
from pointsleft_models.laws.kickoff import RETURN_SECONDS
from pointsleft_models.values.favoured import Favoured
from pointsleft_models.values.kickoffs import START_POINTS, condensed_starts
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.states import States, states

Array = np.ndarray

#: Seconds left in the first half up to which the next score counts as its last, and from which
#: the logit speaks alone. Judged: on the archive's snaps of the last 40 seconds, log losses
#: with and without the joint differ by less than their error (.0000 +- .0004 a play).
SURE, OPEN = 5, 20

WIDEST = 40

#: Points of the seven next scores of a half; a touchdown with the try as it mostly goes.
SCORES = (0, 7, 3, 2, -2, -3, -7)


@dataclass(frozen=True)
class HalfTime:
    """Chances to win before the second-half kickoff.

    Attributes
    ----------
    receiver
        (fits, 3, 2 WIDEST + 1) chance of its receiver: away, nobody at home, at home; by his
        lead, from WIDEST behind to as many ahead.
    """

    receiver: Array

    def before(self, lead: Array, receives: Array, home: Array) -> Array:
        """Our chance (fits, n) with the first half over.

        Parameters
        ----------
        receives
            (n,) +1 where we receive the second-half kickoff, -1 where they do, 0 unknown.
        home
            (n,) above 0 at home, below away, 0 neither.
        """
        at = within(lead, -WIDEST, WIDEST).astype(int) + WIDEST
        place = np.sign(home).astype(int) + 1
        other_place, other_at = 2 - place, 2 * WIDEST - at
        they = receives < 0
        chance = self.receiver[:, np.where(they, other_place, place), np.where(they, other_at, at)]
        ours = np.where(they, 1 - chance, chance)
        unknown = np.flatnonzero(receives == 0)
        theirs = 1 - self.receiver[:, other_place[unknown], other_at[unknown]]
        ours[:, unknown] = (ours[:, unknown] + theirs) / 2
        return ours

    def led_to(
        self, at: States, chances: Array, fitted: Array, favoured: Favoured | None = None
    ) -> Array:
        """Fitted chances to win (fits, n), joined to half-time.

        Parameters
        ----------
        chances
            (fits, n, 7) chances of the next score of the half, at the score as it is.
        favoured
            What a spread adds, where one is known.
        """
        near = np.flatnonzero(near_half_time(at))
        rows = at.take(near)
        over = replace(rows, half_seconds=np.zeros(len(rows), dtype=int))
        then = np.zeros((len(fitted), len(near)))
        for k, scored in enumerate(SCORES):
            before = self.before(rows.lead + scored, rows.receives, rows.home)[: len(fitted)]
            if favoured is not None:
                before = favoured.chances(before, over)
            then += chances[:, near, k] * before
        share = within((OPEN - rows.half_seconds) / (OPEN - SURE), 0, 1)
        joined = np.array(fitted)
        joined[:, near] = share * then + (1 - share) * fitted[:, near]
        return joined


def near_half_time(at: States) -> Array:
    """Whether (n,) the next score may be the last of the first half."""
    return (at.half == 1) & (at.half_seconds < OPEN)


def half_time(points: ExpectedPoints, fitted: Callable[[States], Array]) -> HalfTime:
    """Chances before the second-half kickoff from those of the snaps that begin the half.

    Parameters
    ----------
    fitted
        Chances to win (fits, n) of snaps of the second half.
    """
    spots, weights = condensed_starts(points)[False]
    leads = np.arange(-WIDEST, WIDEST + 1)
    home, lead, spot = (x.ravel() for x in np.meshgrid([-0.5, 0, 0.5], leads, spots, indexing="ij"))
    at = states(
        yards_to_goal=spot, half=2, half_seconds=1800 - RETURN_SECONDS, lead=lead, home=home
    )
    shape = (-1, 3, len(leads), START_POINTS)
    return HalfTime((fitted(at).reshape(shape) * weights).sum(-1))
