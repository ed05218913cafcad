"""Situations: what cannot occur is named all at once; what follows from one is right."""

from __future__ import annotations

from dataclasses import FrozenInstanceError
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft_models.football.rules import rule_set
from pointsleft_models.football.situation import Situation, SituationError

RULES = rule_set("professional", 2019)
PLAIN: dict[str, Any] = {
    "period": 2, "seconds": 600, "down": 1, "distance": 10, "yards_to_goal": 75, "lead": 0,
    "rules": RULES,
}  # fmt: skip


def at(**changes: Any) -> Situation:
    return Situation(**(PLAIN | changes))


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"period": 0}, "period 0"),
        ({"seconds": -1}, "-1 seconds left"),
        ({"seconds": 901}, "901 seconds left in period 2 (0 to 900)"),
        ({"period": 5, "seconds": 601}, "(0 to 600)"),
        ({"down": 0}, "down 0"),
        ({"down": 5}, "down 5 (1 to 4)"),
        ({"yards_to_goal": 0}, "0 yards to goal"),
        ({"yards_to_goal": 120}, "120 yards to goal (1 to 99)"),
        ({"distance": 0}, "0 yards to go"),
        ({"yards_to_goal": 4, "distance": 5}, "5 yards to go with 4 to the goal line (1 to 4)"),
        ({"own_timeouts": 4}, "4 own time-outs"),
        ({"own_timeouts": -1}, "-1 own time-outs"),
        ({"opponent_timeouts": 4}, "4 opponent time-outs (0 to 3)"),
        ({"opponent_timeouts": -2}, "-2 opponent time-outs"),
    ],
)
def test_each_impossible_thing_is_named(changes: dict[str, Any], says: str) -> None:
    with pytest.raises(SituationError) as error:
        at(**changes)
    assert says in str(error.value)


def test_everything_wrong_is_named_at_once() -> None:
    with pytest.raises(SituationError) as error:
        at(period=0, seconds=1000, down=5, yards_to_goal=120, own_timeouts=4, opponent_timeouts=-1)
    message = str(error.value)
    for part in ("period 0", "1000 seconds", "down 5", "120 yards", "4 own", "-1 opponent"):
        assert part in message
    assert message.count(";") == 5


@pytest.mark.parametrize(
    "changes",
    [
        {"seconds": 0},
        {"seconds": 900},
        {"seconds": None},
        {"lead": None},
        {"down": 4},
        {"yards_to_goal": 1, "distance": 1},
        {"yards_to_goal": 99, "distance": 99},
        {"own_timeouts": 0, "opponent_timeouts": 3},
        {"period": 5, "seconds": 600},
        {"period": 7, "seconds": 600},
    ],
)
def test_the_limits_themselves_can_occur(changes: dict[str, Any]) -> None:
    made = at(**changes)
    for name, value in changes.items():
        assert getattr(made, name) == value


def test_a_copy_is_checked_again_and_the_first_is_untouched() -> None:
    first = at()
    assert first.with_(down=3).down == 3
    with pytest.raises(SituationError):
        first.with_(down=5)
    assert first.down == 1
    with pytest.raises(FrozenInstanceError):
        first.down = 2  # type: ignore[misc]


@pytest.mark.parametrize(
    ("period", "half", "half_seconds", "game_seconds"),
    [(1, 1, 1000, 2800), (2, 1, 100, 1900), (3, 2, 1000, 1000), (4, 2, 100, 100), (5, 3, 100, 100)],
)
def test_clocks(period: int, half: int, half_seconds: int, game_seconds: int) -> None:
    made = at(period=period, seconds=100)
    assert (made.half, made.half_seconds, made.game_seconds) == (half, half_seconds, game_seconds)
    assert made.overtime == (period == 5)
    assert made.has_points == (period != 5)


def test_an_unknown_clock_is_unknown_everywhere() -> None:
    made = at(seconds=None)
    assert (made.half_seconds, made.game_seconds) == (None, None)
    assert {made.two_minute, made.four_minute, made.has_wins} == {False}
    assert not at(lead=None).has_wins
    assert at().has_wins


@pytest.mark.parametrize(
    ("period", "seconds", "two", "four"),
    [
        (1, 100, False, False),
        (2, 120, True, False),
        (2, 121, False, False),
        (3, 100, False, False),
        (4, 240, False, True),
        (4, 241, False, False),
        (4, 120, True, True),
    ],
)
def test_two_and_four_minutes(period: int, seconds: int, two: bool, four: bool) -> None:
    ahead = at(period=period, seconds=seconds, lead=1)
    assert (ahead.two_minute, ahead.four_minute) == (two, four)
    assert not at(period=period, seconds=seconds, lead=0).four_minute


@given(spot=st.integers(1, 99), data=st.data())
def test_zones_of_the_field(spot: int, data: st.DataObject) -> None:
    distance = data.draw(st.integers(1, spot))
    made = at(yards_to_goal=spot, distance=distance)
    assert made.backed_up == (100 - spot < 10)
    assert made.red_zone == (spot <= 20)
    assert made.goal_to_go == (distance == spot)
