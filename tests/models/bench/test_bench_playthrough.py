"""Simulated games look like the archive's; a short version of the benchmark."""

from __future__ import annotations

from dataclasses import replace

import polars as pl
import pytest
from pointsleft_models.bench.playthrough import Row, compare, season_rules, simulated_games
from pointsleft_models.bench.playthrough_measures import archived, drives, measures
from pointsleft_models.plays.sequence import with_next_snap
from pointsleft_models.plays.sources import read_source

pytestmark = pytest.mark.archive

GAMES = 250  # a season, eleven seasons

#: Quantities that 2,750 games settle well within the range of the seasons.
SETTLED = (
    "margin: standard deviation", "margin of 7", "margin of 17 or more", "total: mean",
    "plays a game", "flagged snaps a game", "seconds a play", "punts a game", "completions",
    "yards a catch", "drives a game", "points a drive (tries apart)", "plays a drive",
    "start of drives, yards to goal", "drives: touchdown", "drives: field goal", "drives: punt",
    "drives: turnover", "drives: downs", "drives from own 40 to 21: touchdown",
    "drives from own 1 to 20: punt", "fourth downs: go", "fourth downs: field goal",
    "overtime games",
)  # fmt: skip


@pytest.fixture(scope="module")
def plays() -> pl.DataFrame:
    return with_next_snap(read_source("archive").plays)


def outside(rows: list[Row]) -> list[str]:
    return [row.what for row in rows if row.what in SETTLED and not row.inside]


def test_simulated_games_lie_within_the_seasons(plays: pl.DataFrame) -> None:
    rows = compare(plays, simulated_games(season_rules(plays), GAMES, 1))
    assert set(SETTLED) <= {row.what for row in rows}
    assert outside(rows) == []


def test_shorter_quarters_would_be_seen(plays: pl.DataFrame) -> None:
    """Negative control: quarters of twelve minutes."""
    rules = [replace(r, quarter_seconds=720) for r in season_rules(plays)[:3]]
    found = outside(compare(plays, simulated_games(rules, GAMES, 1)))
    assert "plays a game" in found
    assert "total: mean" in found


def test_the_counts_are_those_of_the_archive(plays: pl.DataFrame) -> None:
    """Against figures counted otherwise: fourth-down tries and games with overtime."""
    season = plays.filter(pl.col("season") == 2014)
    games = archived(season)
    found = measures(games)
    by_half = season.group_by("game").agg(extra=(pl.col("half") == 3).any())
    assert found["overtime games"] == pytest.approx(float(by_half["extra"].mean()))  # type: ignore[arg-type]
    board = season.group_by("game", maintain_order=True).agg(
        shown=(pl.col("offense_score") + pl.col("defense_score")).max()
    )
    # the board before the last row lacks what that row scored
    same = (games.results["total"] == board["shown"]).mean()
    assert 0.9 < float(same) < 1  # type: ignore[arg-type]
    touchdowns = season.filter(
        pl.col("down").is_not_null() & (pl.col("half") < 3) & (pl.col("points_offense") == 6)
    )
    table = drives(games)
    assert (table["ending"] == "touchdown").sum() == pytest.approx(len(touchdowns), abs=5)
