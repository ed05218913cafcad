"""The demo class holds what it promises."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Mapping
from pathlib import Path

import pytest
from pointsleft.invent import demo_class
from pointsleft.log import check_log, read_log
from pointsleft.log.check import counts
from pointsleft.log.record import LoggedGame

DATA = Path(__file__).parents[3] / "data_demo"
LOGS = sorted(p for p in (DATA / "class").iterdir() if p.is_dir())


def truth(name: str) -> list[dict[str, str]]:
    text = (DATA / "class-truth" / f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@pytest.fixture(scope="module")
def games() -> Mapping[str, LoggedGame]:
    return {path.name: read_log(path) for path in LOGS}


@pytest.mark.parametrize("path", LOGS, ids=lambda p: p.name)
def test_every_log_checks_clean(path: Path) -> None:
    report = check_log(path)
    assert report.faults == ()
    assert report.warnings == ()


def test_a_broken_log_would_be_seen(tmp_path: Path) -> None:
    """Negative control: one yard too many on one row."""
    for file in LOGS[0].iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    rows = list(csv.reader((tmp_path / "snaps.csv").read_text(encoding="utf-8").splitlines()))
    yards, down = rows[0].index("yards"), rows[0].index("down")
    at = next(i for i in range(1, len(rows) - 1) if rows[i][yards] and not rows[i + 1][down])
    rows[at][yards] = str(int(rows[at][yards]) + 1)
    rows[at + 1][rows[0].index("ball")] = "own 1"
    with (tmp_path / "snaps.csv").open("w", encoding="utf-8", newline="") as out:
        csv.writer(out).writerows(rows)
    assert not check_log(tmp_path).clean


def test_it_is_a_class(games: Mapping[str, LoggedGame]) -> None:
    assert len({g.quarterback for g in games.values()}) >= 6
    played = {(g.quarterback, g.title) for g in games.values()}
    assert len(played) >= 20
    assert min(Counter(name for name, _ in played).values()) == 1, "one with a single game"
    assert len(games) > len(played), "some game has two charters"
    assert len({g.charter for g in games.values()}) == 2
    assert all(counts(g)["decisions"] >= 25 for g in games.values())


def test_it_says_that_it_is_invented(games: Mapping[str, LoggedGame]) -> None:
    for game in games.values():
        assert "invented" in game.extra["about"]
        assert "(invented)" in game.extra["league"]


def test_the_truth_is_that_of_the_script(games: Mapping[str, LoggedGame]) -> None:
    told = {r["quarterback"]: r for r in truth("quarterbacks")}
    for q in demo_class.QUARTERBACKS:
        row = told[q.name]
        assert float(row["decision error"]) == q.decision_error
        assert float(row["accuracy"]) == q.accuracy
    assert {r["log"] for r in truth("games")} == set(games)
    for row in truth("games"):
        game = games[row["log"]]
        assert (game.quarterback, game.charter) == (row["quarterback"], row["charter"])
        assert (str(game.final_us), str(game.final_them)) == (row["us"], row["them"])


def test_worse_deciders_leave_more() -> None:
    rows = sorted(truth("quarterbacks"), key=lambda r: float(r["decision error"]))
    left = {r["quarterback"]: float(r["left a decision"]) for r in rows}
    assert left["Perrin Ostlow"] < left["Jorah Tindlemere"] < left["Teague Marrowby"]
    better = sorted(truth("quarterbacks"), key=lambda r: float(r["accuracy"]))
    delivered = [float(r["delivered a decision"]) for r in better]
    assert delivered == sorted(delivered)


def test_both_charters_saw_the_same_game(games: Mapping[str, LoggedGame]) -> None:
    skipped = []
    for name, second in games.items():
        if not name.endswith("-rk"):
            continue
        first = games[name.removesuffix("-rk")]
        assert (first.us, first.them, first.final_us) == (second.us, second.them, second.final_us)
        assert not second.every_snap
        skipped.append(len(first.snaps) - len(second.snaps))
    assert len(skipped) == 2
    assert max(skipped) > 0, "the second leaves snaps out now and then"
