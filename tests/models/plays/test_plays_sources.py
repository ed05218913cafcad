"""One line of text to every source."""

from __future__ import annotations

from pathlib import Path

import polars as pl
import pytest
from invented_plays import invented_table
from pointsleft_models.plays import sources
from pointsleft_models.plays.sources import SourceError, UnknownSourceError, read_source


@pytest.mark.parametrize("text", ["", "film", "seasons", "archive2", "plays.xlsx", "http://x/y"])
def test_what_is_no_source_gets_the_list(text: str) -> None:
    with pytest.raises(UnknownSourceError) as caught:
        read_source(text)
    message = str(caught.value)
    if text != "seasons":
        for accepted in ("archive:2014-2016", "FILE.whl", "seasons:2023", "FILE.csv"):
            assert accepted in message
    assert repr(text) in message or text in message


@pytest.mark.parametrize("text", ["none.csv", "none.parquet", "none.whl"])
def test_a_file_that_is_not_there(text: str) -> None:
    with pytest.raises(UnknownSourceError, match="no such file"):
        read_source(text)


@pytest.mark.parametrize("option", ["participation", "games"])
def test_a_joined_file_that_is_not_there(option: str, tmp_path: Path) -> None:
    invented_table(1).write_csv(tmp_path / "plays.csv")
    with pytest.raises(UnknownSourceError, match=r"none\.csv: no such file"):
        read_source(str(tmp_path / "plays.csv"), **{option: tmp_path / "none.csv"})


@pytest.mark.parametrize(
    ("listed", "seasons"),
    [("2014", (2014,)), ("2014-2016", (2014, 2015, 2016)), ("2014,2016", (2014, 2016)),
     ("2016,2014-2015", (2014, 2015, 2016))],
)  # fmt: skip
def test_seasons_are_listed_or_spanned(listed: str, seasons: tuple[int, ...]) -> None:
    assert sources._seasons(f"archive:{listed}", listed) == seasons


@pytest.mark.parametrize("listed", ["", "14", "2016-2014", "2014-", "all", "2014;2015"])
def test_what_is_no_season(listed: str) -> None:
    with pytest.raises(UnknownSourceError, match=r"is no season; write e\.g\. archive:2014"):
        sources._seasons(f"archive:{listed}", listed)


def test_faults_of_a_source_are_one_kind_of_error(tmp_path: Path) -> None:
    invented_table(1).drop("clock").write_csv(tmp_path / "plays.csv")
    (tmp_path / "wheel.whl").write_bytes(b"no zip")
    for name in ("plays.csv", "wheel.whl"):
        with pytest.raises(SourceError) as caught:
            read_source(str(tmp_path / name))
        assert not isinstance(caught.value, UnknownSourceError)


def participation(plays: pl.DataFrame) -> pl.DataFrame:
    """An invented participation table: every pass of the plays, in the shape of the source."""
    passes = plays.filter(pl.col("kind") == "pass")
    return passes.select(
        old_game_id="game",
        play_id="play",
        defenders_in_box=pl.lit(6),
        number_of_pass_rushers=pl.lit(4),
        time_to_throw=pl.lit(2.5),
        was_pressure=pl.lit(True),
        route=pl.lit("SLANT"),
        defense_man_zone_type=pl.lit("MAN_COVERAGE"),
        defense_coverage_type=pl.lit("COVER_1"),
    )


@pytest.mark.parametrize("suffix", [".csv", ".parquet"])
def test_participation_is_joined_to_a_table_of_ones_own(tmp_path: Path, suffix: str) -> None:
    plays = invented_table(1)
    plays.write_csv(tmp_path / "plays.csv")
    more = tmp_path / f"more{suffix}"
    (more.write_text(participation(plays).write_csv()) if suffix == ".csv"
     else participation(plays).write_parquet(more))  # fmt: skip
    read = read_source(str(tmp_path / "plays.csv"), participation=more).plays
    passes = pl.col("kind") == "pass"
    row = read.filter(passes).select("box", "rushers", "ball_out_seconds", "pressured", "route",
                                     "shell", "man").unique()  # fmt: skip
    assert row.rows() == [(6, 4, 2.5, True, "slant", "one-deep man", True)]
    assert read.filter(~passes)["box"].null_count() == read.filter(~passes).height


def test_participation_that_meets_nothing_is_refused(tmp_path: Path) -> None:
    plays = invented_table(1)
    plays.write_csv(tmp_path / "plays.csv")
    participation(plays.with_columns(game=pl.lit("elsewhere"))).write_parquet(
        tmp_path / "more.parquet"
    )
    with pytest.raises(SourceError, match="meets no play of the source"):
        read_source(str(tmp_path / "plays.csv"), participation=tmp_path / "more.parquet")


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (lambda t: t.drop("route"), "lacks route; it has old_game_id"),
        (lambda t: t.with_columns(defenders_in_box=pl.lit("many")),
         "column defenders_in_box: .* e.g. 'many'; expected a whole number"),
    ],
)  # fmt: skip
def test_faults_of_a_participation_file(tmp_path: Path, spoil: object, message: str) -> None:
    plays = invented_table(1)
    plays.write_csv(tmp_path / "plays.csv")
    spoil(participation(plays)).write_parquet(tmp_path / "more.parquet")  # type: ignore[operator]
    with pytest.raises(SourceError, match=message):
        read_source(str(tmp_path / "plays.csv"), participation=tmp_path / "more.parquet")


def test_a_games_table_says_the_finals_and_the_spread(tmp_path: Path) -> None:
    plays = invented_table(1)
    plays.write_csv(tmp_path / "plays.csv")
    (tmp_path / "games.csv").write_text(
        "game,home_points,away_points,home_spread\ng00,,,2.5\ng01,1,77,\n"
    )
    reading = read_source(str(tmp_path / "plays.csv"), games=tmp_path / "games.csv")
    assert list(reading.left_out) == ["g01"]
    assert reading.plays["home_spread"].unique().to_list() == [2.5]
