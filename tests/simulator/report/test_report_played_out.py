"""Both witnesses in the page, in result.json and on the terminal."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from pointsleft.pricing.result import Beside, PlayedOut, PricedGame
from pointsleft.report.as_json import result_text
from pointsleft.report.as_text import LINES, WIDTH, summary
from pointsleft.report.figures import dearest
from pointsleft.report.page import render_page
from pointsleft.report.played_out_view import game_parting, parting, played_view

AGREE = Beside(0.5, 0.02, 0.51, 0.01, apart=False)
APART = Beside(1.25, 0.1, 0.75, 0.05, apart=True)
NOW = PlayedOut("before the snap", "2nd and 7 at own 40 <b>", 4000, APART, AGREE)
AFTER = PlayedOut("after dig, where it comes off", "1st and 10 at opp 46", 4000, None, AGREE)
FILES = {"report": Path("r.html"), "table": Path("t.csv"), "result": Path("j.json")}


@pytest.fixture
def played(game: PricedGame) -> PricedGame:
    """The two dearest decisions played out."""
    wanted = {d.snap for d, _ in dearest(game, "wins", 2)}
    return replace(
        game,
        decisions=tuple(
            replace(d, played_out=(NOW, AFTER)) if d.snap in wanted else d for d in game.decisions
        ),
    )


def test_where_they_part_is_said_with_size_and_side() -> None:
    assert parting([AFTER]) == "The two agree within their joint spread."
    told = parting([NOW, AFTER])
    assert "0.50 pts (before the snap; played out lower)" in told
    assert "WP" not in told
    higher = replace(NOW, points=replace(APART, played=2.0))
    assert "0.75 pts (before the snap; played out higher)" in parting([higher])


def test_every_known_value_has_a_row() -> None:
    view = played_view([NOW, AFTER])
    assert view is not None
    assert [(r.unit, r.apart) for r in view.rows] == [
        ("pts", True), ("% WP", False), ("% WP", False),
    ]  # fmt: skip
    first = view.rows[0]
    assert (first.value, first.spread, first.played, first.error) == (
        "1.25", "0.10", "0.75", "0.05",
    )  # fmt: skip
    assert view.games == "4,000"
    assert played_view([]) is None


def test_the_page_shows_them_in_the_entries(game: PricedGame, played: PricedGame) -> None:
    page, plain = render_page(played), render_page(game)
    assert page.count("<th>Two witnesses</th>") == 2
    assert page.count("beyond it") == 2
    assert "own 40 &lt;b&gt;" in page
    assert "own 40 <b>" not in page
    assert "4 situations played out; beyond the joint spread 2 of 2 (pts), 0 of 4 (% WP)." in page
    assert "<th>Two witnesses</th>" not in plain
    assert "--play-out" in plain
    assert "--play-out" not in page


def test_result_json_has_every_figure(game: PricedGame, played: PricedGame) -> None:
    found = [d["played_out"] for d in json.loads(result_text(played))["decisions"]]
    assert sum(map(bool, found)) == 2
    one = next(f for f in found if f)
    assert one[0]["points"] == {
        "value": 1.25, "spread": 0.1, "played": 0.75, "error": 0.05, "apart": True,
    }  # fmt: skip
    assert one[1]["points"] is None
    assert all(d["played_out"] == [] for d in json.loads(result_text(game))["decisions"])


def test_the_summary_has_a_line_and_still_fits(game: PricedGame, played: PricedGame) -> None:
    long = replace(played, warnings=("a warning that goes on and on " * 5, "another"))
    for one in (played, long):
        lines = summary(one, FILES).splitlines()
        assert len(lines) <= LINES
        assert max(map(len, lines)) <= WIDTH
        told = game_parting(one)
        assert told is not None
        assert told in lines
    assert game_parting(game) is None
