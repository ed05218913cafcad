"""Win probability of a situation in regulation.

A fitted logit in the effective lead and the clock, with the ends put right: a clock that can
be knelt out, a last kick that anybody would take, and the last play, which is priced by the
laws of its outcomes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache, cached_property

import numpy as np

from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import expit, logit
from pointsleft_models.fitting.mixed_tables import MixedTables
from pointsleft_models.fitting.within import within
from pointsleft_models.values.at_least import AtLeast
from pointsleft_models.values.ending import Ending, end_value, knelt_to_the_end
from pointsleft_models.values.favoured import Favoured
from pointsleft_models.values.half_time import HalfTime, half_time, near_half_time
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.rest import GAME_SECONDS, spread_of_rest
from pointsleft_models.values.states import States, joined

Array = np.ndarray

MOST_EFFECTIVE = 9.0
MOST_ODDS = 7.0
WIDEST_LEAD = 25

#: Seconds left in the game up to which the one-score chance speaks in full, and from which it
#: is silent: the next score of a half says little of a game that goes on after it.
FULL, FADED = 600, 1200

#: Points ahead up to which a kick in the last seconds is thought of.
KICK_LEAD = 8

#: Seconds left in the game from which a harder situation is chosen by wins and not by points, as
#: it is near half-time: there three points can be as good as seven.
CLOSE = 300

WHOLE = {
    "down": (0, 4),
    "game_seconds": (0, GAME_SECONDS + 1),
    "lead": (-WIDEST_LEAD, 2 * WIDEST_LEAD + 1),
    "own_timeouts": (0, 4),
    "opponent_timeouts": (0, 4),
}


def one_score(lead: Array, chances: Array) -> Array:
    """Chance to win if the next score of the half were the last of the game.

    Parameters
    ----------
    lead
        (n,) points ahead.
    chances
        (..., n, 7) class chances at the score as it is.
    """
    worth = _if_last().astype(chances.dtype)
    at = within(lead, -WIDEST_LEAD, WIDEST_LEAD) + WIDEST_LEAD
    total: Array | float = 0.0
    for k, values in enumerate(worth):
        total = total + chances[..., k] * values[at]
    return np.asarray(total)


@cache
def _if_last() -> Array:
    """(7, leads) chance to win, if the next score of every class were the last of the game, from
    WIDEST_LEAD behind to as many ahead."""
    lead = np.arange(-WIDEST_LEAD, WIDEST_LEAD + 1)
    return np.stack(
        [
            end_value(lead),
            _touchdown(lead),
            end_value(lead + 3),
            end_value(lead + 2),
            end_value(lead - 2),
            end_value(lead - 3),
            1 - _touchdown(-lead),
        ]
    )


def _touchdown(lead: Array) -> Array:
    """After a touchdown, the better of the two tries as they go on average."""
    kick, two = 0.94, 0.48
    plain = kick * end_value(lead + 7) + (1 - kick) * end_value(lead + 6)
    pair = two * end_value(lead + 8) + (1 - two) * end_value(lead + 6)
    return np.maximum(plain, pair)


def win_columns(
    at: States, points: Array, second_half: float | Array, chances: Array
) -> dict[str, Array]:
    """The variables of the win basis.

    Parameters
    ----------
    points
        (..., n) expected points of the possession.
    second_half
        A number or (..., 1): net points of receiving the second-half kickoff.
    chances
        (..., n, 7) class chances at the score as it is.
    """
    seconds = at.game_seconds
    ahead = at.lead + points + at.receives * second_half
    late = within((FADED - seconds) / (FADED - FULL), 0, 1)
    single = np.zeros(chances.shape[:-1], dtype=chances.dtype)
    if late.any():
        chance = within(one_score(at.lead, chances), 1e-4, 1 - 1e-4)
        single = late * within(logit(chance), -MOST_ODDS, MOST_ODDS)
    return {
        "effective": within(ahead / spread_of_rest(seconds), -MOST_EFFECTIVE, MOST_EFFECTIVE),
        "game_seconds": seconds,
        "lead": within(at.lead, -WIDEST_LEAD, WIDEST_LEAD),
        "one_score": single,
        "own_timeouts": at.own_timeouts,
        "opponent_timeouts": at.opponent_timeouts,
        "down": at.down - 1,
        "late": late,
        "home": at.home,
    }


@dataclass(frozen=True)
class WinProbability:
    """WP under one rule set, of a snap that is about to be played.

    With no time on the clock the snap is an untimed down: the last play.

    Attributes
    ----------
    points
        Expected points (its refits drive the refits here).
    fit
        The win logit.
    ending
        Laws of the last play.
    favoured
        What a pre-game spread adds; without it a spread changes nothing.
    """

    points: ExpectedPoints
    fit: FittedLogit
    ending: Ending
    favoured: Favoured | None = None

    @property
    def refits(self) -> int:
        return len(self.fit.refits)

    def only(self, fit: int) -> WinProbability:
        """The same with one fit as the point fit, without refits: 0 itself, r its r-th refit."""
        own = None if self.favoured is None else Favoured(self.favoured.fit.only(fit))
        points = self.points.only(fit)
        return replace(self, points=points, fit=self.fit.only(fit), favoured=own)

    @cached_property
    def _tables(self) -> MixedTables:
        return MixedTables(self.fit, WHOLE)

    @cached_property
    def _second_half(self) -> Array:
        """(1 + refits, 1) points of receiving the second-half kickoff."""
        return self.points.receiving_all(np.array([1800]))

    @cached_property
    def _half_time(self) -> HalfTime:
        """Chances to win before the second-half kickoff: fitted as snaps of its receiver."""

        def fitted(at: States) -> Array:
            return expit(self._odds_all(at, *self.points.fitted_all(at)))

        return half_time(self.points, fitted)

    def _odds(self, at: States, points: Array, chances: Array) -> Array:
        """Log odds (n,) of the point fit, no spread known."""
        second_half = float(self._second_half[0, 0])
        return self._tables.eta(win_columns(at, points, second_half, chances))

    def _odds_all(self, at: States, points: Array, chances: Array) -> Array:
        """Log odds (1 + refits, n) of every fit, no spread known."""
        return self._tables.eta_all(win_columns(at, points, self._second_half, chances))

    def _fitted(self, at: States, odds: Array, chances: Array) -> Array:
        """The fitted chance (fits, n) from its log odds (fits, n): with the spread where one is
        known, and joined to half-time."""
        fitted = expit(odds if self.favoured is None else self.favoured.move(odds, at))
        if not near_half_time(at).any():
            return fitted
        return self._half_time.led_to(at, chances, fitted, self.favoured)

    def regression(self, at: States) -> Array:
        """The fitted part alone (n,), without the exact ends."""
        return self._regression(at)[1]

    def _wide(self, at: States) -> AtLeast:
        """The situations at their best for points; late in the game, where points and wins part,
        as they are, with the harder ones for wins to choose from."""
        close = _close(at)
        return AtLeast(self.points.eased(at, ~close), close)

    def _regression(self, at: States) -> tuple[Array, Array]:
        """Expected points (n,) and the fitted win probability (n,)."""
        wide = self._wide(at)
        points, chances = self.points.fitted(wide.states)
        odds = self._odds(wide.states, points, chances)
        fitted = self._fitted(wide.states, odds[None], chances[None])[0]
        return points[wide.picked(points)], wide.best(fitted)

    def _regression_all(self, at: States) -> tuple[Array, Array]:
        """The same under every fit, (1 + refits, n) each; refits follow the point fit's choice of
        harder situations."""
        eased, close = self.points.eased(at), np.flatnonzero(_close(at))
        wins_at = np.arange(len(at))
        if len(close):
            wins_at[close] = len(at) + np.arange(len(close))
            eased = joined(eased, self._chosen(at.take(close)))
        points, chances = self.points.fitted_all(eased)
        fitted = self._fitted(eased, self._odds_all(eased, points, chances), chances)
        return points[:, : len(at)], fitted[:, wins_at]

    def _chosen(self, at: States) -> States:
        """Of every situation and its harder ones the one that wins most often by the point fit,
        which is the same with a spread: it moves them all alike."""
        wide = AtLeast(at)
        return wide.chosen(self._odds(wide.states, *self.points.fitted(wide.states)))

    def wins(self, at: States) -> Array:
        """Chance to win (n,), a tie counting half."""
        return self.with_points(at)[1][0]

    def wins_all(self, at: States) -> Array:
        """(1 + refits, n): the point fit first, then every refit."""
        return self.with_points(at, refits=True)[1]

    def with_points(self, at: States, *, refits: bool = False) -> tuple[Array, Array]:
        """Expected points and chances to win together, (fits, n) each: they share their work."""
        if refits:
            points, fitted = self._regression_all(at)
            return points, self._ends(at, fitted, fits=1 + self.refits)
        points, fitted = self._regression(at)
        return points[None], self._ends(at, fitted[None], fits=1)

    def _ends(self, at: States, fitted: Array, fits: int) -> Array:
        lead, value = at.lead, np.asarray(fitted, dtype=float)
        late = (at.half == 2) & (at.half_seconds <= self.ending.horizon)
        if late.any():
            near = at.take(late)
            share = self.ending.last_play(near.half_seconds)
            last = self.ending.value(near, fits)
            blended = share * last + (1 - share) * value[:, late]
            kick = self._kick_now(near, fits)
            value = value.copy()
            value[:, late] = np.maximum(blended, kick)
        kneels = (at.half == 2) & (lead > 0) & knelt_to_the_end(at)
        value = np.where(kneels, np.maximum(value, self.ending.knelt_out), value)
        return value

    def _kick_now(self, at: States, fits: int) -> Array:
        """Value of kicking a field goal at once, where three points change much."""
        useful = (at.lead <= KICK_LEAD) & (at.lead >= -3)
        out = np.zeros((fits, len(at)))
        if not useful.any():
            return out
        near = at.take(useful)
        made = self.ending.field_goals(near.yards_to_goal, fits)
        left = np.maximum(near.half_seconds - self.ending.kick_seconds, 0)
        other = replace(
            near,
            lead=-(near.lead + 3),
            down=np.ones_like(near.down),
            distance=np.full_like(near.distance, 10),
            yards_to_goal=np.full_like(near.yards_to_goal, 75),
            half_seconds=np.maximum(left - self.ending.return_seconds, 0),
            own_timeouts=near.opponent_timeouts,
            opponent_timeouts=near.own_timeouts,
            receives=-near.receives,
            home=-near.home,
            spread=-near.spread,
        )
        spot = within(near.yards_to_goal + 8, 20, 99)
        missed = replace(other, lead=-near.lead, yards_to_goal=100 - spot, half_seconds=left)
        after_make = 1 - _over_or(self, other)
        after_miss = 1 - _over_or(self, missed)
        out[:, useful] = made * after_make + (1 - made) * after_miss
        return out


def _close(at: States) -> Array:
    """Whether (n,) it is so late in a half that harder situations are chosen by wins."""
    return ((at.half == 2) & (at.half_seconds <= CLOSE)) | near_half_time(at)


def _over_or(model: WinProbability, at: States) -> Array:
    """The regression, or the result where the clock is out (n,)."""
    return np.where(at.half_seconds <= 0, end_value(at.lead), model.regression(at))
