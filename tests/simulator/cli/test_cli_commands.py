"""Every command: what it prints, as text and as JSON, and the exit code it leaves with."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pointsleft.cli import demo as demo_command
from pointsleft.cli import progress as bar
from pointsleft.cli.main import COMMANDS, main

GAME = """item,value
level,professional
season,2019
us,Larks
them,Moles
quarterback,Pim Ostrey
snaps logged,some
"""

SNAPS = """snap,quarter,clock,us,them,down,distance,ball,our timeouts,their timeouts,family,\
options,result,yards
1,1,10:00,0,0,1,10,own 25,3,3,drop-back,curl11.r/e curl11.l/e* flat1.r/n,complete,14
2,4,1:10,7,10,1,10,own 30,2,3,drop-back,go40.r/x* flat1.r/l,incomplete,
"""


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, list(map(str, arguments)))


@pytest.fixture
def log(tmp_path: Path) -> Path:
    folder = tmp_path / "log"
    folder.mkdir()
    (folder / "game.csv").write_text(GAME)
    (folder / "snaps.csv").write_text(SNAPS)
    return folder


def kept(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in sorted(folder.iterdir()) if p.is_file()}


# -- help ---------------------------------------------------------------------------------------


def test_help_explains_each_command_in_a_line() -> None:
    result = run("--help")
    assert result.exit_code == 0
    for name, line in COMMANDS.items():
        assert any(name in row and line[:30] in row for row in result.stdout.splitlines()), name


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_and_json(name: str) -> None:
    result = run(name, "--help")
    assert result.exit_code == 0
    assert "--json" in result.stdout


def test_help_loads_nothing_heavy() -> None:
    code = (
        "import sys; from pointsleft.cli.main import main\n"
        "try: main(['--help'])\nexcept SystemExit: pass\n"
        "heavy = {'polars', 'scipy', 'matplotlib', 'openpyxl', 'statsmodels', 'joblib'}\n"
        "sys.exit(str(sorted(heavy & set(sys.modules))) if heavy & set(sys.modules) else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    "arguments",
    [["nonsense"], ["check"], ["price"], ["new"], ["value"], ["plays"], ["price", "x", "--draws",
     "-1"], ["fit", "--refits", "3"], ["fit", "--level", "sandlot"], ["fit", "--workers", "0"],
     ["check", "x", "--loud"]],
)  # fmt: skip
def test_wrong_use_leaves_with_two_and_one_message(arguments: list[str]) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr.strip()
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize("name", ["check", "price"])
def test_a_log_that_is_not_there_is_wrong_use(tmp_path: Path, name: str) -> None:
    result = run(name, tmp_path / "nowhere", "--json")
    assert result.exit_code == 2
    assert "there is nothing here" in json.loads(result.stdout)["error"]
    assert list(tmp_path.iterdir()) == []


# -- new and check ------------------------------------------------------------------------------


@pytest.mark.parametrize("flags", [[], ["--workbook"], ["--full"], ["--workbook", "--full"]])
def test_new_makes_a_log_that_check_likes(tmp_path: Path, flags: list[str]) -> None:
    path = tmp_path / ("log.xlsx" if "--workbook" in flags else "log")
    made = json.loads(run("new", path, *flags, "--json").stdout)
    assert made == {"log": str(path), "workbook": "--workbook" in flags}
    result = run("check", path)
    assert result.exit_code == 0
    assert "is clean" in result.stdout


def test_new_says_what_to_do_next_and_never_writes_over_anything(log: Path) -> None:
    result = run("new", log.parent / "fresh")
    assert result.exit_code == 0
    assert "pointsleft check" in result.stdout
    before = kept(log)
    again = run("new", log)
    assert again.exit_code == 2
    assert str(log) in again.stderr
    assert kept(log) == before


def test_check_of_a_sound_log(log: Path) -> None:
    result = run("check", log)
    assert result.exit_code == 0
    assert "2 decisions" in result.stdout
    found = json.loads(run("check", log, "--json").stdout)
    assert found["clean"] is True
    assert found["counts"]["decisions"] == 2


def test_check_of_a_faulty_log_lists_everything_and_leaves_with_one(log: Path) -> None:
    text = SNAPS.replace("1,1,10:00,0,0,1", "1,1,10:00,0,0,5").replace("own 30", "own 75")
    (log / "snaps.csv").write_text(text)
    before = kept(log)
    result = run("check", log)
    assert result.exit_code == 1
    assert "2 faults" in result.stdout
    for part in ("snaps, row 2, down", "snaps, row 3, ball"):
        assert part in result.stdout
    found = json.loads(run("check", log, "--json").stdout)
    assert found["clean"] is False
    assert {(f["row"], f["column"]) for f in found["faults"]} == {(2, "down"), (3, "ball")}
    assert kept(log) == before


# -- price and demo -----------------------------------------------------------------------------


def test_price_writes_three_files_and_prints_where(log: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    before = kept(log)
    result = run("price", log, "--out", out, "--draws", 200)
    assert result.exit_code == 0, result.output
    assert sorted(kept(out)) == ["decisions.csv", "report.html", "result.json"]
    for name in kept(out):
        assert str(out / name) in result.stdout.replace("\n", "")
    assert result.stderr == ""
    assert kept(log) == before


def test_price_json_is_the_result_file(log: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    result = run("price", log, "--out", out, "--draws", 200, "--json")
    assert json.loads(result.stdout) == json.loads((out / "result.json").read_text())
    assert result.stderr == ""


def same_again(log: Path, tmp_path: Path) -> None:
    folders = [tmp_path / name for name in ("a", "b")]
    for folder in folders:
        assert run("price", log, "--out", folder, "--draws", 300, "--seed", 7).exit_code == 0
    assert kept(folders[0]) == kept(folders[1])


def test_the_same_seed_writes_the_same_bytes(log: Path, tmp_path: Path) -> None:
    same_again(log, tmp_path)
    other = tmp_path / "c"
    assert run("price", log, "--out", other, "--draws", 300, "--seed", 8).exit_code == 0
    assert kept(other)["result.json"] != kept(tmp_path / "a")["result.json"]


def test_draws_that_do_not_follow_the_seed_would_be_seen(
    log: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import numpy as np

    honest = np.random.default_rng
    monkeypatch.setattr("pointsleft.game.price.np.random.default_rng", lambda *a: honest())
    with pytest.raises(AssertionError):
        same_again(log, tmp_path)


def test_a_faulty_log_is_not_priced_and_old_files_stay(log: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert run("price", log, "--out", out, "--draws", 0).exit_code == 0
    before = kept(out)
    (log / "snaps.csv").write_text(SNAPS.replace("own 25", "25"))
    result = run("price", log, "--out", out)
    assert result.exit_code == 1
    assert "snaps, row 2, ball" in result.stderr
    assert result.stdout == ""
    assert kept(out) == before
    found = json.loads(run("price", log, "--out", out, "--json").stdout)
    assert [f["column"] for f in found["faults"]] == ["ball"]
    assert kept(out) == before


def test_price_says_when_it_cannot_write(log: Path, tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.write_text("a file of mine")
    result = run("price", log, "--out", taken, "--draws", 0)
    assert result.exit_code == 2
    assert str(taken) in result.stderr
    assert taken.read_text() == "a file of mine"


def test_price_says_when_fits_are_not_there_or_changed(log: Path, tmp_path: Path) -> None:
    result = run("price", log, "--out", tmp_path / "out", "--models", tmp_path / "none")
    assert result.exit_code == 2
    assert "fits" in result.stderr
    assert not (tmp_path / "out").exists()


def test_the_demo_names_its_three_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                                        log: Path) -> None:  # fmt: skip
    assert (demo_command.demo_log() / "snaps.csv").is_file()
    monkeypatch.setattr(demo_command, "demo_log", lambda: log)  # two snaps, not sixty
    monkeypatch.chdir(tmp_path)
    result = run("demo", "--draws", 0)
    assert result.exit_code == 0
    for name in ("report.html", "decisions.csv", "result.json"):
        assert (tmp_path / "out/demo" / name).is_file()
        assert f"out/demo/{name}" in result.stdout
    as_json = json.loads(run("demo", "--draws", 0, "--json").stdout)
    assert len(as_json["decisions"]) == 2


# -- value --------------------------------------------------------------------------------------

SITUATION = ("value", "--ball", "own 40", "--clock", "8:00", "--us", 0, "--them", 0)


def test_value_prints_the_situation_and_its_options() -> None:
    result = run(*SITUATION, "--options", "post18.m/n dig12/s* flat2/l")
    assert result.exit_code == 0
    for part in ("1st and 10 at own 40", "expected points", "win probability", "post", "dig"):
        assert part in result.stdout
    assert result.stderr == ""


def test_value_as_json_is_the_same_every_time() -> None:
    one, two = (run(*SITUATION, "--options", "post18.m/n dig12/s*", "--json") for _ in range(2))
    assert one.stdout == two.stdout
    data = json.loads(one.stdout)
    assert 0 < data["now"]["wins"] < 1
    assert [o["id"] for o in data["options"]] == ["post", "dig"]
    for currency in ("points", "wins"):
        assert sum(o[f"{currency}_best_share"] for o in data["options"]) == pytest.approx(1.0)


def test_value_without_a_clock_is_points_alone_and_overtime_wins_alone() -> None:
    plain = json.loads(run("value", "--ball", "own 40", "--json").stdout)
    assert set(plain["now"]) == {"points"}
    late = run("value", "--ball", "own 40", "--quarter", 5, "--clock", "8:00", "--us", 20,
               "--them", 20, "--json")  # fmt: skip
    assert set(json.loads(late.stdout)["now"]) == {"wins"}


def test_value_knows_a_spread() -> None:
    plain, level, given = (
        run(*SITUATION, *more, "--json") for more in ((), ("--spread", 0), ("--spread", -6))
    )
    one, zero, two = (json.loads(r.stdout) for r in (plain, level, given))
    assert one["beforehand"] == ""
    assert "(neither favoured)" in zero["beforehand"]
    assert two["now"]["wins"] < zero["now"]["wins"] - 0.02
    assert two["now"]["points"] == one["now"]["points"]
    text = run(*SITUATION, "--spread", -6).stdout
    assert "Win probability knows the pre-game spread (underdogs by 6)" in " ".join(text.split())
    assert max(map(len, text.splitlines())) <= 80


def test_value_takes_goal_to_go_from_the_ball() -> None:
    assert "1st and goal at opp 4" in run("value", "--ball", "opp 4").stdout


def test_value_names_every_option_that_is_wrong_at_once() -> None:
    """As options of the command line, not as rows of a log that nobody wrote."""
    arguments = ("value", "--ball", "own 75", "--down", 5, "--their-timeouts", 9)
    result = run(*arguments)
    assert result.exit_code == 2
    for part in ("--ball: found own 75", "--down: found 5", "--their-timeouts: found 9"):
        assert part in result.stderr
    assert "row" not in result.stderr
    assert result.stdout == ""
    assert "--down" in json.loads(run(*arguments, "--json").stdout)["error"]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--ball", "40"], "own 40 or opp 40"),
        (["--ball", "own 40", "--season", "1890"], "--season: found 1890"),
        (["--ball", "own 40", "--level", "sandlot"], "no fits for level 'sandlot'"),
        (["--ball", "own 40", "--options", "post90/q"], "--options: found post90/q"),
        (["--ball", "own 40", "--free", "-3"], "--free: found -3"),
        (["--ball", "own 40", "--distance", "61"], "--distance: found 61"),
    ],
)
def test_value_wrongly_used(arguments: list[str], message: str) -> None:
    result = run("value", *arguments)
    assert result.exit_code == 2
    assert message in result.stderr


# -- progress -----------------------------------------------------------------------------------


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("stream", "shows"), [(io.StringIO, False), (Terminal, True)])
def test_progress_is_silent_when_there_is_no_terminal(
    monkeypatch: pytest.MonkeyPatch, stream: Callable[[], io.StringIO], shows: bool
) -> None:
    error = stream()
    monkeypatch.setattr(sys, "stderr", error)
    assert list(bar.progress(range(3), 3, "pricing decisions")) == [0, 1, 2]
    assert bool(error.getvalue()) is shows
    assert ("pricing decisions" in error.getvalue()) is shows
