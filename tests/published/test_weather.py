"""What cold and wind did to punts, kicks and tries in the archive, against what the tool moves."""

from __future__ import annotations

import polars as pl
import pytest
from pointsleft.pricing.judgement_table import judged
from pointsleft_models.bench.weather import Moved, moved_by_weather
from pointsleft_models.bundle import Models
from pointsleft_models.football.rules import rule_set

pytestmark = pytest.mark.archive


@pytest.fixture(scope="module")
def moved(weathered: pl.DataFrame, models: Models) -> dict[str, Moved]:
    found = moved_by_weather(
        weathered, lambda season: models.under(rule_set("professional", season))
    )
    return {one.what: one for one in found}


def test_the_table_moves_punts_as_the_archive_does(moved: dict[str, Moved]) -> None:
    """Rows of the table of judgements are these estimates with their 90% intervals, rounded."""
    punts = moved["punts from the own half"]
    for code, (value, error) in (("punt.cold", punts.cold), ("punt.wind", punts.wind)):
        row = judged(code)
        assert row.value == pytest.approx(value, abs=0.0051)
        assert row.low == pytest.approx(value - 1.645 * error, abs=0.011)
        assert row.high == pytest.approx(value + 1.645 * error, abs=0.011)
    assert punts.unseen.high < 0


def test_what_is_not_moved_does_not_foretell_a_season_left_out(moved: dict[str, Moved]) -> None:
    for what in ("third and fourth downs", "runs among them", "punts from farther up"):
        assert moved[what].unseen.high > 0, what


def test_field_goals_beside_the_published_study(moved: dict[str, Moved]) -> None:
    """Clark, Johnson and Stimpson 2013, table 1: wind -.140, cold -.341; thresholds not given.

    Their sum is ours within the errors; a windy day is often cold, and the two share it otherwise.
    """
    kicks = moved["field goals"]
    published = judged("kick.wind").value + judged("kick.cold").value
    error = (kicks.wind[1] ** 2 + kicks.cold[1] ** 2) ** 0.5
    assert kicks.wind[0] + kicks.cold[0] == pytest.approx(published, abs=2 * error)
    assert kicks.wind[0] < 0
    assert kicks.cold[0] < 0
