"""What every outcome of a snap is worth, against one situation after another by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pointsleft_models.bundle import Worth
from pointsleft_models.football.rules import rule_set
from pointsleft_models.laws.lattice import (
    CELLS,
    DEFENSE_TOUCHDOWN,
    FIELD_GOAL,
    OTHER,
    RUNNING,
    SAFETY,
    SPOTS,
    STOPPED,
    TOUCHDOWN,
    spot_cell,
)
from pointsleft_models.laws.setting import Setting
from pointsleft_models.values.ending import end_value
from pointsleft_models.values.field import Field
from pointsleft_models.values.following import Team
from pointsleft_models.values.kickoffs import Kickoff
from pointsleft_models.values.states import States, states

Array = np.ndarray

PLAY = 6.0
CLOSE = 1e-4

#: An unhurried snap: the clock after it is one moment, not a law.
USUAL = Setting(2, 7, 60, 1, 1200, -3)
TEAM = Team(own_timeouts=1, other_timeouts=3, receives=1)


def field(worth: Worth, at: Setting, team: Team = TEAM, *, refits: bool = False) -> Field:
    return worth.valuation.field(at, team, PLAY, refits=refits)


def after(at: Setting, team: Team, spot: int, seconds: int, *, taken: bool = False) -> States:
    """The next snap with the ball ``spot`` yards from the goal we go to; who has it follows."""
    gain = at.yards_to_goal - spot
    ours = not taken and (gain >= at.distance or at.down < 4)
    first = gain >= at.distance or not ours
    to_goal = spot if ours else 100 - spot
    down = 1 if first else at.down + 1
    distance = min(10, to_goal) if first else at.distance - gain
    sign = 1 if ours else -1
    return states(
        down=down,
        distance=distance,
        yards_to_goal=to_goal,
        half=at.half,
        half_seconds=at.half_seconds - seconds,
        lead=sign * at.lead,
        own_timeouts=team.own_timeouts if ours else team.other_timeouts,
        opponent_timeouts=team.other_timeouts if ours else team.own_timeouts,
        receives=sign * team.receives,
    )


def keeps(at: Setting, spot: int) -> bool:
    return at.down < 4 or at.yards_to_goal - spot >= at.distance


SPOTS_TRIED = (1, 4, 10, 33, 52, 53, 54, 60, 67, 80, 99)


@pytest.mark.parametrize("at", [USUAL, replace(USUAL, down=4), replace(USUAL, down=1, half=2)])
def test_the_next_snap_is_worth_what_it_is_worth(worth: Worth, at: Setting) -> None:
    """Stopped clock: points and wins of the next situation, turned where the ball is lost."""
    values = field(worth, at)
    assert values.points is not None
    assert values.wins is not None
    team = replace(TEAM, receives=TEAM.receives if at.half == 1 else 0)
    for spot in SPOTS_TRIED:
        nxt = after(at, team, spot, round(PLAY))
        ep, wp = float(worth.points.points(nxt)[0]), float(worth.wins.wins(nxt)[0])
        cell = spot_cell(STOPPED, spot)
        own = keeps(at, spot)
        assert values.points[0, cell] == pytest.approx(ep if own else -ep, abs=CLOSE), spot
        if at.half == 1:
            assert values.wins[0, cell] == pytest.approx(wp if own else 1 - wp, abs=CLOSE), spot


def test_where_the_other_side_has_it_the_view_turns(worth: Worth) -> None:
    """A taken ball is minus its points and one minus its wins, seen from them."""
    values = field(worth, USUAL)
    assert values.points is not None
    assert values.wins is not None
    for spot in SPOTS_TRIED:
        theirs = after(USUAL, TEAM, spot, round(PLAY), taken=True)
        cell = spot_cell(OTHER, spot)
        assert values.points[0, cell] == pytest.approx(-worth.points.points(theirs)[0], abs=CLOSE)
        assert values.wins[0, cell] == pytest.approx(1 - worth.wins.wins(theirs)[0], abs=CLOSE)


def test_a_failed_fourth_down_is_a_ball_taken(worth: Worth) -> None:
    fourth = replace(USUAL, down=4)
    values = field(worth, fourth)
    for table in (values.points, values.wins):
        assert table is not None
        short = np.arange(54, 100)  # gains of less than seven from the 60
        lost = table[0, OTHER + short - 1]
        assert table[0, STOPPED + short - 1] == pytest.approx(lost, abs=1e-9)


@pytest.mark.parametrize("half_seconds", [40, 90, 150, 180, 1200])
def test_a_failed_fourth_down_in_bounds_stops_the_clock(worth: Worth, half_seconds: int) -> None:
    """The ball changes hands: nobody waits, and no time-out is used."""
    over = half_seconds <= 90  # three ahead, and they have no time-outs
    at = Setting(4, 2, 45, 2, half_seconds, 3)
    values = field(worth, at, Team(own_timeouts=3, other_timeouts=0, receives=0))
    for table in (values.points, values.wins):
        assert table is not None
        spots = np.arange(1, SPOTS + 1)
        short, made = spots[spots > 43], spots[spots <= 43]
        taken = table[0, OTHER + short - 1]
        assert table[0, RUNNING + short - 1] == pytest.approx(taken, abs=1e-9)
        if not over:  # one kneel away from the end all is the same
            waited = table[0, RUNNING + made - 1] - table[0, STOPPED + made - 1]
            assert np.abs(waited).max() > 1e-4


def test_a_running_clock_is_the_mean_over_its_waits(worth: Worth) -> None:
    at, team = replace(USUAL, half_seconds=140, half=2), replace(TEAM, receives=0)
    values = field(worth, at, team)
    assert values.points is not None
    for spot in (20, 60, 75):
        by_hand = 0.0
        for e in worth.clock.running(at, PLAY, 1, 3, worth.rules):
            own = replace(team, own_timeouts=1 - e.own_timeout, other_timeouts=3 - e.other_timeout)
            if e.seconds < at.half_seconds:
                nxt = after(at, own, spot, e.seconds)
                by_hand += e.weight * float(worth.points.points(nxt)[0])
        assert values.points[0, spot_cell(RUNNING, spot)] == pytest.approx(by_hand, abs=1e-3)


def test_scores_are_worth_what_the_rules_give_less_the_kickoff(worth: Worth) -> None:
    values = field(worth, USUAL).points
    assert values is not None
    left = np.array([USUAL.half_seconds - round(PLAY)])
    k = float(worth.points.receiving(left)[0])
    free = float(worth.points.receiving_free_kick(left)[0])
    touchdown = 6 + worth.points.try_points - k
    assert values[0, TOUCHDOWN] == pytest.approx(touchdown)
    assert values[0, FIELD_GOAL] == pytest.approx(3 - k)
    assert values[0, SAFETY] == pytest.approx(-2 - free)
    assert values[0, DEFENSE_TOUCHDOWN] == pytest.approx(-touchdown)


def test_wins_after_a_score_are_those_before_the_kickoff(worth: Worth) -> None:
    """The better of the two tries is taken, by either side."""
    values = field(worth, USUAL).wins
    assert values is not None
    seconds = USUAL.half_seconds - round(PLAY)

    def ahead(change: int, *, receives: bool, free: bool = False) -> float:
        kick = Kickoff(USUAL.lead + change, seconds, 1, receives, 1, 3, 1, None, free)
        return float(worth.valuation.kickoff_wins(kick)[0])

    kick, two = worth.points.try_points, worth.two_point
    six, seven, eight = (ahead(p, receives=False) for p in (6, 7, 8))
    ours = max(kick * seven + (1 - kick) * six, two * eight + (1 - two) * six)
    six, seven, eight = (1 - ahead(-p, receives=True) for p in (6, 7, 8))
    theirs = max(kick * seven + (1 - kick) * six, two * eight + (1 - two) * six)
    assert values[0, TOUCHDOWN] == pytest.approx(ours, abs=CLOSE)
    assert values[0, DEFENSE_TOUCHDOWN] == pytest.approx(1 - theirs, abs=CLOSE)
    assert values[0, FIELD_GOAL] == pytest.approx(ahead(3, receives=False), abs=CLOSE)
    assert values[0, SAFETY] == pytest.approx(ahead(-2, receives=False, free=True), abs=CLOSE)


@settings(max_examples=25)
@given(
    lead=st.integers(-14, 14), seconds=st.integers(20, 1800), half=st.integers(1, 2),
    receives=st.booleans(), own=st.integers(0, 3), other=st.integers(0, 3), free=st.booleans(),
    second=st.sampled_from([-1, 0, 1]),
)  # fmt: skip
def test_a_kickoff_seen_from_the_other_side(
    worth: Worth, lead: int, seconds: int, half: int, receives: bool, own: int, other: int,
    free: bool, second: int,
) -> None:  # fmt: skip
    ours = Kickoff(lead, seconds, half, receives, own, other, second, 0.0, free)
    theirs = Kickoff(-lead, seconds, half, not receives, other, own, -second, 0.0, free)
    one, two = (worth.valuation.kickoff_wins(k)[0] for k in (ours, theirs))
    assert one + two == pytest.approx(1, abs=1e-5)
    assert 0 <= one <= 1


def test_a_kickoff_is_the_mean_over_where_it_starts(worth: Worth) -> None:
    """A few starts stand for the law: near its mean over all of them."""
    kick = Kickoff(2, 1000, 1, True, 3, 2, -1)
    law = worth.points.kickoff.starts(worth.rules)
    lines = np.arange(1, 100)
    at = states(
        yards_to_goal=100 - lines, half_seconds=995, lead=2, opponent_timeouts=2, receives=-1
    )
    every = float(law.probability @ worth.wins.wins(at) / law.probability.sum())
    assert worth.valuation.kickoff_wins(kick)[0] == pytest.approx(every, abs=0.003)


# -- halves end ------------------------------------------------------------------------------


@pytest.mark.parametrize("receives", [1, 0, -1])
def test_at_half_time_the_second_half_is_kicked_off(worth: Worth, receives: int) -> None:
    at = replace(USUAL, half_seconds=1)
    values = field(worth, at, replace(TEAM, receives=receives))
    assert values.points is not None
    assert values.wins is not None
    sides = {1: [True], -1: [False], 0: [True, False]}[receives]
    kicks = [Kickoff(at.lead, 1800, 2, side, 3, 3, 0) for side in sides]
    begin = np.mean([worth.valuation.kickoff_wins(k)[0] for k in kicks])
    assert values.points[0, : 3 * SPOTS] == pytest.approx(0, abs=1e-9)
    assert values.wins[0, : 3 * SPOTS] == pytest.approx(begin, abs=CLOSE)
    assert values.points[0, TOUCHDOWN] == pytest.approx(6 + worth.points.try_points)
    assert values.points[0, FIELD_GOAL] == pytest.approx(3)
    assert values.points[0, SAFETY] == pytest.approx(-2)
    goal = [Kickoff(at.lead + 3, 1800, 2, side, 3, 3, 0) for side in sides]
    level = np.mean([worth.valuation.kickoff_wins(k)[0] for k in goal])
    assert values.wins[0, FIELD_GOAL] == pytest.approx(level, abs=CLOSE)


@pytest.mark.parametrize("lead", [-9, -8, -7, -6, -3, -2, 0, 1, 5])
def test_when_the_game_is_over_the_score_says_who_won(worth: Worth, lead: int) -> None:
    at = replace(USUAL, half=2, half_seconds=1, lead=lead)
    values = field(worth, at, replace(TEAM, receives=0)).wins
    assert values is not None
    assert values[0, : 3 * SPOTS] == pytest.approx(float(end_value(np.array(lead))))
    final = {p: float(end_value(np.array(lead + p))) for p in (-8, -7, -6, -2, 3, 6, 7, 8)}
    kick, two = worth.points.try_points, worth.two_point
    best = max(kick * final[7] + (1 - kick) * final[6], two * final[8] + (1 - two) * final[6])
    assert values[0, TOUCHDOWN] == pytest.approx(best)
    assert values[0, FIELD_GOAL] == pytest.approx(final[3])
    assert values[0, SAFETY] == pytest.approx(final[-2])
    worst = min(kick * final[-7] + (1 - kick) * final[-6], two * final[-8] + (1 - two) * final[-6])
    assert values[0, DEFENSE_TOUCHDOWN] == pytest.approx(worst)


def test_the_clock_can_run_out_inside_an_outcome(worth: Worth) -> None:
    """With seven seconds left a play in bounds mostly ends the half, one out of bounds may not."""
    at = Setting(1, 10, 30, 1, 7, 0)
    values = field(worth, at).points
    assert values is not None
    running, stopped = (values[0, spot_cell(block, 15)] for block in (RUNNING, STOPPED))
    none = field(worth, at, replace(TEAM, own_timeouts=0)).points
    assert none is not None
    assert none[0, spot_cell(RUNNING, 15)] < 0.5 * running
    assert none[0, spot_cell(RUNNING, 15)] < running < stopped


# -- shapes and refits -----------------------------------------------------------------------


@pytest.mark.parametrize("at", [USUAL, replace(USUAL, half=2, half_seconds=25, lead=-2)])
def test_every_fit_has_a_row_and_the_point_fit_is_the_first(worth: Worth, at: Setting) -> None:
    team = replace(TEAM, receives=0)
    point, every = field(worth, at, team), field(worth, at, team, refits=True)
    fits = 1 + worth.points.refits
    for one, rows in ((point.points, every.points), (point.wins, every.wins)):
        assert one is not None
        assert rows is not None
        assert one.shape == (1, CELLS)
        assert rows.shape == (fits, CELLS)
        assert rows[0] == pytest.approx(one[0], abs=2e-3)
        assert len(np.unique(rows[:, spot_cell(STOPPED, 40)])) == fits
    assert every.wins is not None
    assert every.wins.min() >= 0
    assert every.wins.max() <= 1


def test_one_currency_alone_is_the_same(worth: Worth) -> None:
    both = field(worth, USUAL)
    points = worth.valuation.field(USUAL, TEAM, PLAY, with_wins=False)
    wins = worth.valuation.field(USUAL, TEAM, PLAY, with_points=False)
    assert points.wins is None
    assert wins.points is None
    assert both.points is not None
    assert both.wins is not None
    assert points.points == pytest.approx(both.points, abs=1e-6)
    assert wins.wins == pytest.approx(both.wins, abs=1e-9)


#: Behind late without time-outs: every second between snaps counts.
HURRIED = Setting(2, 5, 60, 2, 100, -4)


def under(worth: Worth, season: int, **changed: str) -> Field:
    """The same fits under the college rules of a season."""
    rules = replace(rule_set("college", season), **changed)  # type: ignore[arg-type]
    return worth.models.under(rules).valuation.field(HURRIED, Team(0, 0, 0), PLAY)


def test_a_clock_that_stops_at_first_downs_helps_who_is_behind(worth: Worth) -> None:
    """Nothing but first downs moves; at the goal line time left is the other side's."""
    stops, runs = under(worth, 2022), under(worth, 2022, first_down_stops_clock="no")
    assert stops.wins is not None
    assert runs.wins is not None
    moved = np.arange(1, SPOTS + 1) <= HURRIED.yards_to_goal - HURRIED.distance
    gained = (stops.wins - runs.wins)[0, RUNNING : RUNNING + SPOTS]
    assert (gained[moved][9:] > 0.002).all()
    assert gained[0] < 0
    assert gained[~moved] == pytest.approx(0, abs=1e-9)


def test_since_2023_it_stops_in_the_last_two_minutes_alone(worth: Worth) -> None:
    early = replace(HURRIED, half_seconds=190)
    fields = [
        worth.models.under(rule_set("college", season)).valuation.field(early, Team(0, 0, 0), PLAY)
        for season in (2022, 2023)
    ]
    cell = RUNNING + 40 - 1
    before, since = (float(f.wins[0, cell]) for f in fields if f.wins is not None)
    assert before > since + 0.001
    late_before, late_since = (
        float(f.wins[0, cell]) for f in (under(worth, 2022), under(worth, 2023))
        if f.wins is not None
    )  # fmt: skip
    assert late_before == pytest.approx(late_since)
