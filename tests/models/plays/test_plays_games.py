"""Spread, roof and weather from a games table, and which way the spread points."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import polars as pl
import pytest
from invented_plays import invented_table
from pointsleft_models.plays.games import (
    FILLED,
    GamesError,
    join_games,
    neutral_games,
    read_games_file,
)


def invented_games(sign: float = 1.0, games: int = 200) -> pl.DataFrame:
    """Games whose favourites win by the spread on average (times ``sign``)."""
    rng = np.random.default_rng(5)
    spread = np.round(rng.normal(2, 6, games) * 2) / 2
    margin = np.round(sign * spread + rng.normal(0, 10, games)).astype(int)
    away = rng.integers(10, 30, games)
    return pl.DataFrame(
        {
            "game": [f"g{n:02d}" for n in range(games)],
            "home_points": np.maximum(away + margin, 0),
            "away_points": away,
            "home_spread": spread,
            "roof": ["indoors" if n % 4 else "outdoors" for n in range(games)],
            "temperature": [None if n % 4 else 40 + n % 30 for n in range(games)],
            "wind": [None if n % 4 else n % 20 for n in range(games)],
        }
    )


def test_games_are_joined_by_identifier_and_nothing_else_changes() -> None:
    from pointsleft_models.plays.checking import conform

    plays = conform(invented_table(1))
    games = neutral_games(invented_games())
    joined = join_games(plays, games)
    assert joined.drop(FILLED).equals(plays.drop(FILLED))
    for game, home_spread, roof in joined.select("game", "home_spread", "roof").unique().rows():
        row = games.row(by_predicate=pl.col("game") == game, named=True)
        assert (home_spread, roof) == (row["home_spread"], row["roof"])


def test_what_the_games_table_does_not_say_stays() -> None:
    from pointsleft_models.plays.checking import conform

    plays = conform(invented_table(1)).with_columns(wind=pl.lit(9, pl.Int32))
    games = neutral_games(pl.DataFrame({"game": ["g00"], "home_spread": [3.0]}))
    joined = join_games(plays, games)
    assert (joined["wind"] == 9).all()
    assert joined.filter(pl.col("game") == "g01")["home_spread"].null_count() > 0


def test_a_games_table_of_other_games_is_refused() -> None:
    games = neutral_games(pl.DataFrame({"game": ["elsewhere"], "wind": [3]}))
    with pytest.raises(GamesError, match="no game of the plays is in the games table"):
        join_games(invented_table(1), games)


def test_a_spread_of_the_other_sign_is_refused() -> None:
    assert len(neutral_games(invented_games())) == 200
    with pytest.raises(GamesError, match=r"favourites lost by \d+\.\d points on average"):
        neutral_games(invented_games().with_columns(-pl.col("home_spread")))


def test_few_games_are_not_judged() -> None:
    few = invented_games().with_columns(-pl.col("home_spread"))[:20]
    assert len(neutral_games(few)) == 20


def test_every_fault_of_a_games_table_stands_in_one_message() -> None:
    games = pl.DataFrame(
        {"game": ["a", "a", "b"], "roof": ["tent", None, "dome"], "wind": ["still", "7", "700"],
         "home_points": [3, 7, 300]}
    )  # fmt: skip
    with pytest.raises(GamesError) as caught:
        neutral_games(games)
    for part in ("roof: 1 cells, e.g. 'tent'", "wind: 2 cells, e.g. 'still' for game 'a'",
                 "home_points: 1 cells, e.g. 300", "game: 2 rows name a game twice"):  # fmt: skip
        assert part in str(caught.value)


def test_a_file_with_semicolons_and_decimal_commas(tmp_path: Path) -> None:
    path = tmp_path / "games.csv"
    path.write_text("Game;Home Spread;Roof\ng00;3,5;NA\ng01;-7;Outdoors\n")
    games = read_games_file(path)
    assert games["home_spread"].to_list() == [3.5, -7.0]
    assert games["roof"].to_list() == [None, "outdoors"]


def test_a_file_without_games_says_what_it_has(tmp_path: Path) -> None:
    path = tmp_path / "games.csv"
    path.write_text("x,y\n1,2\n")
    with pytest.raises(GamesError, match=r"lacks the column game .*; it has x, y"):
        read_games_file(path)


def test_the_shared_schedules_are_read_and_favour_the_favourites(games_file: Path) -> None:
    games = read_games_file(games_file)
    assert len(games) == 2937
    margin = games["home_points"] - games["away_points"]
    both = pl.DataFrame({"spread": games["home_spread"], "margin": margin})
    assert both.select(pl.corr("spread", "margin")).item() > 0.4
    assert abs(float((margin - games["home_spread"]).mean())) < 0.5
    home_favoured = both.filter(pl.col("spread") >= 3)
    assert float((home_favoured["margin"] > 0).mean()) > 0.6
    assert games["roof"].null_count() == 0
    assert games.filter(pl.col("roof") == "indoors")["wind"].null_count() > 700
