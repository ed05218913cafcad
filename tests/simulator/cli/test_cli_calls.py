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


LATE = ("call", "--ball", "opp 25", "--distance", "4", "--quarter", "4", "--clock", "0:40",
        "--us", "20", "--them", "22")  # fmt: skip


def test_late_in_a_half_the_calls_are_played_out_beside_the_exact_values() -> None:
    late = run(*LATE)
    assert late.exit_code == 0, late.output
    assert "played out, 10,000 games" in late.stdout
    assert max(map(len, late.stdout.splitlines())) <= 80
    found = json.loads(run(*LATE, "--json").stdout)
    exact = {c["name"]: c["value"]["wins"] for c in found["choices"]}
    assert {n: v["wins"]["value"] for n, v in found["played"]["calls"].items()} == exact
    assert json.loads(run(*DOWN, "--json").stdout)["played"] is None


def test_a_level_without_a_simulator_is_told_only_where_it_was_asked_for() -> None:
    quiet = run(*LATE, "--level", "college")
    assert quiet.exit_code == 0, quiet.output
    assert "played out" not in quiet.stdout
    asked = run(*LATE, "--level", "college", "--play-out")
    assert asked.exit_code != 0
    assert "playthrough" in asked.stderr


def test_a_situation_is_played_out_where_asked() -> None:
    value = ("value", "--ball", "opp 38", "--quarter", "4", "--clock", "0:50", "--us", "20",
             "--them", "24")  # fmt: skip
    shown = run(*value, "--play-out")
    assert shown.exit_code == 0, shown.output
    lines = shown.stdout.splitlines()
    at = next(i for i, line in enumerate(lines) if "played out, 10,000 games" in line)
    assert "as it stands" in lines[at + 2]
    assert max(map(len, lines[at:])) <= 80
    found = json.loads(run(*value, "--play-out", "--json").stdout)
    assert found["played_out"]["wins"]["value"] == pytest.approx(found["now"]["wins"])
    assert json.loads(run(*value, "--json").stdout)["played_out"] is None
