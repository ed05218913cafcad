"""A free play: the better of result and penalty, outcome by outcome."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pointsleft.log.record import Flag, Happened, Snap
from pointsleft.pricing.flags import Enforced, is_free_play, walked_off
from pointsleft.pricing.snap import prepare
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation
from pricing_sample import POST, LoggedOption, situation, situations, snap, snaps

slow = settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow], deadline=None)

JUMPED = Flag("defense", when="before", decision="declined", yards=5)


@pytest.mark.parametrize(
    ("flag", "free"),
    [
        (JUMPED, True),
        (Flag("defense", when="before", decision="accepted"), True),
        (Flag("defense", when="before"), True),
        (Flag("defense", when="dead", decision="accepted"), False),
        (Flag("defense", when="live", decision="declined"), False),
        (Flag("defense", when="after", decision="declined"), False),
        (Flag("defense", when="before", decision="offset"), False),
        (Flag("offense", when="before", decision="declined"), False),
        (None, False),
    ],
)
def test_which_flags_give_a_free_play(flag: Flag | None, free: bool) -> None:
    assert is_free_play(flag) == free


@slow
@given(row=snaps(overtime=False))
def test_a_free_play_is_worth_the_penalty_at_least_and_the_play_at_least(
    worth: Worth, row: Snap
) -> None:
    """In the currency in which the offense would choose: wins where they are known."""
    flagged = replace(row, happened=replace(row.happened, flag=JUMPED))
    values, plain, models = prepare(worth, flagged)
    judge = "wins" if "wins" in values.currencies else "points"
    assert row.situation is not None
    after = walked_off(row.situation, 5)
    penalised = row.situation.with_(
        down=after.down, distance=after.distance, yards_to_goal=after.yards_to_goal
    )
    penalty = float(plain.value_of(penalised, judge)[0])
    for refits in (False, True):
        for model in models:
            law = model.law(refits=refits)
            free = values.value(law, judge, model.seconds, refits=refits)
            bare = plain.value(law, judge, model.seconds, refits=refits)
            assert free[0] >= bare[0] - 1e-9
            assert free[0] >= penalty - 2e-3
            assert free.shape == bare.shape


def test_a_dead_ball_flag_changes_nothing(worth: Worth) -> None:
    dead = Flag("defense", when="dead", decision="accepted", yards=5)
    row = snap(POST, LoggedOption("s", "scramble"), happened=Happened(result="no-play", flag=dead))
    values, plain, models = prepare(worth, row)
    assert values.floor == {}
    for model in models:
        for currency in values.currencies:
            one, other = (v.value(model.law(), currency, model.seconds) for v in (values, plain))
            assert (one == other).all()


def test_every_outcome_is_the_better_of_the_two(worth: Worth) -> None:
    row = snap(POST, happened=Happened(flag=JUMPED))
    values, plain, _ = prepare(worth, row)
    wins, bare = values.option_cells("wins", 6)[0], plain.option_cells("wins", 6)[0]
    floor = values.floor["wins"][0]
    assert wins == pytest.approx(np.maximum(bare, floor))
    points, bare_points = values.option_cells("points", 6)[0], plain.option_cells("points", 6)[0]
    took = bare < floor
    assert took.any()
    assert (~took).any()
    assert points[~took] == pytest.approx(bare_points[~took])
    assert points[took] == pytest.approx(values.floor["points"][0])


@given(at=situations(overtime=False), yards=st.sampled_from([5, 10, 15]))
def test_a_walk_off_never_goes_past_half_the_distance(at: Situation, yards: int) -> None:
    after = walked_off(at, yards)
    moved = at.yards_to_goal - after.yards_to_goal
    assert moved == min(yards, at.yards_to_goal // 2)
    if moved >= at.distance:
        assert (after.down, after.distance) == (1, min(10, after.yards_to_goal))
    else:
        assert (after.down, after.distance) == (at.down, at.distance - moved)
    at.with_(down=after.down, distance=after.distance, yards_to_goal=after.yards_to_goal)


def test_a_walk_off_by_hand() -> None:
    assert walked_off(situation(down=3, distance=5, yards_to_goal=40), 5) == Enforced(1, 10, 35)
    assert walked_off(situation(down=3, distance=6, yards_to_goal=40), 5) == Enforced(3, 1, 35)
    assert walked_off(situation(down=2, distance=6, yards_to_goal=6), 5) == Enforced(2, 3, 3)
    assert walked_off(situation(down=2, distance=1, yards_to_goal=1), 5) == Enforced(2, 1, 1)
