"""Accept or decline, and the free play, priced from the two situations."""

from __future__ import annotations

from dataclasses import replace

import pytest
from pointsleft.endgame.flag import FlagChoices, FlagError, price_flag
from pointsleft.log.record import Call, Defense, Flag, Happened, LoggedOption, Read, Snap
from pointsleft.pricing.cells import snap_values
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation


def snap(worth: Worth, flag: Flag | None, happened: Happened, **changes: object) -> Snap:
    situation = Situation(
        period=2, seconds=300, down=3, distance=7, yards_to_goal=60, lead=0, rules=worth.rules
    ).with_(**changes)
    return Snap(number="1", clip=None, situation=situation, tempo=None, play_clock=None,
                call=Call(), defense=Defense(), read=Read(),
                happened=replace(happened, flag=flag))  # fmt: skip


HOLDING = Flag("offense", when="live", yards=10, foul="holding")
OFFSIDE = Flag("defense", when="before", yards=5, foul="offside")
SHORT = Happened(result="complete", yards=5)


def priced(worth: Worth, flag: Flag, happened: Happened, **changes: object) -> FlagChoices:
    return price_flag(worth, snap(worth, flag, happened, **changes))


def test_values_are_those_of_the_two_situations(worth: Worth) -> None:
    """Accepting is third and 17 at the own 30 six seconds on, by the same regressions."""
    found = priced(worth, HOLDING, SHORT)
    assert found.chooser == "defense"
    after = snap(worth, None, SHORT).situation
    assert after is not None
    after = after.with_(down=3, distance=17, yards_to_goal=70, seconds=294)
    values = snap_values(worth, after, gun=True, box=None)
    accept = next(c for c in found.choices if c.action == "accept")
    # all fits are added up in single precision
    assert accept.values["points"] == pytest.approx(-values.before("points"), abs=1e-5)
    assert accept.values["wins"] == pytest.approx(1 - values.before("wins"), abs=1e-5)


def test_the_better_choice_comes_first_and_the_rest_is_left(worth: Worth) -> None:
    found = priced(worth, HOLDING, SHORT)
    first, second = found.choices
    assert first.action == found.best["wins"]
    assert found.left["wins"] == pytest.approx(first.values["wins"] - second.values["wins"])
    assert first.shares["wins"] + second.shares["wins"] == pytest.approx(1)


def test_a_first_down_is_not_given_back_for_five_yards(worth: Worth) -> None:
    """Defense offside, the play gained twenty: common practice, no source."""
    found = priced(worth, OFFSIDE, Happened(result="complete", yards=20))
    assert found.best == {"points": "decline", "wins": "decline"}
    assert found.verdicts["points"] == "firm"


def test_offside_after_an_incompletion_is_taken(worth: Worth) -> None:
    """Negative control of the one above."""
    found = priced(worth, OFFSIDE, Happened(result="incomplete"))
    assert found.best == {"points": "accept", "wins": "accept"}


def test_an_interception_under_a_flag_of_the_defense_is_wiped_out(worth: Worth) -> None:
    picked = Happened(result="interception", end_yards_to_goal=70)
    found = priced(worth, OFFSIDE, picked)
    assert found.best["wins"] == "accept"
    assert found.left["points"] > 2


def test_a_touchdown_called_back_is_always_called_back(worth: Worth) -> None:
    found = priced(worth, HOLDING, Happened(result="complete", yards=60, touchdown=True))
    assert found.chooser == "defense"
    assert found.best["points"] == "accept"
    assert found.left["points"] > 4


def test_automatic_first_downs_follow_the_foul(worth: Worth) -> None:
    fourth = {"down": 4, "distance": 9}
    flag = Flag("defense", when="live", yards=5)
    named = replace(flag, foul="illegal contact")
    first = priced(worth, named, Happened(result="incomplete"), **fourth)
    again = priced(worth, replace(flag, foul="offside"), Happened(result="incomplete"), **fourth)
    accept = {c.action: c for c in first.choices}["accept"]
    assert accept.label.startswith("1st and 10")
    assert first.penalty["points"] > again.penalty["points"]
    with pytest.raises(FlagError, match="name the foul"):
        priced(worth, flag, Happened(result="incomplete"), **fourth)


@pytest.mark.parametrize(
    ("flag", "words"),
    [
        (replace(OFFSIDE, decision="offset"), "offsetting"),
        (replace(OFFSIDE, when="dead"), "stops the play"),
        (replace(OFFSIDE, yards=None), "how many yards"),
    ],
)
def test_flags_that_leave_no_choice_are_refused(worth: Worth, flag: Flag, words: str) -> None:
    with pytest.raises(FlagError, match=words):
        priced(worth, flag, SHORT)


def test_no_flag_and_no_result_are_refused(worth: Worth) -> None:
    with pytest.raises(FlagError, match="no flag"):
        price_flag(worth, snap(worth, None, SHORT))
    with pytest.raises(FlagError, match="what came of the play"):
        priced(worth, OFFSIDE, Happened())


def test_a_free_play_is_worth_at_least_the_penalty_and_the_shot(worth: Worth) -> None:
    """Each outcome is worth the better of it and the penalty; the deep shot gains most."""
    base = snap(worth, OFFSIDE, Happened(chosen="go"), down=2, distance=8, yards_to_goal=40)
    options = (
        LoggedOption("go", "throw", route="go", air_yards=30, third="right", window="narrow"),
        LoggedOption("slant", "throw", route="slant", air_yards=5, third="middle", window="step"),
    )
    found = price_flag(worth, replace(base, options=options))
    for option in found.free_play:
        for c in ("points", "wins"):
            assert option.with_flag[c] >= option.without[c] - 1e-12
    gains = {o.label.split(",")[0]: o.with_flag["wins"] - o.without["wins"]
             for o in found.free_play}  # fmt: skip
    assert gains["go"] > gains["slant"]
    assert found.free_play[0].label.startswith("go")
    assert found.free_play[0].with_flag["wins"] > found.penalty["wins"]


def test_without_the_flag_the_deep_shot_is_not_the_best(worth: Worth) -> None:
    """Negative control: the same options, no flag."""
    base = snap(worth, OFFSIDE, Happened(chosen="go"), down=2, distance=8, yards_to_goal=40)
    options = (
        LoggedOption("go", "throw", route="go", air_yards=30, third="right", window="narrow"),
        LoggedOption("slant", "throw", route="slant", air_yards=5, third="middle", window="step"),
    )
    free = price_flag(worth, replace(base, options=options)).free_play
    assert max(free, key=lambda o: o.without["wins"]).label.startswith("slant")
