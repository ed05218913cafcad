"""Kick or two points: the two lines of the break-even, late scores by hand, fourteen to eight."""

from __future__ import annotations

from dataclasses import replace

import pytest
from pointsleft.calls.tries import TrySpot, down_fourteen, price_try, try_chart
from pointsleft_models.bundle import Worth


@pytest.mark.parametrize("lead", [-8, -2, 0, 1, 5, 12])
def test_the_tie_is_the_two_lines(worth: Worth, lead: int) -> None:
    at = TrySpot(4, 500, lead)
    priced = price_try(worth, at)
    assert priced.tie is not None
    assert priced.tie * priced.two + (1 - priced.tie) * priced.none == pytest.approx(
        priced.value_kick, abs=1e-6
    )
    again = price_try(worth, at, pair=priced.tie)
    assert again.value_pair == pytest.approx(again.value_kick, abs=1e-6)
    more = price_try(worth, at, pair=min(priced.tie + 0.1, 0.99))
    assert more.value_pair > more.value_kick


def test_no_time_left_by_hand(worth: Worth) -> None:
    """One behind at the gun: a kick levels (worth a half), two points win. Two behind: only two
    points level. One ahead: nothing hangs on the try."""
    one = price_try(worth, TrySpot(4, 0, -1))
    assert (one.none, one.one, one.two) == (0.0, 0.5, 1.0)
    assert one.tie == pytest.approx(one.kick / 2)
    two = price_try(worth, TrySpot(4, 0, -2))
    assert (two.none, two.one, two.two) == (0.0, 0.0, 0.5)
    assert two.tie == 0.0
    assert two.settled.best == "two points"
    ahead = price_try(worth, TrySpot(4, 0, 1))
    assert ahead.tie is None


def test_a_spread_is_that_of_who_scored(worth: Worth) -> None:
    at = TrySpot(2, 300, 0, receives_second_half=True)
    plain = price_try(worth, at)
    good, bad = (price_try(worth, replace(at, spread=s)) for s in (7.0, -7.0))
    assert good.one > plain.one + 0.1 > bad.one + 0.2
    assert good.beforehand.startswith("win probability knows the pre-game spread (favoured by 7)")
    assert plain.beforehand == ""


def test_fourteen_to_eight_by_hand() -> None:
    """Asked at eight, with both later branches (the arithmetic is ours; common practice, no
    source, kicks twice). With a sure kick and a coin for two points and for overtime: kicking
    twice and a coin .5; two now: half win by the next kick, of the others half level it."""
    kick, two = down_fourteen(1.0, 0.5)
    assert kick == pytest.approx(0.5)
    assert two == pytest.approx(0.5 * 1 + 0.5 * 0.5 * 0.5)
    # break-even of two points: p + p (1 - p) / 2 = 1/2 has p = .382
    low, high = down_fourteen(1.0, 0.382)
    assert low == pytest.approx(high, abs=1e-3)


def test_fourteen_to_eight_in_the_values(worth: Worth) -> None:
    """Late, after the touchdown that cuts fourteen to eight: two points is better, and its
    break-even lies where the branches put it (.35 to .47: .382 with a sure kick)."""
    priced = price_try(worth, TrySpot(4, 240, -8))
    assert priced.settled.best == "two points"
    assert priced.tie is not None
    assert 0.30 < priced.tie < 0.47


def test_known_late_answers(worth: Worth) -> None:
    """Common practice, no source: late, two behind goes for two, one behind kicks."""
    chart = try_chart(worth, leads=(-2, -1), minutes=(1.0,))
    (two,), (one,) = chart.cells
    assert (two.best, two.verdict) == ("two points", "firm")
    assert one.best == "kick"


def test_overtime_is_refused(worth: Worth) -> None:
    with pytest.raises(ValueError, match="regulation"):
        price_try(worth, TrySpot(5, 300, 0))


def test_the_end_of_the_first_half_goes_on(worth: Worth) -> None:
    """No time left in the first half: the second-half kickoff follows."""
    ours = price_try(worth, TrySpot(2, 0, 0, receives_second_half=True))
    theirs = price_try(worth, TrySpot(2, 0, 0, receives_second_half=False))
    assert theirs.one < 0.56 < ours.one < 0.62
