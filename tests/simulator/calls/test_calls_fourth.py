"""One fourth down: values, what follows, break-evens, named plays, and what cannot be priced."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft.calls.fourth import Inputs, price_fourth_down
from pointsleft.calls.kicker import Kicks
from pointsleft.calls.plays_named import PLAYS
from pointsleft.calls.result import FourthDown
from pointsleft.calls.settling import best_and_share, settle
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.rules import rule_set, rule_sets
from pointsleft_models.football.situation import Situation


def situation(worth: Worth, spot: int, distance: int, **more: object) -> Situation:
    given: dict[str, object] = {"period": 2, "seconds": 700, "lead": 0} | more
    return Situation(
        down=4, distance=distance, yards_to_goal=spot, rules=worth.rules, **given  # type: ignore[arg-type]
    )  # fmt: skip


@pytest.fixture(scope="module")
def midfield(worth: Worth) -> FourthDown:
    return price_fourth_down(worth, situation(worth, 45, 3), Inputs(plays=("sneak", "pass")))


def test_what_follows_makes_up_the_value(midfield: FourthDown) -> None:
    """Chances sum to one (ways rarer than told are left out), and the mean is the value."""
    for choice in midfield.choices:
        chances = np.array([f.chance for f in choice.follows])
        assert chances.sum() == pytest.approx(1, abs=3e-3)
        points = np.array([f.points for f in choice.follows])
        wins = np.array([f.wins for f in choice.follows])
        assert chances @ points == pytest.approx(choice.value["points"], abs=0.02)
        assert chances @ wins == pytest.approx(choice.value["wins"], abs=0.004)


def test_at_its_break_even_a_call_ties(worth: Worth, midfield: FourthDown) -> None:
    """Stating the tie as the conversion chance makes going as good as the best kick."""
    go = midfield.choice("go")
    for currency in ("points", "wins"):
        tie = go.break_even[currency].tie
        assert tie is not None
        again = price_fourth_down(worth, situation(worth, 45, 3), Inputs(conversion=tie))
        best = max(again.choice(n).value[currency] for n in ("field goal", "punt"))
        assert again.choice("go").value[currency] == pytest.approx(best, abs=1e-6)
        off = price_fourth_down(worth, situation(worth, 45, 3), Inputs(conversion=tie + 0.05))
        assert off.choice("go").value[currency] > best + 1e-4


def test_the_two_lines_give_the_value_back(midfield: FourthDown) -> None:
    for name in ("go", "field goal"):
        choice = midfield.choice(name)
        for currency, tie in choice.break_even.items():
            mixed = tie.chance * tie.high + (1 - tie.chance) * tie.low
            assert mixed == pytest.approx(choice.value[currency], abs=1e-6)


def test_verdict_and_share_agree(midfield: FourthDown) -> None:
    for settled in midfield.settled.values():
        assert settled.interval.low <= settled.interval.high
        word = "firm" if settled.share >= 0.9 else "slight" if settled.share >= 0.7 else "unsettled"
        assert settled.verdict == word
        assert settled.gap >= 0


def test_named_plays_take_no_part_in_the_verdict(worth: Worth, midfield: FourthDown) -> None:
    plain = price_fourth_down(worth, situation(worth, 45, 3))
    assert plain.settled == midfield.settled
    assert {c.name for c in midfield.choices if c.named} == {PLAYS["sneak"], PLAYS["pass"]}


@pytest.mark.parametrize("word", sorted(PLAYS))
def test_every_named_play_falls_with_the_distance(worth: Worth, word: str) -> None:
    chances = []
    for distance in (1, 3, 6):
        priced = price_fourth_down(worth, situation(worth, 55, distance), Inputs(plays=(word,)))
        chance = priced.choice(PLAYS[word]).chance
        assert chance is not None
        chances.append(chance)
    assert chances[0] > chances[1] > chances[2] > 0


def test_only_what_can_be_called_from_there(worth: Worth) -> None:
    own = {c.name for c in price_fourth_down(worth, situation(worth, 80, 5)).choices}
    near = {c.name for c in price_fourth_down(worth, situation(worth, 8, 5)).choices}
    assert own == {"go", "punt"}
    assert near == {"go", "field goal"}


@pytest.mark.parametrize("rules", rule_sets(), ids=lambda r: r.name)
def test_every_rule_set_is_priced(models: Models, rules: object) -> None:
    """Both currencies and a verdict under every level and season there are rules for."""
    worth = models.under(rules)  # type: ignore[arg-type]
    priced = price_fourth_down(worth, situation(worth, 40, 3))
    for currency in ("points", "wins"):
        assert all(np.isfinite(c.value[currency]) for c in priced.choices)
        assert 0 <= priced.settled[currency].share <= 1


def test_without_clock_there_are_points_and_in_overtime_wins(worth: Worth) -> None:
    unknown = price_fourth_down(worth, situation(worth, 40, 3, seconds=None, lead=None))
    assert set(unknown.settled) == {"points"}
    extra = price_fourth_down(worth, situation(worth, 40, 3, period=5, seconds=400))
    assert set(extra.settled) == {"wins"}


def test_a_worse_kicker_moves_only_the_kick(worth: Worth) -> None:
    plain = price_fourth_down(worth, situation(worth, 25, 4))
    poor = price_fourth_down(worth, situation(worth, 25, 4), Inputs(record=(Kicks(2, 12, 40),)))
    assert poor.choice("field goal").value["wins"] < plain.choice("field goal").value["wins"]
    assert poor.choice("go").value == plain.choice("go").value


def test_another_down_is_refused(worth: Worth) -> None:
    third = Situation(1, 600, 3, 4, 40, 0, worth.rules)
    with pytest.raises(ValueError, match="fourth down"):
        price_fourth_down(worth, third)


def test_fits_without_refits_settle_nothing() -> None:
    settled = settle(("go", "punt"), np.array([[0.6, 0.5]]))
    assert (settled.verdict, settled.share) == ("unsettled", 0.0)


def test_a_call_that_is_not_open_is_never_best() -> None:
    values = np.array([[[0.1, 0.1], [np.nan, np.nan], [0.3, 0.0]]])
    best, share = best_and_share(values)
    assert best.tolist() == [2]
    assert share.tolist() == [0.0]


# -- worked examples and published shapes -------------------------------------------------------


def test_three_sevenths_at_the_two(worth: Worth) -> None:
    """Postrel, New York Times, 12 Sep 2002, on Romer (seen): the textbook break-even of a
    touchdown over a field goal is 3/7, and about .40 convert. 3/7 would be it if the next
    situation were the same either way: with the true ones it is lower."""
    priced = price_fourth_down(worth, situation(worth, 2, 2, period=1))
    tie = priced.choice("go").break_even["points"]
    assert tie.tie is not None
    assert tie.tie < 3 / 7 - 0.05
    assert tie.low > 0  # they start at their own 2, and that is worth something to us
    assert tie.chance == pytest.approx(0.40, abs=0.06)
    assert priced.settled["points"].best == "go"
    assert priced.settled["points"].verdict == "firm"


def test_fourth_and_one_at_midfield(worth: Worth) -> None:
    """Common practice, no source, says punt or think; Romer 2006 (memory) has the critical
    distance at midfield at 5 yards. The refits settle it: go."""
    priced = price_fourth_down(worth, situation(worth, 50, 1, period=1))
    for currency in ("points", "wins"):
        assert priced.settled[currency].best == "go"
        assert priced.settled[currency].verdict == "firm"
    long = price_fourth_down(worth, situation(worth, 50, 12, period=1))
    assert long.settled["points"].best == "punt"


def test_trailing_by_four_a_field_goal_is_never_best_late(worth: Worth) -> None:
    """Twenty seconds left: three points do nothing, and the refits agree."""
    priced = price_fourth_down(worth, situation(worth, 15, 8, period=4, seconds=20, lead=-4))
    assert priced.settled["wins"].best == "go"
    assert priced.settled["wins"].verdict == "firm"
    tie = priced.choice("field goal").break_even["wins"]
    assert tie.tie is None  # however sure the kick
    assert tie.high < tie.target


@pytest.mark.parametrize("season", [2014, 2019])
def test_a_kick_that_wins_at_the_gun(models: Models, season: int) -> None:
    worth = models.under(rule_set("professional", season))
    at = situation(worth, 10, 6, period=4, seconds=3, lead=-2)
    priced = price_fourth_down(worth, at)
    assert priced.settled["wins"].best == "field goal"
    assert priced.choice("field goal").value["wins"] > 0.9
