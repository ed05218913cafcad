"""Win probability: look-ups are the fit, the ends are exact, refits stand on their own points."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft_models.bundle import Worth
from pointsleft_models.values.at_least import AtLeast
from pointsleft_models.values.ending import end_value, kneel_seconds
from pointsleft_models.values.half_time import OPEN
from pointsleft_models.values.next_score import CLASSES
from pointsleft_models.values.rest import spread_of_rest
from pointsleft_models.values.states import States, states
from pointsleft_models.values.wins import CLOSE, one_score, win_columns
from value_states import random_states, turned

Array = np.ndarray

SINGLE = 5e-5


def not_at_half_time(at: States) -> States:
    """The same in the second half, where the last seconds lead to half-time: those are joined."""
    half = np.where((at.half == 1) & (at.half_seconds < OPEN), 2, at.half)
    return states(**{n: getattr(at, n) for n in States.__slots__} | {"half": half})


def regression(worth: Worth, at: States, refit: int) -> Array:
    """The fitted part under one fit, straight from basis and coefficients."""
    own = worth.points.only(refit)
    second_half = float(own.receiving(np.array([1800]))[0])
    late = (at.half == 2) & (at.half_seconds <= CLOSE)
    wide = AtLeast(worth.points.eased(at, ~late), late)
    points, chances = own.fitted(wide.states)
    columns = win_columns(wide.states, points, second_half, chances)
    return wide.best(worth.wins.fit.only(refit).probability(columns))


def test_looking_up_is_evaluating_the_basis(worth: Worth) -> None:
    at = not_at_half_time(random_states(400))
    assert worth.wins.regression(at) == pytest.approx(regression(worth, at, 0), abs=SINGLE)


def test_every_refit_stands_on_its_own_points(worth: Worth) -> None:
    at = random_states(40, 1)
    early = np.maximum(at.half_seconds, OPEN)
    at = states(
        **{n: getattr(at, n) for n in States.__slots__} | {"half": 1, "half_seconds": early}
    )
    every, refits = worth.wins.wins_all(at), worth.wins.refits
    assert every.shape == (1 + refits, 40)
    assert every[0] == pytest.approx(worth.wins.wins(at), abs=1e-3)
    for refit in (1, refits):
        assert every[refit] == pytest.approx(regression(worth, at, refit), abs=1e-3)
    assert len(np.unique(every[:, 0])) == 1 + refits


def test_points_and_wins_together_are_points_and_wins(worth: Worth) -> None:
    for late in (False, True):
        at = random_states(200, 2, late=late)
        points, wins = worth.wins.with_points(at)
        assert points[0] == pytest.approx(worth.points.points(at), abs=1e-4)
        assert (wins[0] == worth.wins.wins(at)).all()
        points, wins = worth.wins.with_points(at, refits=True)
        assert points == pytest.approx(worth.points.points_all(at), abs=1e-3)
        assert (wins == worth.wins.wins_all(at)).all()
        assert wins[0] == pytest.approx(worth.wins.wins(at), abs=1e-3)


@pytest.mark.parametrize("late", [False, True])
def test_a_chance_is_a_chance(worth: Worth, late: bool) -> None:
    at = random_states(500, 3, late=late)
    for value in (worth.wins.wins(at), worth.wins.wins_all(at)):
        assert value.min() >= 0
        assert value.max() <= 1


def test_what_one_side_has_the_other_has_not(worth: Worth) -> None:
    """A side about to get the ball at the mirror spot and the one that has it there: together
    not more than a possession away from 1."""
    at = random_states(400, 4)
    both = worth.wins.wins(at) + worth.wins.wins(turned(at))
    assert np.median(both) > 0.95
    even = states(yards_to_goal=75, half=1, half_seconds=1800, receives=[1, -1, 0])
    assert worth.wins.wins(even) == pytest.approx(0.53, abs=0.05)


# -- the last play ---------------------------------------------------------------------------


def test_the_worth_of_a_final_lead() -> None:
    assert list(end_value(np.array([-9, -1, 0, 1, 30]))) == [0, 0, 0.5, 1, 1]


@pytest.mark.parametrize(("lead", "yards"), [(-3, 15), (-2, 33), (-1, 25), (0, 20)])
def test_a_last_play_field_goal_is_priced_as_its_law(worth: Worth, lead: int, yards: int) -> None:
    """With no time left after the snap the kick decides, and the kick is its fitted law."""
    at = states(yards_to_goal=yards, half=2, half_seconds=0, lead=lead, down=3, distance=4)
    made = worth.kicking.make_chance(yards + 18, refits=True)
    by_kick = made * end_value(np.array(lead + 3)) + (1 - made) * end_value(np.array(lead))
    found = worth.wins.wins_all(at)[:, 0]
    assert (found >= by_kick - 1e-9).all()
    assert found == pytest.approx(by_kick, abs=0.02)
    assert found[0] == pytest.approx(by_kick[0], abs=0.02)


@pytest.mark.parametrize("lead", [-4, -8, -20])
def test_three_points_do_not_help_when_they_do_not(worth: Worth, lead: int) -> None:
    at = states(yards_to_goal=10, half=2, half_seconds=0, lead=lead)
    value = float(worth.wins.wins(at)[0])
    heave = float(worth.wins.ending.touchdowns(np.array([10]), 1)[0, 0])
    if lead == -4:
        assert value == pytest.approx(heave, abs=1e-6)
    elif lead == -8:
        assert 0 < value < 0.5 * heave
    else:
        assert value == 0


def test_a_game_that_is_over_is_over(worth: Worth) -> None:
    """With the clock out and too far behind nothing helps; ahead nothing is left to do."""
    at = states(yards_to_goal=[50, 99, 1], half=2, half_seconds=0, lead=[3, 1, 21])
    assert worth.wins.wins(at) == pytest.approx(1, abs=1e-9)
    at = states(yards_to_goal=[50, 99, 1], half=2, half_seconds=0, lead=[-9, -17, -30])
    assert worth.wins.wins(at) == pytest.approx(0, abs=1e-9)


def test_nobody_kicks_from_his_own_half_as_a_last_resort(worth: Worth) -> None:
    far = states(yards_to_goal=60, half=2, half_seconds=0, lead=-2)
    assert worth.wins.wins(far)[0] == pytest.approx(
        worth.wins.ending.touchdowns(np.array([60]), 1)[0, 0], abs=1e-6
    )


# -- kneeling --------------------------------------------------------------------------------


@given(down=st.integers(1, 4), timeouts=st.integers(0, 3))
def test_seconds_that_kneels_run_off(down: int, timeouts: int) -> None:
    """One after another: two seconds each, forty more unless a time-out stops the clock."""
    seconds, left = 0, timeouts
    for play in range(down, 5):
        seconds += 3 if play == 4 else 2
        if play < 4:
            if left:
                left -= 1
            else:
                seconds += 40
    assert kneel_seconds(np.array([down]), np.array([timeouts]))[0] == seconds


@pytest.mark.parametrize("down", [1, 2, 3, 4])
@pytest.mark.parametrize("timeouts", [0, 1, 2, 3])
def test_a_clock_that_can_be_knelt_out_is_as_good_as_won(
    worth: Worth, down: int, timeouts: int
) -> None:
    limit = int(kneel_seconds(np.array([down]), np.array([timeouts]))[0])
    inside = states(
        yards_to_goal=60, down=down, half=2, half_seconds=limit, lead=[1, 3, 8],
        opponent_timeouts=timeouts,
    )  # fmt: skip
    assert (worth.wins.wins(inside) >= worth.wins.ending.knelt_out).all()
    assert worth.wins.ending.knelt_out > 0.98


def test_kneeling_helps_only_whoever_is_ahead_in_the_second_half(worth: Worth) -> None:
    sure = worth.wins.ending.knelt_out
    at = states(
        yards_to_goal=60, half=[2, 2, 1], half_seconds=[100, 100, 100], lead=[0, -1, 1],
        opponent_timeouts=0,
    )  # fmt: skip
    assert (worth.wins.wins(at) < sure).all()
    too_long = states(yards_to_goal=60, half=2, half_seconds=170, lead=1, opponent_timeouts=0)
    assert worth.wins.wins(too_long)[0] < sure


# -- pieces ----------------------------------------------------------------------------------


def test_the_spread_of_what_is_left_shrinks_with_the_clock() -> None:
    spread = spread_of_rest(np.array([3600, 900, 60, 0]))
    assert (np.diff(spread) < 0).all()
    assert spread[0] == pytest.approx(13.5, abs=0.1)
    assert spread[1] == pytest.approx(spread[0] / 2, rel=0.02)
    assert 0 < spread[-1] < 1


@pytest.mark.parametrize(
    ("lead", "kind", "value"),
    [
        (-3, "field goal", 0.5), (-2, "field goal", 1), (-4, "field goal", 0),
        (-4, "touchdown", 1), (-6, "touchdown", 0.97), (-7, "touchdown", 0.48),
        (-8, "touchdown", 0.24), (-9, "touchdown", 0), (-2, "safety", 0.5),
        (2, "safety against", 0.5), (3, "field goal against", 0.5), (4, "touchdown against", 0),
        (6, "touchdown against", 0.03), (9, "touchdown against", 1), (0, "none", 0.5),
    ],
)  # fmt: skip
def test_if_the_next_score_were_the_last(lead: int, kind: str, value: float) -> None:
    chances = np.eye(7)[[CLASSES.index(kind)]]
    assert one_score(np.array([lead]), chances)[0] == pytest.approx(value)


def test_mirror_scores_are_mirror_values() -> None:
    mirror = [CLASSES.index(c) for c in (
        "none", "touchdown against", "field goal against", "safety against", "safety",
        "field goal", "touchdown",
    )]  # fmt: skip
    chances = np.random.default_rng(0).dirichlet(np.ones(7), 41)
    lead = np.arange(-20, 21)
    other = one_score(-lead, chances[:, mirror])
    assert one_score(lead, chances) + other == pytest.approx(1)
