"""``pointsleft rank``: from folders of logs to a ranking, and how it fails."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pointsleft.cli.main import main

HEAD = "snap,quarter,clock,us,them,down,distance,ball,our timeouts,their timeouts,family,options,\
result,yards\n"

#: Chosen option (the one with the star) and the result, snap by snap.
OPTIONS = (
    ("curl11.r/n* curl11.l/e flat1.r/l", "incomplete", ""),
    ("curl11.r/n curl11.l/e flat1.r/l*", "complete", "4"),
    ("dig14.m/s post22.m/n* flat2.l/l", "incomplete", ""),
    ("dig14.m/s* post22.m/n flat2.l/l", "complete", "15"),
)


def write_log(folder: Path, player: str, them: str, shift: int, snaps: int = 10) -> None:
    folder.mkdir(parents=True)
    (folder / "game.csv").write_text(
        f"item,value\nlevel,professional\nseason,2019\nus,Larks\nthem,{them}\n"
        f"quarterback,{player}\nsnaps logged,some\ncharter,ab\n"
    )
    rows = []
    for at in range(snaps):
        options, result, yards = OPTIONS[(at * (shift + 1) + shift) % len(OPTIONS)]
        rows.append(
            f"{at + 1},{1 + at * 4 // snaps},{14 - at}:00,0,0,{1 + at % 3},10,own {20 + at},3,3,"
            f"drop-back,{options},{result},{yards}"
        )
    (folder / "snaps.csv").write_text(HEAD + "\n".join(rows) + "\n")


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, ["rank", *map(str, arguments)])


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("season") / "logs"
    write_log(folder / "a1", "Pim Ostrey", "Moles", 0)
    write_log(folder / "b1", "Holt Bracken", "Voles", 2)
    return folder


@pytest.fixture(autouse=True)
def cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path_factory.getbasetemp() / "rank-cache"
    monkeypatch.setenv("POINTSLEFT_CACHE", str(folder))
    return folder


def content(folder: Path) -> dict[str, bytes]:
    return {str(p): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_it_ranks_says_so_and_keeps_what_it_priced(
    season: Path, tmp_path: Path, cache: Path
) -> None:
    before = content(season)
    done = run(season, "--out", tmp_path / "out", "--workers", 1, "--workbook")
    assert done.exit_code == 0, done.output
    assert "Pim Ostrey" in done.stdout
    assert "Holt Bracken" in done.stdout
    assert "delivered in points is not given" in " ".join(done.stdout.split())
    assert max(map(len, done.stdout.splitlines()[:-9])) <= 80
    for name in ("class.html", "players.csv", "ranking.json", "tables.xlsx"):
        assert (tmp_path / "out" / name).stat().st_size > 500
    assert (tmp_path / "out" / "players" / "pim-ostrey.html").is_file()
    assert content(season) == before
    assert len(list((cache / "priced-games").glob("*.json"))) == 2
    again = run(season, "--out", tmp_path / "again")
    assert "0 priced now, 2 kept" in again.stderr
    assert (tmp_path / "again" / "ranking.json").read_bytes() == (
        tmp_path / "out" / "ranking.json"
    ).read_bytes()


def test_json_is_the_file_that_is_written(season: Path, tmp_path: Path) -> None:
    done = run(season, "--out", tmp_path, "--json", "--by", "wins")
    assert done.exit_code == 0, done.output
    said = json.loads(done.stdout)
    assert said == json.loads((tmp_path / "ranking.json").read_text(encoding="utf-8"))
    assert said["main"] == "wins"
    assert said["standings"]["points"]["left"]["order"]


def test_too_little_is_one_message(tmp_path: Path) -> None:
    write_log(tmp_path / "log", "Pim Ostrey", "Moles", 0, snaps=2)
    done = run(tmp_path / "log", "--out", tmp_path / "out")
    assert done.exit_code == 1
    assert "at least 8 are needed" in done.stderr
    assert not (tmp_path / "out").exists()


def test_faults_of_all_logs_and_nothing_written(tmp_path: Path) -> None:
    for name in ("one", "two"):
        write_log(tmp_path / "logs" / name, "Pim Ostrey", name, 0)
        snaps = tmp_path / "logs" / name / "snaps.csv"
        snaps.write_text(snaps.read_text().replace("own 20", "nowhere"))
    done = run(tmp_path / "logs", "--out", tmp_path / "out")
    assert done.exit_code == 1
    assert " ".join(done.stderr.split()).count("has 1 fault") == 2
    assert not (tmp_path / "out").exists()
    as_json = run(tmp_path / "logs", "--out", tmp_path / "out", "--json")
    assert as_json.exit_code == 1
    assert len(json.loads(as_json.stdout)["faults"]) == 2


def test_wrong_use(tmp_path: Path) -> None:
    gone = run(tmp_path / "gone")
    assert gone.exit_code == 2
    assert "there is nothing here" in gone.stderr
    assert run().exit_code == 2
    (tmp_path / "empty").mkdir()
    assert run(tmp_path / "empty").exit_code == 1
