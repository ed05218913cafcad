"""Levels of play at the command line: listed, picked by name, and what they borrow said."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pointsleft.cli.main import main
from pointsleft_models.bundle import shipped_folder

GAME = """item,value
level,college
season,2016
us,Larks
them,Moles
quarterback,Pim Ostrey
snaps logged,some
"""

SNAPS = """snap,quarter,clock,us,them,down,distance,ball,our timeouts,their timeouts,family,\
options,result,yards
1,1,10:00,0,0,1,10,own 25,3,3,drop-back,curl11.r/e* flat1.r/n,complete,14
"""


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, list(map(str, arguments)))


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A level of one's own called prep: the college fits under another name."""
    folder = tmp_path / "levels"
    shutil.copytree(shipped_folder("college"), folder / "prep")
    monkeypatch.setenv("POINTSLEFT_LEVELS", str(folder))
    return folder


@pytest.fixture
def log(tmp_path: Path) -> Path:
    folder = tmp_path / "log"
    folder.mkdir()
    (folder / "game.csv").write_text(GAME)
    (folder / "snaps.csv").write_text(SNAPS)
    return folder


def test_shipped_and_own_levels_are_listed(own: Path) -> None:
    text = run("levels").stdout
    for word in ("professional  (shipped", "college  (shipped", "prep  (your own, college rules)"):
        assert word in text
    assert "leans on professional; taken over: " in text
    assert str(own) in text
    listed = json.loads(run("levels", "--json").stdout)
    by = {level["level"]: level for level in listed["levels"]}
    assert set(by) == {"professional", "college", "prep"}
    assert by["professional"]["leans_on"] == ""
    assert "complete" in by["prep"]["borrowed"]["passing"]
    assert all(len(line) <= 80 for line in text.splitlines()[:-1])


def test_one_that_cannot_be_loaded_hides_no_other(own: Path) -> None:
    shutil.copytree(own / "prep", own / "prep 2019")  # a copy put aside, no level
    shutil.copytree(own / "prep", own / "torn")
    (own / "torn" / "clock.json").unlink()
    text = run("levels").stdout
    assert "prep  (your own, college rules)" in text
    assert "torn  (your own) cannot be loaded\n  no fit 'clock'" in text
    assert "2019" not in text.partition("prep  (")[2]
    assert list(json.loads(run("levels", "--json").stdout)["broken"]) == ["torn"]


def test_fits_of_two_runs_are_not_taken_for_one_level(own: Path) -> None:
    for suffix in (".json", ".npz"):
        shutil.copy2(shipped_folder("professional") / f"passing{suffix}", own / "prep")
    result = run("value", "--level", "prep", "--down", "1", "--distance", "10", "--ball", "own 25")
    assert result.exit_code != 0
    assert "fits of 2 runs lie in" in result.stderr
    assert "passing (professional, 100 refits)" in result.stderr


def test_a_shipped_name_is_not_shadowed(own: Path) -> None:
    shutil.copytree(own / "prep", own / "professional")
    listed = json.loads(run("levels", "--json").stdout)["levels"]
    assert [level["whose"] for level in listed if level["level"] == "professional"] == ["shipped"]


SPOT = ("--ball", "opp 40", "--down", 4, "--distance", 2, "--quarter", 2, "--clock", "8:00",
        "--us", 7, "--them", 3, "--season", 2016)  # fmt: skip


def test_a_value_is_marked_with_what_its_level_borrows(own: Path) -> None:
    college = run("value", *SPOT, "--level", "college")
    assert college.exit_code == 0, college.output
    assert "(college 2016 rules)" in college.stdout
    assert "takes over from professional play" in college.stdout
    prep = json.loads(run("value", *SPOT, "--level", "prep", "--json").stdout)
    shipped = json.loads(run("value", *SPOT, "--level", "college", "--json").stdout)
    assert prep["now"] == shipped["now"]
    assert prep["level"] == "prep"
    assert "all of passing" in prep["borrowed"]
    professional = json.loads(run("value", *SPOT, "--json").stdout)
    assert professional["borrowed"] == ""
    assert professional["now"] != shipped["now"]


def test_a_level_that_is_not_there_lists_those_that_are(own: Path) -> None:
    result = run("value", *SPOT, "--level", "sandlot")
    assert result.exit_code == 2
    assert "no fits for level 'sandlot'" in result.stderr
    assert "professional" in result.stderr
    assert "your own: prep" in result.stderr


def test_a_priced_log_says_what_its_level_borrows(log: Path, own: Path, tmp_path: Path) -> None:
    priced = run("price", log, "--out", tmp_path / "a", "--draws", 0, "--json")
    assert priced.exit_code == 0, priced.output
    found = json.loads(priced.stdout)
    assert any("takes over from professional play" in w for w in found["game"]["warnings"])
    assert {m["name"].partition("/")[0] for m in found["models"]} == {"college"}
    other = json.loads(
        run("price", log, "--out", tmp_path / "b", "--draws", 0, "--json", "--level", "prep").stdout
    )
    assert {m["name"].partition("/")[0] for m in other["models"]} == {"prep"}
    assert other["decisions"][0]["points"] == found["decisions"][0]["points"]
