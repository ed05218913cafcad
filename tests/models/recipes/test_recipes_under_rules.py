"""Kicks are read under the rules of their own level and season."""

from __future__ import annotations

import polars as pl
import pytest
from pointsleft_models.recipes.under_rules import nearest_rules, with_kick_rules


def kick(level: str | None, season: int, spot: int) -> pl.DataFrame:
    rows = {"level": [level], "season": [season], "yards_to_goal": [spot]}
    return with_kick_rules(
        pl.DataFrame(rows, schema_overrides={"level": pl.String, "season": pl.Int32})
    )


@pytest.mark.parametrize(
    ("level", "season", "spot", "era"),
    [
        ("professional", 2010, 70, 1),
        ("professional", 2010, 65, None),  # moved by a penalty
        ("professional", 2011, 65, 2),
        ("professional", 2015, 65, 2),
        ("professional", 2016, 65, 3),
        ("professional", 2024, 65, None),  # another kind of kickoff: no fit knows it
        ("college", 2012, 65, 3),  # touchbacks at the 25 four years before the professionals
        ("college", 2016, 65, 3),
        ("college", 2016, 80, 4),  # a free kick from the 20
        (None, 2011, 65, 2),
        ("professional", 1999, 70, 1),
    ],
)
def test_codes_of_kickoffs(level: str | None, season: int, spot: int, era: int | None) -> None:
    assert kick(level, season, spot)["era"].to_list() == [era]


@pytest.mark.parametrize(
    ("level", "season", "long"),
    [
        ("professional", 2014, 0), ("professional", 2015, 1), ("college", 2014, 0),
        ("college", 2016, 0), ("college", 2025, 0),
    ],
)  # fmt: skip
def test_only_professionals_since_2015_kick_tries_from_afar(
    level: str, season: int, long: int
) -> None:
    assert kick(level, season, 65)["long"].to_list() == [long]


def test_rows_keep_their_order_and_number() -> None:
    many = pl.DataFrame(
        {"level": ["college", "professional"] * 50, "season": [2016, 2010] * 50,
         "yards_to_goal": [65, 70] * 50, "n": range(100)}
    )  # fmt: skip
    assert with_kick_rules(many)["n"].to_list() == list(range(100))


def test_the_nearest_season_stands_in_for_one_that_is_not_there() -> None:
    assert nearest_rules("college", 1990).season == 2012
    assert nearest_rules("professional", 2040).season == 2025
    assert nearest_rules("prep", 2016).name == "professional 2016"
