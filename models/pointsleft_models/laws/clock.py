"""How much clock a snap takes, as a few points with weights."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pointsleft_models.fitting.condense import condense
from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS, from_stops
from pointsleft_models.football.rules import RuleSet
from pointsleft_models.laws.library import Library
from pointsleft_models.laws.setting import Setting

Array = np.ndarray

#: With more than this on the clock of the half, one mean wait stands for the whole law: values
#: are close to straight in time there.
STRAIGHT = 200

#: Seconds left in a half at which the clock stops where the rules say so.
TWO_MINUTES = 120

#: Points that stand for the law of waits late in a half.
POINTS = 6

#: Longest wait and play that the fits tell apart (see recipes/clock.py).
LONGEST_WAIT, LONGEST_PLAY = 50, 14

#: Seconds of an ordinary play, which the fitted waits contain.
ORDINARY = 5

#: Seconds that officials take to spot the ball: the clock stands for them where the rules stop it
#: at a first down and start it on the ready signal (from memory, no source).
SPOTTING = 10


@dataclass(frozen=True, slots=True)
class Elapsed:
    """Seconds from snap to next snap, time-outs used, and the chance of it."""

    seconds: int
    own_timeout: bool
    other_timeout: bool
    weight: float


def stops_at_first_down(rules: RuleSet, at: Setting, play_seconds: float) -> bool:
    """Whether the clock stands while the ball is spotted after a first down in bounds."""
    if rules.first_down_stops_clock == "last two minutes":
        return at.half_seconds - play_seconds <= TWO_MINUTES
    return rules.first_down_stops_clock == "yes"


class ClockLaw:
    """Laws of the clock from one library of fits."""

    def __init__(self, library: Library) -> None:
        self._fits = library

    def stopped(self, at: Setting, play_seconds: float) -> tuple[Elapsed, ...]:
        """After a play that leaves the clock stopped."""
        whole = max(1, round(play_seconds))
        if at.half_seconds > LONGEST_PLAY + 2:
            return (Elapsed(whole, False, False, 1.0),)
        law = self.lasting(play_seconds)
        ending = law[at.half_seconds :].sum()
        points = [
            Elapsed(s, False, False, float(law[s]))
            for s in range(1, at.half_seconds)
            if law[s] > 1e-9
        ]
        points.append(Elapsed(at.half_seconds, False, False, float(ending)))
        rest = 1 - sum(p.weight for p in points)
        points.append(Elapsed(1, False, False, float(max(rest, 0.0))))
        return tuple(points)

    def lasting(self, play_seconds: float) -> Array:
        """Chance (LONGEST_PLAY + 8,) that a play lasts 0, 1, 2, ... seconds.

        The law of incomplete passes, moved to the mean asked for.
        """
        low = self._fits.low("play")
        columns = {"air": 8, YARDS: np.arange(low, LONGEST_PLAY)}
        law = from_stops(expit(self._fits.logit("play").eta(columns)))[0]
        mean = float(law @ np.arange(low, LONGEST_PLAY + 1))
        shift = round(play_seconds - mean)
        out = np.zeros(LONGEST_PLAY + 8)
        at = np.clip(np.arange(low, LONGEST_PLAY + 1) + shift, 1, len(out) - 1)
        np.add.at(out, at, law)
        return out

    def running(
        self,
        at: Setting,
        play_seconds: float,
        own_timeouts: int,
        other_timeouts: int,
        rules: RuleSet,
        *,
        first_down: bool = False,
    ) -> tuple[Elapsed, ...]:
        """After a play that ends in bounds: a wait, or a time-out of either side.

        Parameters
        ----------
        first_down
            The play brought a first down: where the rules stop the clock for it, the fitted wait
            is shorter by the time it takes to spot the ball.
        """
        codes = at.clock_codes()
        more = round(play_seconds) - ORDINARY
        early = at.half_seconds > STRAIGHT
        calls = [0.0, 0.0]
        if not early:
            for which, (name, left) in enumerate(
                (("own time-out", own_timeouts), ("other time-out", other_timeouts))
            ):
                if left > 0:
                    calls[which] = float(self._fits.logit(name).probability(codes)[0])
        if sum(calls) > 0.95:
            calls = [c * 0.95 / sum(calls) for c in calls]
        stands = SPOTTING if first_down and stops_at_first_down(rules, at, play_seconds) else 0
        limit = min(at.half_seconds + stands, LONGEST_WAIT)
        low = self._fits.low("wait")
        columns = {**codes, YARDS: np.arange(low, limit)}
        law = from_stops(expit(self._fits.logit("wait").eta(columns)))[0]
        seconds = np.arange(low, limit + 1)
        keep = 1 - sum(calls)
        points = []
        short = max(1, round(play_seconds))
        if early:
            waits = condense(seconds, law, 1)
        else:  # the last entry is "the half ran out" and stays apart
            waits = [*condense(seconds[:-1], law[:-1], POINTS), (limit, float(law[-1]))]
        for s, w in waits:
            ran_out = s - stands >= at.half_seconds
            # the ball is not snapped before the play is over and spotted
            used = at.half_seconds if ran_out else max(1, round(s) + more - stands)
            if stands and not ran_out:
                used = max(used, short + 1)
            if rules.two_minute_stop and at.half_seconds > TWO_MINUTES > at.half_seconds - used:
                used = max(at.half_seconds - TWO_MINUTES, short)
            points.append(Elapsed(min(used, at.half_seconds), False, False, keep * w))
        for which, chance in enumerate(calls):
            if chance > 0:
                for stop in self.stopped(at, short):
                    points.append(
                        Elapsed(stop.seconds, which == 0, which == 1, chance * stop.weight)
                    )
        return tuple(points)
