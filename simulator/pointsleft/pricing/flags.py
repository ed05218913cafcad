"""Penalties: what one is worth, and the free play it gives."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pointsleft_models.football.situation import Situation

from pointsleft.log.record import Flag
from pointsleft.pricing.cells import SnapValues
from pointsleft.pricing.result import Currency

#: Yards of a foul before the snap by the defense (rule book), and half the distance at most.
FREE_PLAY_YARDS = 5


def is_free_play(flag: Flag | None) -> bool:
    """Whether the play went on after a foul of the defense that the offense may decline.

    A dead-ball foul stops the play, and offsetting fouls leave nothing to choose.
    """
    return (
        flag is not None
        and flag.side == "defense"
        and flag.when == "before"
        and flag.decision != "offset"
    )


@dataclass(frozen=True, slots=True)
class Enforced:
    """Down, distance and spot after a penalty against the defense from the line."""

    down: int
    distance: int
    yards_to_goal: int


def walked_off(situation: Situation, yards: int) -> Enforced:
    """The next snap after a foul of the defense without a first down of its own.

    >>> from pointsleft_models.football.rules import rule_set
    >>> s = Situation(1, 900, 2, 4, 60, 0, rule_set())
    >>> walked_off(s, 5)
    Enforced(down=1, distance=10, yards_to_goal=55)
    """
    gained = min(yards, situation.yards_to_goal // 2 or 0)
    spot = situation.yards_to_goal - gained
    if gained >= situation.distance:
        return Enforced(1, min(10, spot), spot)
    return Enforced(situation.down, situation.distance - gained, spot)


def with_free_play(values: SnapValues, flag: Flag) -> SnapValues:
    """The same values where every outcome is worth at least the penalty."""
    after = walked_off(values.situation, flag.yards or FREE_PLAY_YARDS)
    at = values.situation.with_(
        down=after.down, distance=after.distance, yards_to_goal=after.yards_to_goal
    )
    penalised = replace(values, situation=at, floor={}, _fields={})
    floor: dict[Currency, object] = {
        currency: penalised.before_all(currency) for currency in values.currencies
    }
    return replace(values, floor=floor, _fields={})  # type: ignore[arg-type]
