"""The three files: all or nothing, never half."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from pointsleft.pricing.result import Interval, PricedGame
from pointsleft.report.as_json import NotWritableError
from pointsleft.report.write import write_files


def test_three_files_and_nothing_else(game: PricedGame, tmp_path: Path) -> None:
    written = write_files(game, tmp_path / "new" / "place")
    names = sorted(p.name for p in (tmp_path / "new" / "place").iterdir())
    assert names == ["decisions.csv", "report.html", "result.json"]
    assert json.loads(written.result.read_text("utf-8"))["game"]["title"] == game.title
    assert written.table.read_text("utf-8").startswith("snap,clip,situation")
    assert written.report.read_text("utf-8").startswith("<!DOCTYPE html>")
    assert list(written.named()) == ["report", "table", "result"]


def test_a_fault_leaves_the_old_files(game: PricedGame, tmp_path: Path) -> None:
    written = write_files(game, tmp_path)
    before = {p: p.read_bytes() for p in written.named().values()}
    first = game.decisions[0]
    assert first.wins is not None
    bad = replace(first, wins=replace(first.wins, interval_judgement=Interval(0.0, float("inf"))))
    with pytest.raises(NotWritableError):
        write_files(replace(game, title="another", decisions=(bad,)), tmp_path)
    assert {p: p.read_bytes() for p in written.named().values()} == before
    assert len(list(tmp_path.iterdir())) == 3


def test_same_game_same_files(game: PricedGame, tmp_path: Path) -> None:
    one, other = write_files(game, tmp_path / "a"), write_files(game, tmp_path / "b")
    for a, b in zip(one.named().values(), other.named().values(), strict=True):
        assert a.read_bytes() == b.read_bytes()
