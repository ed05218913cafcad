"""What really happened, as a value."""

from __future__ import annotations

from pointsleft_models.football.situation import Situation
from pointsleft_models.laws.lattice import (
    DEFENSE_TOUCHDOWN,
    FIELD_GOAL,
    OTHER,
    RUNNING,
    SAFETY,
    SPOTS,
    STOPPED,
    TOUCHDOWN,
    OutcomeLaw,
    spot_cell,
)

from pointsleft.log.follow import ENDS, NO_GAIN, STOPS_CLOCK, follow, gain, wiped_out
from pointsleft.log.record import Happened, Snap
from pointsleft.pricing.cells import SnapValues
from pointsleft.pricing.result import Currency

#: Result that ends the possession -> the branch of a law that it is.
LOST_BRANCH = {
    "interception": "intercepted", "no-good": "missed", "blocked": "blocked", "punt": "punted",
}  # fmt: skip


def actual_value(
    values: SnapValues, snap: Snap, following: Snap | None, currency: Currency, seconds: float
) -> float | None:
    """Value after the snap as it came out; ``None`` where the log does not say.

    Parameters
    ----------
    following
        The next row of the log; where the possession goes on and its situation is logged, its
        value is the value after this snap, real clock and all.
    seconds
        Seconds that the play takes, for results that end the possession.
    """
    assert snap.situation is not None
    result = follow(snap.situation, snap.happened)
    nxt = _next_situation(snap, following)
    if result.goes_on and nxt is not None and _defined(nxt, currency):
        return float(values.value_of(nxt, currency)[0])
    cell = result_cell(snap.situation, snap.happened)
    if cell is None:
        return None
    return float(values.cells(currency, seconds)[0, cell])


def _next_situation(snap: Snap, following: Snap | None) -> Situation | None:
    if following is None or following.situation is None or snap.situation is None:
        return None
    if following.situation.half != snap.situation.half:
        return None
    return following.situation


def _defined(situation: Situation, currency: Currency) -> bool:
    return situation.has_points if currency == "points" else situation.has_wins


def result_cell(situation: Situation, happened: Happened) -> int | None:
    """Cell of the lattice in which a result lies; ``None`` where the log does not say."""
    if happened.result is None or wiped_out(happened):
        return None
    if happened.touchdown:
        return TOUCHDOWN
    if happened.defense_scored:
        return DEFENSE_TOUCHDOWN
    if happened.safety:
        return SAFETY
    if happened.result == "good":
        return FIELD_GOAL
    if happened.end_yards_to_goal is not None:
        return spot_cell(OTHER, min(max(100 - happened.end_yards_to_goal, 1), SPOTS))
    yards = gain(happened)
    if happened.fumble == "lost":
        return None if yards is None else _lost_at(situation, yards)
    if yards is None or happened.result in ENDS:
        return None
    spot = situation.yards_to_goal - yards
    if spot <= 0:
        return TOUCHDOWN
    if spot > SPOTS:
        return SAFETY
    stopped = happened.result in NO_GAIN | STOPS_CLOCK or happened.ended == "out"
    return spot_cell(STOPPED if stopped else RUNNING, spot)


def _lost_at(situation: Situation, yards: int) -> int | None:
    """Cell of a ball lost where the carrier was, no return logged; a touchback at their goal."""
    spot = situation.yards_to_goal - yards
    if spot > SPOTS:  # in the own end zone: whose ball it was decides everything
        return None
    return spot_cell(OTHER, spot if spot > 0 else situation.rules.punt_touchback)


def takeover_unknown(happened: Happened) -> bool:
    """Whether the other side got the ball and the log does not say where."""
    lost = happened.result in LOST_BRANCH or happened.fumble == "lost"
    scored = happened.touchdown or happened.defense_scored or happened.safety
    return lost and not scored and happened.end_yards_to_goal is None and not wiped_out(happened)


def usual_value(
    values: SnapValues, law: OutcomeLaw, happened: Happened, currency: Currency, seconds: float
) -> float | None:
    """Value after a ball lost nobody knows where: the mean of that branch of the chosen law."""
    if not takeover_unknown(happened):
        return None
    lost = happened.fumble == "lost"
    kind = "fumbled away" if lost else LOST_BRANCH[happened.result or ""]
    on = [i for i, k in enumerate(law.kinds) if k == kind]
    weights = law.weights[0, on]
    if weights.sum() <= 0:
        return None
    branches = law.cells[0, on] @ values.cells(currency, seconds)[0]
    return float(weights @ branches / weights.sum())
