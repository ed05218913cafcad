"""Both witnesses side by side, and the situation to which an option leads."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pointsleft.log.record import LoggedOption, Snap
from pointsleft.pricing.cells import snap_values
from pointsleft.pricing.comes_off import comes_off
from pointsleft.pricing.options import option_models
from pointsleft.pricing.played_out import beside, play_out, spread_of
from pointsleft_models.bundle import SPREAD, Models, Worth
from pointsleft_models.football.situation import Situation
from pointsleft_models.playthrough.load import load_playthrough
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.teams import Teams
from pricing_sample import situation, snap, snaps, throw

size = st.floats(0.001, 5, allow_nan=False)


@pytest.fixture(scope="module")
def playthrough(worth: Worth) -> tuple[Parts, Teams]:
    return load_playthrough(worth.rules)


@given(st.floats(-5, 5), st.floats(-5, 5), size, size, st.floats(1, 10))
def test_a_wider_spread_never_sets_them_apart(
    value: float, played: float, spread: float, error: float, wider: float
) -> None:
    narrow, wide = (beside(value, spread * k, played, error * k) for k in (1, wider))
    assert narrow.apart or not wide.apart


def test_nine_in_ten_true_pairs_agree() -> None:
    """Two honest witnesses of one truth part in a tenth of the cases, and in no more."""
    rng = np.random.default_rng(1)
    model, played = rng.normal(0, 0.3, 20_000), rng.normal(0, 0.4, 20_000)
    apart = np.mean([beside(m, 0.3, p, 0.4).apart for m, p in zip(model, played, strict=True)])
    assert apart == pytest.approx(0.1, abs=0.01)


def test_the_model_side_is_the_value_before_the_snap(
    worth: Worth, playthrough: tuple[Parts, Teams]
) -> None:
    at = situation(period=4, seconds=200)
    found = play_out(worth, *playthrough, at, "now", games=500)
    values = snap_values(worth, at, gun=True, box=None)
    assert found.points is not None
    assert found.wins is not None
    assert found.points.value == values.before("points")
    assert found.wins.value == values.before("wins")
    assert found.wins.spread == spread_of(values.before_all("wins"))
    assert found.games == 500


def test_a_spread_is_known_to_both_or_to_neither(
    worth: Worth, playthrough: tuple[Parts, Teams]
) -> None:
    early = situation(period=1, seconds=800, lead=0)
    plain, favoured = (
        play_out(worth, *playthrough, early.with_(spread=s), "", games=2000) for s in (None, 10.0)
    )
    assert plain.wins is not None
    assert favoured.wins is not None
    assert plain.sides == ""
    assert "(favoured by 10)" in favoured.sides
    assert favoured.points == plain.points
    assert favoured.wins.value > plain.wins.value + 0.2
    assert favoured.wins.played > plain.wins.played + 0.2
    fits = {name: fit for name, fit in worth.models.fits.items() if name != SPREAD}
    bare = Models(worth.models.level, fits).under(worth.rules)
    for models, at in ((bare, early), (worth, situation(period=5, seconds=500, lead=0))):
        one, other = (
            play_out(models, *playthrough, at.with_(spread=s), "", games=300) for s in (None, 10.0)
        )
        assert replace(other, sides="") == one
        assert other.sides.startswith("Equal teams before both")


def test_overtime_has_wins_only(worth: Worth, playthrough: tuple[Parts, Teams]) -> None:
    found = play_out(worth, *playthrough, situation(period=5, seconds=600, lead=0), "", games=300)
    assert found.points is None
    assert found.wins is not None


def follow(worth: Worth, at: Situation, option: LoggedOption) -> Situation | None:
    row = snap(option, at=at)
    values = snap_values(worth, at, gun=True, box=None)
    return comes_off(worth, values, option_models(worth, values.setting, row)[0])


@settings(max_examples=40, deadline=None)
@given(snaps())
def test_what_follows_can_occur_and_is_a_gain(worth: Worth, row: Snap) -> None:
    """A situation checks itself; whatever was logged, none that cannot occur is made."""
    at = row.situation
    assert at is not None
    values = snap_values(worth, at, gun=True, box=None)
    for model in option_models(worth, values.setting, row):
        after = comes_off(worth, values, model)
        if after is not None:
            assert after.yards_to_goal < at.yards_to_goal
            assert after.half == at.half
            if at.half_seconds is not None:
                assert after.half_seconds is not None
                assert after.half_seconds < at.half_seconds


def test_a_throw_that_comes_off_is_past_its_air_yards(worth: Worth) -> None:
    dig = throw("dig", route="dig", air_yards=12)
    after = follow(worth, situation(), dig)
    assert after is not None
    assert after.down == 1
    assert 40 <= after.yards_to_goal <= 48
    assert after.distance == 10
    assert after.seconds is not None
    assert 540 < after.seconds < 595
    assert after.lead == -3


def test_short_of_the_sticks_the_next_down_comes(worth: Worth) -> None:
    after = follow(worth, situation(distance=15), throw("flat", route="flat", air_yards=1))
    assert after is not None
    assert after.down == 3
    assert after.distance == 15 - (60 - after.yards_to_goal)


def test_on_fourth_down_only_what_converts_counts(worth: Worth) -> None:
    dig = throw("dig", route="dig", air_yards=12)
    after = follow(worth, situation(down=4, distance=10), dig)
    assert after is not None
    assert after.down == 1
    assert after.yards_to_goal <= 50


@pytest.mark.parametrize(
    "at",
    [
        situation(period=4, seconds=3),  # the half is over
        situation(yards_to_goal=4, distance=4),  # what comes off scores
        situation(period=5, seconds=500, lead=0),
    ],
    ids=["no time", "goal line", "overtime"],
)
def test_where_no_next_snap_stands_for_it_there_is_none(worth: Worth, at: Situation) -> None:
    air = min(12, at.yards_to_goal)
    assert follow(worth, at, throw("dig", route="dig", air_yards=air)) is None


def test_the_clock_crosses_a_quarter_and_stops_at_the_half(worth: Worth) -> None:
    dig = throw("dig", route="dig", air_yards=12)
    after = follow(worth, situation(period=1, seconds=10), dig)
    assert after is not None
    assert after.period == 2
    assert after.seconds is not None
    assert 860 < after.seconds < 900
    later = follow(worth, situation(period=2, seconds=10), dig)
    assert later is None or later.period == 2
