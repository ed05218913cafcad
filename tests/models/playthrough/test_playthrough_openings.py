"""Forced first actions, paired continuations, and the ends of halves as a coach knows them."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.football.situation import Situation
from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.result import difference
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import Opening, Start, start_of
from pointsleft_models.playthrough.teams import Teams

GAMES = 3000
LATE = Start(2, 100, lead=-2, down=4, distance=5, yards_to_goal=30, own_timeouts=1)


@pytest.mark.parametrize(
    ("call", "events"),
    [
        ("run", {codes.RUN, codes.FUMBLE_LOST}),
        ("punt", {codes.PUNT}),
        ("field goal", {codes.GOOD, codes.MISSED}),
        ("kneel", {codes.KNEEL}),
        ("spike", {codes.SPIKE}),
    ],
)
def test_the_first_snap_is_as_called(parts: Parts, call: str, events: set[int]) -> None:
    opening = Opening(call=call)  # type: ignore[arg-type]
    log = play_through(parts, LATE, 500, 1, opening=opening, record=True).log
    first = log["event"][:500]  # the log of the first step comes first
    assert set(np.unique(first)) <= events
    free = play_through(parts, LATE, 500, 1, record=True).log["event"][:500]
    assert len(np.unique(free)) > len(events)  # negative control: unforced, much can happen


def test_the_same_opening_twice_differs_by_nothing(parts: Parts) -> None:
    one, two = (
        play_through(parts, LATE, GAMES, 4, opening=Opening(call="field goal")) for _ in range(2)
    )
    gap = difference(one.wins, two.wins)
    assert gap.mean == gap.error == 0


def test_common_luck_narrows_a_difference(parts: Parts) -> None:
    """Two openings from one seed go together; from two seeds they do not."""
    start = Start(1, 600, 0, 1, 10, 60)
    run, throw, other = (
        play_through(parts, start, 8000, seed, opening=Opening(call=call)).margin.astype(float)  # type: ignore[arg-type]
        for call, seed in (("run", 1), ("pass", 1), ("pass", 2))
    )
    assert difference(run, throw).correlation > 0.02
    assert abs(difference(run, other).correlation) < 4 / np.sqrt(8000)


@pytest.mark.parametrize(
    ("seconds", "theirs", "once"), [(38, 0, True), (38, 1, False), (70, 0, False)]
)
def test_a_kneel_that_outlasts_the_game_is_the_last_snap(
    parts: Parts, seconds: int, theirs: int, once: bool
) -> None:
    """Negative controls: a time-out of theirs, and more on the clock than one kneel takes."""
    start = Start(2, seconds, lead=3, yards_to_goal=60, own_timeouts=0, opponent_timeouts=theirs)
    log = play_through(parts, start, 500, 1, opening=Opening(call="kneel"), record=True).log
    assert (len(log["event"]) == 500) is once


def test_the_field_goal_beats_the_kneel_when_behind_by_two(parts: Parts) -> None:
    kick, kneel = (
        play_through(parts, LATE.with_(seconds=20), GAMES, 2, opening=Opening(call=call)).wins  # type: ignore[arg-type]
        for call in ("field goal", "kneel")
    )
    gap = difference(kick, kneel)
    assert gap.mean - 4 * gap.error > 0.3


def test_kneeling_out_a_won_game_wins_it(parts: Parts) -> None:
    """Ahead by four, 100 seconds, no time-outs of theirs: three kneels burn 120 seconds."""
    start = Start(2, 100, lead=4, yards_to_goal=60, opponent_timeouts=0)
    wins = play_through(parts, start, GAMES, 3, opening=Opening(call="kneel")).wins
    assert wins.mean() > 0.995


def test_with_time_outs_it_is_not_over(parts: Parts) -> None:
    """Negative control of the one above."""
    start = Start(2, 100, lead=4, yards_to_goal=60, opponent_timeouts=3)
    wins = play_through(parts, start, GAMES, 3, opening=Opening(call="kneel")).wins
    assert wins.mean() < 0.99


def test_a_kept_call_is_made_on_every_snap_of_the_possession(parts: Parts) -> None:
    """First, second and third down are knelt; fourth down is as the team plays."""
    start = Start(2, 300, lead=1, yards_to_goal=60, opponent_timeouts=3)

    def calls(opening: Opening) -> tuple[set[int], np.ndarray]:
        log = play_through(parts, start, 400, 3, opening=opening, record=True, until="half").log
        early = (log["offense"] == 0) & (log["down"] < 4)
        by_game = [log["event"][(log["game"] == g) & early][:3] for g in range(50)]
        return {int(e) for events in by_game for e in events}, log["down"]

    kept, downs = calls(Opening("kneel", keep=True))
    assert kept == {codes.KNEEL}
    assert (downs == 4).any()
    once, _ = calls(Opening("kneel"))
    assert once > {codes.KNEEL}  # negative control: only the first snap was forced


SET_UP = Opening("run", keep=True, answered=True, last_kick=True)


def test_a_run_sets_up_the_last_kick(parts: Parts) -> None:
    """Level at their 20, forty seconds, they cannot stop the clock: one run, and the kick comes
    with three seconds left and a time-out spent."""
    start = Start(2, 40, 0, 1, 10, 20, own_timeouts=1, opponent_timeouts=0)
    log = play_through(parts, start, 2000, 7, opening=SET_UP, record=True, until="half").log
    kicks = np.isin(log["event"], [codes.GOOD, codes.MISSED]) & (log["offense"] == 0)
    drained = kicks & (log["seconds"] == codes.DRAINED_TO)
    assert drained.sum() > 0.9 * 2000  # the rest: touchdowns, fumbles, runs out of bounds
    assert np.all(log["own_timeouts"][drained] == 0)
    assert np.mean(log["down"][drained] == 2) > 0.8
    plain = play_through(  # negative control: a run, and then as sides play
        parts, start, 2000, 7, opening=Opening("run"), record=True, until="half"
    ).log
    kicks = np.isin(plain["event"], [codes.GOOD, codes.MISSED]) & (plain["offense"] == 0)
    assert (kicks & (plain["seconds"] == codes.DRAINED_TO)).sum() < 0.8 * 2000


def test_time_outs_of_theirs_make_it_run_until_fourth_down(parts: Parts) -> None:
    start = Start(2, 40, 0, 1, 10, 20, own_timeouts=1, opponent_timeouts=3)
    log = play_through(parts, start, 2000, 8, opening=SET_UP, record=True, until="half").log
    ours = log["offense"] == 0
    kicks = ours & np.isin(log["event"], [codes.GOOD, codes.MISSED])
    assert (kicks & (log["down"] == 4) & (log["opponent_timeouts"] == 0)).sum() > 0.5 * 2000
    set_up = ours & ~kicks & (log["down"] < 4) & (log["seconds"] > codes.KICK_NOW)
    second = [np.flatnonzero(log["game"] == g)[1] for g in range(100)]
    again = [int(log["event"][row]) for row in second if set_up[row]]
    assert len(again) > 80  # the rest scored or fumbled at once
    assert set(again) <= {codes.RUN, codes.FUMBLE_LOST}


def test_a_called_snap_waits_for_a_running_clock(parts: Parts) -> None:
    start = Start(2, 60, -4, 1, 10, 40, own_timeouts=0)

    def first_clock(start: Start, call: str) -> np.ndarray:
        opening = Opening(call=call)  # type: ignore[arg-type]
        log = play_through(parts, start, 2000, 6, opening=opening, record=True).log
        return log["seconds"][:2000]

    running = start.with_(clock_running=True)
    assert np.all(first_clock(start, "pass") == 60)
    assert first_clock(running, "pass").mean() < 52
    assert first_clock(running, "spike").mean() > first_clock(running, "kneel").mean()


def test_a_level_game_in_range_ends_with_a_kick(parts: Parts) -> None:
    """Archive: the kick was tried in 60 of 61 level games with 20 to 50 seconds left, ball within
    the 30."""
    start = Start(2, 40, 0, 1, 10, 20, own_timeouts=2, opponent_timeouts=1)
    done = play_through(parts, start, GAMES, 5, until="half", record=True)
    kicks = np.isin(done.log["event"], [codes.GOOD, codes.MISSED])
    tried = len(np.unique(done.log["game"][kicks])) / GAMES
    assert tried + done.next_chances()[codes.TOUCHDOWN] > 0.93


def test_a_running_clock_costs_time(parts: Parts) -> None:
    start = Start(2, 60, -4, 1, 10, 40, own_timeouts=1)
    still, running, called = (
        play_through(parts, s, GAMES, 6, opening=o).win_probability()[0]
        for s, o in (
            (start, None),
            (start.with_(clock_running=True), None),
            (start.with_(clock_running=True), Opening(timeout="own")),
        )
    )
    assert still > running
    assert still > called  # the same clock, one time-out fewer
    assert still - called < still - running + 0.1


def test_letting_them_score_gets_the_ball_back(parts: Parts) -> None:
    """Level, their first and goal with a minute left and no time-outs of ours: standing aside
    leaves a minute, the kneels and the kick leave nothing."""
    start = Start(2, 55, 0, 1, 2, 2, own_timeouts=3, opponent_timeouts=0)
    scored = play_through(parts, start, GAMES, 7, opening=Opening(call="let score"))
    assert np.all(scored.next_score == codes.TOUCHDOWN)
    assert scored.wins.mean() < 0.995


def test_two_points_or_one(parts: Parts) -> None:
    """After the touchdown, no time left: behind by two only two points help."""
    start = Start(2, 0, lead=-2, phase="try")
    two, one = (
        play_through(parts, start, 4000, 8, opening=Opening(try_=word)).wins.mean()  # type: ignore[arg-type]
        for word in ("two points", "kick")
    )
    assert one == 0
    assert two == pytest.approx(parts.two_point * 0.5, abs=0.03)  # overtime is even


def test_an_onside_kick_is_kept_as_often_as_the_law_says(parts: Parts) -> None:
    start = Start(2, 60, lead=-3, phase="kickoff")
    log = play_through(
        parts, start, 4000, 9, opening=Opening(kickoff="onside"), record=True
    ).log  # fmt: skip
    kept = (log["offense"][:4000] == 0).mean()
    assert kept == pytest.approx(parts.onside_kept[1], abs=4 * np.sqrt(0.15 * 0.85 / 4000))


def test_a_situation_is_a_start(parts: Parts) -> None:
    situation = Situation(
        period=4, seconds=90, down=3, distance=4, yards_to_goal=35, lead=-3, rules=parts.rules,
        own_timeouts=2, opponent_timeouts=1, clock_running=True,
    )  # fmt: skip
    start = start_of(situation)
    assert (start.half, start.seconds, start.down, start.lead) == (2, 90, 3, -3)
    assert start.clock_running
    wins, _ = play_through(parts, start, 500, 1).win_probability()
    assert 0 < wins < 1


def test_what_a_lead_says_of_the_teams() -> None:
    even = Teams(spread=7.0, equal=13.0)
    assert even.seen(0, 0) == even
    half = even.seen(1800, 14)
    assert half.edge > 0
    assert half.spread < even.spread
    # conjugate normal: precision 1 / 49 and .5 / 169, mean of 14 points in half a game
    precision = 1 / 49 + 0.5 / 169
    assert half.spread == pytest.approx(precision**-0.5)
    assert half.edge == pytest.approx(14 / 169 / precision)
