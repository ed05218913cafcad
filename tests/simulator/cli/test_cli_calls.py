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


def test_faults_of_the_situation_and_of_the_inputs_come_in_one_message() -> None:
    result = run("call", "--ball", "opp 138", "--distance", "abc", "--quarter", "4", "--clock",
                 "19:00", "--us", "-3", "--them", "7", "--our-timeouts", "5", "--weather", "hot",
                 "--two", "40")  # fmt: skip
    assert result.exit_code == 2
    assert result.stdout == ""
    named = [line.split(":")[0] for line in result.stderr.splitlines() if line.startswith("--")]
    assert sorted(named) == sorted(
        ["--ball", "--distance", "--clock", "--us", "--our-timeouts", "--weather", "--two"]
    )
    assert max(map(len, result.stderr.splitlines())) <= 80


def test_goal_to_go_may_be_said_as_goal() -> None:
    said, counted = (
        json.loads(run("call", "--ball", "opp 2", "--distance", d, "--json").stdout)
        for d in ("goal", "2")
    )
    for one, other in zip(said["choices"], counted["choices"], strict=True):
        assert one["value"] == other["value"]


def test_what_a_try_or_the_chart_does_not_use_is_not_passed_over() -> None:
    tried = run(*TRY, "--ball", "50", "--plays", "sneak")
    assert tried.exit_code == 2
    assert "--ball: a try has no use for it" in tried.stderr
    assert "--plays: a try has no use for it" in tried.stderr
    chart = run("call", "--try", "--chart", "--clock", "3:00", "--weather", "cold")
    assert chart.exit_code == 2
    assert "--clock: the chart goes through scores" in chart.stderr
    assert "--weather: the chart goes through scores" in chart.stderr


def test_a_try_has_six_points_behind_it() -> None:
    result = run("call", "--try", "--quarter", "4", "--clock", "4:00", "--us", "3", "--them", "8")
    assert result.exit_code == 2
    assert "--us: found 3; expected 6 or more" in result.stderr


def test_weather_and_kicker_move_a_kicked_try_and_not_a_pair() -> None:
    plain, moved = (
        json.loads(run(*TRY, *more, "--json").stdout)
        for more in ((), ("--weather", "cold,windy", "--kicker", "20/30@40"))
    )
    assert moved["kick"] < plain["kick"]
    assert moved["pair"] == plain["pair"]
    assert len(moved["notes"]) == 2
    assert plain["notes"] == []


def test_where_no_chance_ties_it_says_what_even_the_surest_is_worth() -> None:
    text = " ".join(run("call", "--ball", "opp 1", "--distance", "goal").stdout.split())
    assert "kick, points: no chance ties; even a sure one is worth less than the best" in text


def test_without_a_clock_it_says_what_wins_would_need() -> None:
    assert "No win probability without --clock, --us and --them." in run(*DOWN[:5]).stdout
    assert "No win probability" not in run(*DOWN).stdout


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


def test_the_spread_of_a_table_is_used_where_asked(plays: Path, tmp_path: Path) -> None:
    import polars as pl

    none = run("calls", plays, "--with-spread")
    assert none.exit_code == 2
    assert "--with-spread: no game of the table has a pre-game spread" in none.stderr
    given = tmp_path / "given.csv"
    table = pl.read_csv(plays, infer_schema_length=None)
    table.with_columns(home_spread=pl.lit(8.0)).write_csv(given)
    without, with_it = run("calls", given), run("calls", given, "--with-spread")
    assert with_it.exit_code == 0, with_it.output
    assert "Teams of average strength" in " ".join(without.stdout.split())
    assert "Wins know the pre-game spread of" in " ".join(with_it.stdout.split())
    assert run("calls", plays).stdout == without.stdout
    assert without.stdout.splitlines()[3:] != with_it.stdout.splitlines()[3:]
    bare = run("calls", given, "--with-spread", "--level", "college")
    assert bare.exit_code == 2
    assert "level college has no fit" in bare.stderr
    games = tmp_path / "games.csv"
    pl.DataFrame({"game": table["game"].unique(), "home_spread": 8.0}).write_csv(games)
    assert run("calls", plays, "--games", games, "--with-spread").stdout == with_it.stdout


def test_the_spread_of_one_game_turns_with_the_ball(plays: Path, tmp_path: Path) -> None:
    """Home and away see the same spread from two sides."""
    import polars as pl

    table = pl.read_csv(plays, infer_schema_length=None).with_columns(home_spread=pl.lit(8.0))
    given = tmp_path / "given.csv"
    table.write_csv(given)
    game = table["game"][0]
    for side, word in (("home", "favoured by 8"), ("away", "underdogs by 8")):
        team = table[side][0]
        shown = run("calls", given, "--with-spread", "--game", game, "--team", team)
        assert shown.exit_code == 0, shown.output
        assert f"knows the pre-game spread ({word})" in " ".join(shown.stdout.split())


def test_a_typed_spread(tmp_path: Path) -> None:
    plain, given = (run(*DOWN, *more, "--json") for more in ((), ("--spread", "9")))
    one, two = (json.loads(r.stdout) for r in (plain, given))
    assert two["now"]["wins"] > one["now"]["wins"] + 0.1
    assert two["now"]["points"] == one["now"]["points"]
    assert not one["notes"]
    assert "Win probability knows the pre-game spread (favoured by 9)" in two["notes"][0]
    college = run(*DOWN, "--spread", "-9", "--level", "college")
    assert "The pre-game spread is kept but not used" in " ".join(college.stdout.split())
    tried = run(*TRY, "--spread", "-2.5")
    assert "(underdogs by 2.5)" in " ".join(tried.stdout.split())
    wrong = run(*DOWN, "--spread", "99")
    assert wrong.exit_code == 2
    assert "--spread: found 99; expected" in wrong.stderr
    assert "leave it out" in run("call", "--try", "--chart", "--spread", "3").stderr
    log = run("calls", demo_log(), "--with-spread")
    assert "a log says its own spread" in log.stderr
    assert "knows the pre-game spread" in " ".join(run("calls", demo_log()).stdout.split())


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


def test_what_is_said_of_the_day_is_not_in_the_games_played_out_and_that_is_told() -> None:
    told = "The lines of games played out leave out what you said of kicks and chances."
    windy = run(*LATE, "--weather", "windy")
    assert told in " ".join(windy.stdout.split())
    assert told not in " ".join(run(*LATE).stdout.split())


def test_a_level_without_a_simulator_is_told_only_where_it_was_asked_for() -> None:
    quiet = run(*LATE, "--level", "college")
    assert quiet.exit_code == 0, quiet.output
    assert "played out" not in quiet.stdout
    asked = run(*LATE, "--level", "college", "--play-out")
    assert asked.exit_code != 0
    assert "there is one for: professional" in asked.stderr


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
