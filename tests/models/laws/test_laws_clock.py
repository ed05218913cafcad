"""The clock between snaps: proper laws, time-outs only where there are some, the half ends."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pointsleft_models.bundle import Worth
from pointsleft_models.football.rules import rule_set
from pointsleft_models.laws.clock import SPOTTING, STRAIGHT, Elapsed
from pointsleft_models.laws.setting import Setting, state_code

moments = st.builds(
    Setting,
    down=st.integers(1, 4),
    distance=st.just(10),
    yards_to_goal=st.just(60),
    half=st.integers(1, 2),
    half_seconds=st.integers(1, 1800),
    lead=st.integers(-20, 20),
)


def mean(points: tuple[Elapsed, ...]) -> float:
    return sum(p.seconds * p.weight for p in points)


@settings(max_examples=60)
@given(at=moments, play=st.floats(2, 12), own=st.integers(0, 3), other=st.integers(0, 3))
def test_every_wait_is_a_law_within_the_half(
    worth: Worth, at: Setting, play: float, own: int, other: int
) -> None:
    running = worth.clock.running(at, play, own, other, worth.rules)
    stopped = worth.clock.stopped(at, play)
    for points in (running, stopped):
        assert sum(p.weight for p in points) == pytest.approx(1, abs=1e-9)
        for p in points:
            assert p.weight >= 0
            assert p.seconds >= 1
            assert not (p.own_timeout and p.other_timeout)
    for p in running:
        assert p.seconds <= at.half_seconds
    called = {(p.own_timeout, p.other_timeout) for p in running}
    assert ((True, False) in called) == (own > 0 and at.half_seconds <= STRAIGHT)
    assert ((False, True) in called) == (other > 0 and at.half_seconds <= STRAIGHT)
    assert not any(p.own_timeout or p.other_timeout for p in stopped)


@settings(max_examples=40)
@given(at=moments, play=st.floats(3, 9))
def test_a_stopped_clock_takes_no_longer_than_the_play(
    worth: Worth, at: Setting, play: float
) -> None:
    if at.half_seconds > 30:
        assert mean(worth.clock.stopped(at, play)) == pytest.approx(play, abs=0.5)
    running = worth.clock.running(at, play, 0, 0, worth.rules)
    assert mean(running) >= mean(worth.clock.stopped(at, play)) - 0.5


@pytest.mark.parametrize("play", [2.0, 5.0, 9.0])
@pytest.mark.parametrize("seconds", [1, 2, 4, 7, 15])
def test_a_half_that_runs_out_stays_run_out(worth: Worth, seconds: int, play: float) -> None:
    """However short the play: what was not snapped again in time is the end of the half."""
    ordinary = worth.clock.running(late(seconds), 5.0, 0, 0, worth.rules)
    points = worth.clock.running(late(seconds), play, 0, 0, worth.rules)
    over, usual = (sum(p.weight for p in x if p.seconds >= seconds) for x in (points, ordinary))
    assert usual > 0
    if play > 5:
        assert over >= usual - 1e-9
    else:
        assert over == pytest.approx(usual)


@pytest.mark.parametrize("play", [3, 5, 8])
def test_the_law_of_a_play_is_a_law_of_that_mean(worth: Worth, play: int) -> None:
    law = worth.clock.lasting(play)
    assert law.sum() == pytest.approx(1)
    assert law.min() >= 0
    assert law[0] == 0
    assert sum(s * p for s, p in enumerate(law)) == pytest.approx(play, abs=0.6)


def late(seconds: int, lead: int = -4, half: int = 2) -> Setting:
    return Setting(1, 10, 60, half, seconds, lead)


def test_no_wait_crosses_the_two_minute_stop_where_there_is_one(worth: Worth) -> None:
    with_stop = worth.clock.running(late(135, lead=4), 6, 0, 0, worth.rules)
    assert max(p.seconds for p in with_stop) == 15
    without = worth.clock.running(late(135, lead=4), 6, 0, 0, rule_set("college", 2019))
    assert max(p.seconds for p in without) > 30


#: When college rules stopped the clock at a first down: always to 2022, since then only with two
#: minutes left in a half (digest of the rule books); professionals never did.
STOPPED_AT = {
    ("professional", 2019, 100): False,
    ("professional", 2019, 900): False,
    ("college", 2012, 100): True,
    ("college", 2022, 900): True,
    ("college", 2023, 900): False,
    ("college", 2023, 140): False,
    ("college", 2023, 100): True,
    ("college", 2025, 100): True,
}


@pytest.mark.parametrize(("level", "season", "seconds"), STOPPED_AT)
def test_a_first_down_stops_the_clock_where_and_when_it_does(
    worth: Worth, level: str, season: int, seconds: int
) -> None:
    rules, at = rule_set(level, season), late(seconds, lead=4)
    usual, moved = (
        mean(worth.clock.running(at, 6, 0, 0, rules, first_down=first)) for first in (False, True)
    )
    if STOPPED_AT[level, season, seconds]:
        assert 0.6 * SPOTTING < usual - moved <= SPOTTING + 1e-9
    else:
        assert moved == usual


@pytest.mark.parametrize("seconds", [3, 8, 15, 40, 130])
def test_a_spotted_ball_is_snapped_after_the_play_and_within_the_half(
    worth: Worth, seconds: int
) -> None:
    at, rules = late(seconds), rule_set("college", 2016)
    points = worth.clock.running(at, 6, 2, 2, rules, first_down=True)
    assert sum(p.weight for p in points) == pytest.approx(1, abs=1e-9)
    for p in points:
        assert 1 <= p.seconds <= seconds
        assert p.own_timeout or p.other_timeout or p.seconds == seconds or p.seconds > 6
    if seconds > 6:  # the play itself leaves some
        over, usual = (
            sum(p.weight for p in x if p.seconds >= seconds)
            for x in (points, worth.clock.running(at, 6, 2, 2, rules))
        )
        assert over <= usual + 1e-9


def test_whoever_is_behind_hurries(worth: Worth) -> None:
    """Late in a game the side behind snaps sooner than the side ahead."""
    rules = worth.rules
    behind, ahead = (mean(worth.clock.running(late(90, x), 6, 0, 0, rules)) for x in (-4, 4))
    assert behind < ahead - 8


def test_with_a_second_left_every_play_is_the_last(worth: Worth) -> None:
    ends = [p for p in worth.clock.stopped(late(1), 5) if p.seconds >= 1]
    assert sum(p.weight for p in ends) == pytest.approx(1)
    assert worth.clock.running(late(1), 5, 3, 3, worth.rules)[0].seconds == 1


@pytest.mark.parametrize(
    ("lead", "code"), [(-30, 0), (-9, 0), (-8, 1), (-1, 1), (0, 2), (1, 3), (8, 3), (9, 4), (40, 4)]
)
def test_states_of_the_score(lead: int, code: int) -> None:
    assert state_code(lead) == code
