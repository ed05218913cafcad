"""Late choices as a coach knows them, priced from the exact situation."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from pointsleft.endgame.choices import EndgameChoices, Side
from pointsleft.endgame.halftime import end_of_game, half_time, worth_of_margins
from pointsleft.endgame.price import EndgameError, EndgameSettings, price_endgame, verdict_of
from pointsleft.pricing.result import Interval
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation
from pointsleft_models.playthrough.load import load_playthrough
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.start import Phase
from pointsleft_models.playthrough.teams import Teams

QUICK = EndgameSettings(first=4000, budget=4000)


def late(
    parts: Parts, worth: Worth, *, side: Side = "offense", phase: Phase = "snap",
    wanted: tuple[str, ...] = (), settings: EndgameSettings = QUICK, teams: Teams | None = None,
    **named: object,
) -> EndgameChoices:  # fmt: skip
    base = Situation(
        period=4, seconds=60, down=1, distance=10, yards_to_goal=60, lead=0, rules=worth.rules,
        clock_running=False,
    )  # fmt: skip
    return price_endgame(
        parts, worth, base.with_(**named), side=side, phase=phase, wanted=wanted,
        settings=settings, teams=teams,
    )  # fmt: skip


def test_ahead_by_one_and_they_have_no_time_outs(parts: Parts, worth: Worth) -> None:
    """1:50 left at their 30: kneeling wins, a field goal gives the ball back (common practice, no
    source)."""
    found = late(parts, worth, seconds=110, yards_to_goal=30, lead=1, opponent_timeouts=0)
    assert found.best.action == "kneel"
    assert found.best.wins > 0.97
    assert found.choice("field-goal").verdict == "firm"


def test_with_three_time_outs_kneeling_is_not_the_best(parts: Parts, worth: Worth) -> None:
    """Negative control."""
    found = late(parts, worth, seconds=110, yards_to_goal=30, lead=1, opponent_timeouts=3)
    assert found.best.action != "kneel"


def test_going_down_at_the_one_beats_scoring(parts: Parts, worth: Worth) -> None:
    """Ahead by two, 1:40 left, the other side out of time-outs (laugh test 4)."""
    found = late(
        parts, worth, seconds=100, yards_to_goal=1, distance=1, lead=2, opponent_timeouts=0,
        wanted=("kneel", "score"), settings=EndgameSettings(first=20_000, budget=40_000),
    )  # fmt: skip
    assert found.best.action == "kneel"
    assert found.choice("score").verdict in ("slight", "firm")


def test_behind_by_four_no_field_goal(parts: Parts, worth: Worth) -> None:
    """Fourth down, 20 seconds left (laugh test 2). By hand the kick wins about .9 (made) times .12
    (the onside kick) times .3 (another kick in a quarter of a minute)."""
    found = late(parts, worth, seconds=20, down=4, distance=6, yards_to_goal=20, lead=-4)
    assert found.best.action == "go"
    assert found.choice("field-goal").verdict == "firm"
    assert found.choice("field-goal").wins == pytest.approx(0.9 * 0.12 * 0.3, abs=0.02)


def test_a_last_play_field_goal_is_worth_its_chance(parts: Parts, worth: Worth) -> None:
    """Behind by two with three seconds left: exactly the chance of the kick, for wins."""
    found = late(
        parts, worth, seconds=3, yards_to_goal=30, lead=-2, wanted=("field-goal",),
        settings=EndgameSettings(first=20_000, budget=20_000),
    )  # fmt: skip
    kick = found.best
    make = float(parts.make[29])
    # what is left of the clock after a make is a kickoff, almost always the last play
    assert kick.wins == pytest.approx(make, abs=4 * kick.error + 0.01)


def test_spike_rather_than_play_with_downs_to_spare(parts: Parts, worth: Worth) -> None:
    """Behind by two at their 28, eighteen seconds, running, no time-outs: the spike saves the
    kick, a kneel does not."""
    found = late(
        parts, worth, seconds=18, yards_to_goal=28, lead=-2, own_timeouts=0, clock_running=True
    )
    spike, kneel = found.choice("spike"), found.choice("kneel")
    assert spike.wins > kneel.wins + 0.3
    refused = {r.action for r in found.refused}
    assert {"time-out", "wait-and-kick", "punt"} <= refused


def test_level_in_range_wait_for_the_kick(parts: Parts, worth: Worth) -> None:
    """Thirty seconds, running, one time-out: the clock run down leaves them nothing."""
    found = late(
        parts, worth, seconds=30, yards_to_goal=15, down=3, distance=5, own_timeouts=1,
        opponent_timeouts=1, clock_running=True,
    )  # fmt: skip
    wait, now = found.choice("wait-and-kick"), found.choice("field-goal")
    assert wait.wins >= now.wins - 2 * (wait.error + now.error)


def test_level_in_range_the_last_kick_is_set_up(parts: Parts, worth: Worth) -> None:
    """Half a minute, the clock still, one time-out of ours and none of theirs (common practice, no
    source): a run and the kick at 0:03 leaves them nothing, the kick now leaves them a drive."""
    named: dict[str, Any] = {"seconds": 35, "yards_to_goal": 22, "own_timeouts": 1}
    found = late(parts, worth, opponent_timeouts=0, **named)
    assert found.choices[0].action == "run-and-kick"
    gained = found.choice("run-and-kick").wins - found.choice("field-goal").wins
    assert gained > 0.04
    assert found.choice("kneel-and-kick").wins > found.choice("field-goal").wins
    assert any("answers" in note for note in found.notes)


def test_the_safety_when_two_points_do_not_matter(parts: Parts, worth: Worth) -> None:
    """Ahead by four on the own 3, fourteen seconds (common practice, no source): the free kick
    flies farther than a punt out of the end zone, and none is blocked."""
    named: dict[str, Any] = {
        "seconds": 14,
        "down": 4,
        "distance": 9,
        "yards_to_goal": 97,
        "opponent_timeouts": 0,
    }
    found = late(parts, worth, lead=4, **named)
    safety, punt = found.choice("safety"), found.choice("punt")
    assert safety.wins > punt.wins - 2 * (safety.error + punt.error)
    by_one = late(parts, worth, lead=1, **named)  # negative control: two points lose
    assert by_one.choice("safety").wins < by_one.choice("punt").wins


def test_letting_them_score(parts: Parts, worth: Worth) -> None:
    """We lead by one, they have first and goal at the 2, 1:15 left, the clock still, one time-out
    of ours: they would run the clock down and kick (common practice, no source)."""
    named: dict[str, Any] = {
        "seconds": 75,
        "yards_to_goal": 2,
        "distance": 2,
        "lead": -1,
        "opponent_timeouts": 1,
    }
    found = late(parts, worth, side="defense", **named)
    assert found.choice("let-score").wins > found.choice("defend").wins
    ahead = late(parts, worth, side="defense", **{**named, "lead": -8})
    # negative control: ahead by eight there is nothing to give away for
    assert ahead.best.action == "defend"


def test_views_are_two_sides_of_one_game(parts: Parts, worth: Worth) -> None:
    named: dict[str, Any] = {"seconds": 70, "yards_to_goal": 40, "lead": -3, "clock_running": True}
    ours = late(parts, worth, wanted=("play-on",), **named).best
    theirs = late(parts, worth, side="defense", wanted=("defend",), **named).best
    assert ours.wins + theirs.wins == pytest.approx(1)
    assert ours.points == pytest.approx(-theirs.points)


def test_onside_when_there_is_no_time_for_more(parts: Parts, worth: Worth) -> None:
    """Behind by three: with forty seconds and no time-outs the ball must be had; with three
    minutes and three time-outs deep is no worse (common practice, no source)."""
    short = late(parts, worth, phase="kickoff", seconds=40, lead=-3, own_timeouts=0)
    assert short.best.action == "onside"
    long = late(parts, worth, phase="kickoff", seconds=200, lead=-3)
    gap = long.choice("deep").wins - long.choice("onside").wins
    assert gap > -2 * (long.choice("deep").error + long.choice("onside").error)
    assert "expected" in " ".join(short.notes)
    surprise = late(parts, worth, phase="kickoff", period=2, seconds=400, lead=7)
    assert "surprise" in " ".join(surprise.notes)


def test_going_for_it_with_the_lead(parts: Parts, worth: Worth) -> None:
    """Fourth and one at midfield, ahead by four, 1:55, they have one time-out: a first down ends
    the game, so going for it beats the field goal out of range by far and is near the punt."""
    found = late(
        parts, worth, seconds=115, down=4, distance=1, yards_to_goal=50, lead=4,
        opponent_timeouts=1,
    )  # fmt: skip
    assert found.choice("go").wins > found.choice("field-goal").wins
    assert found.choice("go").wins > 0.6


def test_the_half_is_priced_by_what_the_lead_is_worth(parts: Parts, worth: Worth) -> None:
    named: dict[str, Any] = {
        "period": 2,
        "seconds": 20,
        "yards_to_goal": 25,
        "down": 4,
        "distance": 5,
    }
    found = late(parts, worth, wanted=("field-goal",), **named)
    leads, wins = half_time(worth, None, None)
    make = float(parts.make[24])
    three, none = worth_of_margins(np.array([3, 0]), leads, wins)
    assert found.best.wins == pytest.approx(make * three + (1 - make) * none, abs=0.01)
    assert found.best.error < 0.003  # the second half is not drawn
    assert any("second half" in n for n in found.notes)


def test_half_time_leads(worth: Worth) -> None:
    leads, wins = half_time(worth, None, None)
    assert np.all(np.diff(wins) >= 0)
    assert worth_of_margins(np.array([0]), leads, wins)[0] == pytest.approx(0.5, abs=0.02)
    receiving = worth_of_margins(np.array([0]), *half_time(worth, True, None))[0]
    assert receiving > 0.5
    assert end_of_game(np.array([1, -1, 0])).tolist() == [1, 0, 0.5]


def test_a_spread_makes_one_side_the_better_one(parts: Parts, worth: Worth) -> None:
    """With long to go it moves the half that is played out and the worth of its end; without the
    fitted reach of a point only the latter, and that is told."""
    teams = load_playthrough(worth.rules)[1]
    named: dict[str, Any] = {"period": 2, "seconds": 100, "wanted": ("run",)}
    wins = {s: late(parts, worth, spread=s, teams=teams, **named).best.wins for s in (-9.0, 9.0)}
    plain = late(parts, worth, teams=teams, **named)
    assert wins[-9.0] + 0.1 < plain.best.wins < wins[9.0] - 0.1
    assert plain == late(parts, worth, **named)
    half = late(parts, worth, spread=9.0, **named)
    assert plain.best.wins + 0.1 < half.best.wins < wins[9.0]
    assert any("is not used while the half is played out" in n for n in half.notes)
    leads, level = half_time(worth, None, 9.0)
    _, other = half_time(worth, None, -9.0)
    assert level + other[::-1] == pytest.approx(1, abs=1e-6)
    assert worth_of_margins(np.array([0]), leads, level)[0] > 0.6


def test_the_same_seed_gives_the_same_figures(parts: Parts, worth: Worth) -> None:
    one, two = (late(parts, worth, seconds=30, lead=-2, yards_to_goal=40) for _ in range(2))
    assert one == two


def test_twenty_thousand_of_every_action(parts: Parts, worth: Worth) -> None:
    settings = EndgameSettings(budget=40_000)
    found = late(
        parts, worth, seconds=20, lead=-2, yards_to_goal=30, clock_running=True, settings=settings
    )
    assert all(c.draws >= 20_000 for c in found.choices)
    assert found.draws <= found.budget == 40_000
    wins = [c.wins for c in found.choices]
    assert max(wins) == wins[0]
    for choice in found.choices[1:]:
        assert choice.behind == pytest.approx(found.best.wins - choice.wins, abs=0.02)
        assert choice.interval is not None
        assert choice.interval.low <= choice.behind <= choice.interval.high


def test_what_cannot_be_priced_is_refused(parts: Parts, worth: Worth) -> None:
    with pytest.raises(EndgameError, match="clock and the score"):
        late(parts, worth, lead=None)
    with pytest.raises(EndgameError, match="stands still"):
        late(parts, worth, wanted=("spike",))
    with pytest.raises(EndgameError, match="no time is left"):
        late(parts, worth, seconds=0)


def test_verdicts_need_more_than_the_simulator_may_be_off() -> None:
    assert verdict_of(Interval(-0.01, 0.03)) == "unsettled"
    assert verdict_of(Interval(0.001, 0.01)) == "slight"
    assert verdict_of(Interval(0.1, 0.2)) == "firm"


def test_a_simulator_without_kicks_is_seen(parts: Parts, worth: Worth) -> None:
    """Negative control of the field goals above."""
    broken = replace(parts, make=np.zeros_like(parts.make))
    found = late(broken, worth, seconds=3, yards_to_goal=30, lead=-2, wanted=("field-goal",))
    assert found.best.wins < 0.05
