"""``pointsleft plays``: what a source holds, in text, as JSON, or as a file."""

from __future__ import annotations

import json
from pathlib import Path

import polars as pl
import pytest
from click.testing import CliRunner, Result
from invented_plays import TRUTHS, invented_table
from pointsleft.cli.main import main


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, ["plays", *map(str, arguments)])


@pytest.fixture
def table(tmp_path: Path) -> Path:
    """Two games that add up and one that does not."""
    plays = invented_table(1, games=3).drop(TRUTHS)
    jump = pl.when((pl.col("game") == "g02") & (pl.col("period") == 4)).then(11).otherwise(0)
    path = tmp_path / "plays.csv"
    plays.with_columns(pl.col("offense_score", "defense_score") + jump).write_csv(path)
    return path


def test_text_says_what_was_read_in_eighty_columns(table: Path) -> None:
    result = run(table)
    assert result.exit_code == 0, result.output
    for part in ("3 games read", "2 games whose final score the plays reproduce",
                 "1 games left out:", "g02: the score rises by 11", "kickoff"):  # fmt: skip
        assert part in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 80
    assert result.stderr == ""


def test_json_holds_every_figure(table: Path) -> None:
    about = json.loads(run(table, "--json").stdout)
    assert about["games_read"] == 3
    assert about["finals_reproduced"] == 2
    assert list(about["left_out"]) == ["g02"]
    assert about["plays"] == sum(about["kinds"].values()) == about["seasons"]["2020"]["plays"]
    assert about["seasons"]["2020"]["games"] == 2
    assert about["participation"] == 0
    assert about["out"] is None


@pytest.mark.parametrize("suffix", [".csv", ".parquet"])
def test_the_table_is_written_and_reads_back(table: Path, tmp_path: Path, suffix: str) -> None:
    out = tmp_path / f"neutral{suffix}"
    first = json.loads(run(table, "--json", "--out", out).stdout)
    assert first["out"] == str(out)
    again = json.loads(run(out, "--json").stdout)
    assert again["left_out"] == {}
    assert again["plays"] == first["plays"]
    assert again["kinds"] == first["kinds"]
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted(["plays.csv", out.name])


def test_joined_files_show(table: Path, tmp_path: Path) -> None:
    games = tmp_path / "games.csv"
    games.write_text("game,home_spread\ng00,3\n")
    out = tmp_path / "out.parquet"
    assert run(table, "--games", games, "--out", out).exit_code == 0
    assert pl.read_parquet(out)["home_spread"].drop_nulls().unique().to_list() == [3.0]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["film"], "is no source of plays; accepted are"),
        (["none.csv"], "no such file"),
        (["archive:now"], "is no season"),
        ([], "Missing argument"),
    ],
)
def test_wrong_use_leaves_with_two(arguments: list[str], message: str) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert message in result.stderr
    assert result.stdout == ""


def test_faults_leave_with_one_and_write_nothing(table: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.csv"
    pl.read_csv(table).with_columns(period=pl.lit(0)).write_csv(bad)
    out = tmp_path / "out.csv"
    result = run(bad, "--out", out)
    assert result.exit_code == 1
    assert "column period" in result.stderr
    assert result.stdout == ""
    assert not out.exists()
    assert "column period" in json.loads(run(bad, "--json").stdout)["error"]


def test_games_with_faults_are_left_out_when_asked(table: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.csv"
    wrong = pl.when(pl.col("game") == "g00").then(13).otherwise("period").alias("period")
    pl.read_csv(table).with_columns(wrong).write_csv(bad)
    assert "--leave-out" in run(bad).stderr
    result = run(bad, "--leave-out", "--json")
    assert result.exit_code == 0
    assert list(json.loads(result.stdout)["left_out"]) == ["g00", "g02"]


@pytest.mark.parametrize("out", ["table.xlsx", "nowhere/table.csv", "plays.csv"])
def test_where_a_table_cannot_go_is_said_before_reading(
    table: Path, tmp_path: Path, out: str
) -> None:
    before = table.read_bytes()
    result = run(table, "--out", tmp_path / out)
    assert result.exit_code == 2
    assert "--out" in result.stderr
    assert table.read_bytes() == before


def test_names_of_strangers_cannot_steer_the_terminal(table: Path, tmp_path: Path) -> None:
    evil = tmp_path / "evil.csv"
    evil.write_text(table.read_text().replace("g02", "g\x1b[31m2"))
    result = run(evil)
    assert "\x1b" not in result.stdout
    assert "g?[31m2" in result.stdout


@pytest.mark.archive
def test_the_installed_archive(monkeypatch: pytest.MonkeyPatch) -> None:
    root = Path(__file__).parents[3]
    monkeypatch.setenv("POINTSLEFT_CACHE", str(root / "out" / "cache"))
    about = json.loads(run("archive", "--json").stdout)
    assert about["games_read"] == 2926
    assert about["finals_reproduced"] >= 2920
    assert len(about["left_out"]) == 2926 - about["finals_reproduced"]
    assert list(about["seasons"]) == [str(season) for season in range(2009, 2020)]
    one = json.loads(run("archive:2018", "--json").stdout)
    assert one["games_read"] == 256
    result = run("archive:1950")
    assert result.exit_code == 2
    assert "seasons 2009 to 2019" in result.stderr
