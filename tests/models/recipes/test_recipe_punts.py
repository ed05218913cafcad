"""Which rows of a play table teach the law of punts what."""

from __future__ import annotations

import polars as pl
import pytest
from pointsleft_models.laws.years import FIRST_SEASON, LAST_SEASON, year_of
from pointsleft_models.recipes.kicking import _punts_away, _punts_in_play

ROW = {
    "season": 2014, "kind": "punt", "no_play": False, "down": 4, "distance": 8, "yards_to_goal": 65,
    "kick_result": "returned", "points_offense": 0, "points_defense": 0, "offense": "A",
    "next_offense": "B", "next_yards_to_goal": 70, "third": None, "gap": None,
    "pressured": None, "box": None,
}  # fmt: skip


def table(**changes: object) -> pl.DataFrame:
    """One punt, a usual return to the 30 with some facts changed."""
    row = {**ROW, **changes}
    kinds = {"third": pl.String, "gap": pl.String, "pressured": pl.Boolean, "box": pl.Int32}
    return pl.DataFrame([row], schema_overrides=kinds)


def test_a_usual_return_starts_the_other_side_where_it_ended() -> None:
    rows = _punts_in_play(table())
    assert rows["start"].to_list() == [30]
    assert not rows["returned_score"][0]


def test_a_return_that_scores_is_a_return_and_no_regained_ball() -> None:
    """The next snap is then the punting side's, by the kickoff: that is not keeping the ball."""
    scored = table(points_defense=6, next_offense="A", next_yards_to_goal=75)
    assert not _punts_away(scored)["kept"][0]
    rows = _punts_in_play(scored)
    assert rows["start"].to_list() == [100]
    assert rows["returned_score"][0]


@pytest.mark.parametrize("facts", [{"next_offense": "A"}, {"kick_result": "touchback"}])
def test_a_muff_and_a_touchback_are_no_returns(facts: dict[str, object]) -> None:
    assert _punts_in_play(table(**facts)).is_empty()


def test_the_year_of_a_row_is_that_of_its_season() -> None:
    """Rows are dated as libraries are, beyond the ends of the archive too."""
    for season in (2001, FIRST_SEASON, 2013, LAST_SEASON, 2030):
        assert _punts_in_play(table(season=season))["year"].to_list() == [year_of(season)]
