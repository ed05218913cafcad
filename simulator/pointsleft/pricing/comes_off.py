"""The situation to which an option leads in the middle of the cases in which it comes off."""

from __future__ import annotations

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation
from pointsleft_models.laws.clock import Elapsed
from pointsleft_models.laws.lattice import OTHER, RUNNING, SPOTS, STOPPED

from pointsleft.pricing.cells import SnapValues
from pointsleft.pricing.model import OptionModel

#: An option that gains ground and keeps the ball on the field less often than this has no
#: following situation that could stand for it.
OFTEN = 0.25


def comes_off(worth: Worth, values: SnapValues, model: OptionModel) -> Situation | None:
    """The next snap after a gain of middle length.

    Half of the gains from which another snap follows are shorter; on fourth down only those that
    bring a first down. The clock runs for its mean wait where most of them end in bounds, and
    nobody calls time.

    Returns
    -------
    Situation or None
        ``None`` where the option seldom comes off without a score, where the half is over, and
        in overtime, whose possessions are counted elsewhere.
    """
    at, now = values.setting, values.situation
    if now.overtime:
        return None
    law = model.law().mixture()[0]
    gain = now.yards_to_goal - np.arange(1, SPOTS + 1)
    good = gain >= (now.distance if now.down == 4 else 1)
    running, stopped = (np.where(good, law[c], 0.0) for c in (_IN_BOUNDS, _DEAD))
    share = running + stopped
    if share.sum() < OFTEN:
        return None
    spot = 1 + int(np.searchsorted(np.cumsum(share), share.sum() / 2))
    gained = now.yards_to_goal - spot
    first = gained >= now.distance
    lasts = values.seconds_class(model.seconds)
    if running.sum() >= stopped.sum():
        wait = worth.clock.running(
            at, lasts, now.own_timeouts, now.opponent_timeouts, worth.rules, first_down=first
        )
    else:
        wait = worth.clock.stopped(at, lasts)
    return _after(now, spot, first, gained, _mean(wait))


_IN_BOUNDS, _DEAD = slice(RUNNING, STOPPED), slice(STOPPED, OTHER)


def _mean(wait: tuple[Elapsed, ...]) -> int:
    """Mean seconds while nobody calls time."""
    kept = [e for e in wait if not (e.own_timeout or e.other_timeout)]
    return round(sum(e.weight * e.seconds for e in kept) / sum(e.weight for e in kept))


def _after(now: Situation, spot: int, first: bool, gained: int, used: int) -> Situation | None:
    """The next snap; ``None`` where the clock of the half has run out."""
    period, seconds = now.period, now.seconds
    if seconds is not None:
        assert now.half_seconds is not None
        left = now.half_seconds - used
        if left <= 0:
            return None
        quarter = now.rules.period_seconds(1)
        first_of_half = period in (1, 3)
        if first_of_half and left <= quarter:
            period += 1
        seconds = left - quarter if period in (1, 3) else left
    return now.with_(
        period=period, seconds=seconds, down=1 if first else now.down + 1,
        distance=min(10, spot) if first else now.distance - gained, yards_to_goal=spot,
        clock_running=None, hash=None,
    )  # fmt: skip
