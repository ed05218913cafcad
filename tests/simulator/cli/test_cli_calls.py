"""``pointsleft call`` and ``pointsleft calls``: text, JSON, and every fault at once."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from invented_plays import TRUTHS, invented_table
from pointsleft.cli.demo import demo_log
from pointsleft.cli.main import main

DOWN = ("call", "--ball", "opp 40", "--distance", "3", "--quarter", "2", "--clock", "5:00",
        "--us", "7", "--them", "3")  # fmt: skip
TRY = ("call", "--try", "--quarter", "4", "--clock", "4:00", "--us", "20", "--them", "28")


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, list(map(str, arguments)))


@pytest.fixture
def plays(tmp_path: Path) -> Path:
    path = tmp_path / "plays.csv"
    invented_table(5, games=1).drop(TRUTHS).write_csv(path)
    return path


@pytest.mark.parametrize(
    "arguments",
    [(*DOWN, "--plays", "sneak,pass", "--kicker", "9/10@33", "--weather", "cold"), TRY],
    ids=["fourth down", "try"],
)
def test_text_fits_eighty_columns(arguments: tuple[str, ...]) -> None:
    result = run(*arguments)
    assert result.exit_code == 0, result.output
    assert max(map(len, result.stdout.splitlines())) <= 80
    assert "refits" in result.stdout


def test_json_holds_both_currencies_and_the_tie() -> None:
    found = json.loads(run(*DOWN, "--json").stdout)
    assert set(found["settled"]) == {"points", "wins"}
    assert {c["name"] for c in found["choices"]} == {"go", "field goal", "punt"}
    tried = json.loads(run(*TRY, "--json").stdout)
    assert 0 < tried["tie"] < 1


def test_everything_wrong_is_said_at_once() -> None:
    result = run("call", "--ball", "opp 40", "--plays", "wedge", "--weather", "nice",
                 "--kicker", "3/2@40", "--conversion", "140")  # fmt: skip
    assert result.exit_code == 2
    for part in ("--distance", "--plays: found wedge", "--weather: found nice", "--kicker",
                 "--conversion: found 140"):  # fmt: skip
        assert part in result.stderr


def test_a_try_needs_clock_and_score() -> None:
    result = run("call", "--try", "--quarter", "5")
    assert result.exit_code == 2
    for part in ("--clock", "--us", "--them", "--quarter: found 5"):
        assert part in result.stderr


def test_a_log_and_its_sheet(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.html"
    result = run("calls", demo_log(), "--page", sheet)
    assert result.exit_code == 0, result.output
    assert max(map(len, result.stdout.splitlines()[:-3])) <= 80
    assert "Where the choice turns" in sheet.read_text(encoding="utf-8")


def test_a_play_table(plays: Path, tmp_path: Path) -> None:
    out = tmp_path / "calls.csv"
    result = run("calls", plays, "--out", out)
    assert result.exit_code == 0, result.output
    assert "fourth downs priced" in result.stdout
    assert out.read_text(encoding="utf-8").startswith("game,season,week,team")


def test_wrong_use_is_said_before_anything_is_read(tmp_path: Path) -> None:
    for arguments, part in (
        (("calls", "nothing"), "no source of plays"),
        (("calls", "archive", "--out", "calls.txt"), ".csv or .parquet"),
        (("calls", "archive", "--page", tmp_path / "no" / "x.html"), "does not exist"),
    ):
        result = run(*arguments)
        assert result.exit_code == 2
        assert part in result.stderr


def test_a_team_that_is_not_there_is_named_with_those_that_are(plays: Path) -> None:
    result = run("calls", plays, "--team", "Nobodies")
    assert result.exit_code == 2
    assert "--team: found Nobodies; the table has" in result.stderr
