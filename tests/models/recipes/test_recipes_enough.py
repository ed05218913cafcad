"""Tables that cannot carry the models are refused with everything they lack, and the minimum."""

from __future__ import annotations

import polars as pl
import pytest
from invented_facts import table_to_fit
from pointsleft_models.fitting.logit import FitError
from pointsleft_models.plays.checking import conform
from pointsleft_models.plays.complete import complete
from pointsleft_models.recipes.borrowing import ALONE_GAMES, FEWEST_GAMES
from pointsleft_models.recipes.enough import FEWEST_SNAPS, refuse_too_little, shortfalls


@pytest.fixture(scope="module")
def plays() -> pl.DataFrame:
    return conform(complete(table_to_fit(3, FEWEST_GAMES)).plays)


def told(plays: pl.DataFrame, *, leans: bool = True) -> str:
    return "\n".join(shortfalls(plays, leans=leans))


def test_enough_is_not_refused(plays: pl.DataFrame) -> None:
    assert told(plays) == ""
    refuse_too_little(plays, leans=True)


def test_one_game_less_is_too_few(plays: pl.DataFrame) -> None:
    fewer = plays.filter(pl.col("game") != plays["game"][0])
    assert f"{FEWEST_GAMES - 1} games; it takes {FEWEST_GAMES}" in told(fewer)


def test_a_level_that_stands_alone_takes_more(plays: pl.DataFrame) -> None:
    text = told(plays, leans=False)
    assert f"{FEWEST_GAMES} games; it takes {ALONE_GAMES}" in text
    assert f"leans on the shipped fits: from {FEWEST_GAMES}" in text


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (lambda p: p.filter(pl.col("kind") != "kickoff"), "no kickoffs"),
        (lambda p: p.with_columns(next_score=pl.lit("none")), "no snap is followed by: touchdown"),
        (lambda p: p.with_columns(result=pl.lit(0.5)), "no game was both won and lost"),
        (
            lambda p: p.filter(pl.int_range(pl.len()).over("game") % 8 == 0),
            f"it takes {FEWEST_SNAPS}",
        ),
    ],
)
def test_what_is_broken_is_named(plays: pl.DataFrame, spoil: object, message: str) -> None:
    assert message in told(spoil(plays))  # type: ignore[operator]


def test_everything_is_told_at_once(plays: pl.DataFrame) -> None:
    bad = plays.filter(pl.col("kind") != "kickoff").with_columns(result=pl.lit(0.5))
    with pytest.raises(FitError) as caught:
        refuse_too_little(bad, leans=False)
    assert str(caught.value).count("\n") == 3
