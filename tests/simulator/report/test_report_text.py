"""The summary on the terminal."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pointsleft.pricing.result import PricedGame
from pointsleft.report.as_text import LINES, WIDTH, summary
from pointsleft.report.cautions import CAUTION_LINE
from pointsleft.report.figures import dearest
from pointsleft.report.safe_text import clean, columns, cut, pad
from sample import make_game

FILES = {
    "report": Path("out/demo/report.html"),
    "table": Path("out/demo/decisions.csv"),
    "result": Path("out/demo/result.json"),
}


def fits(text: str) -> None:
    lines = text.splitlines()
    assert len(lines) <= LINES == 30
    assert max(columns(line) for line in lines) <= WIDTH == 80


def test_what_it_says(game: PricedGame) -> None:
    text = summary(game, FILES)
    fits(text)
    assert text.startswith(game.title)
    for decision, entry in dearest(game, "wins", 5):
        line = next(x for x in text.splitlines() if x.startswith(decision.clip or "?"))
        assert f"{entry.left * 100:.1f}" in line
        assert entry.verdict in line
    for path in FILES.values():
        assert str(path) in text
    assert text.rstrip().endswith(CAUTION_LINE)
    assert all(word in text for word in ("firm", "slight", "unsettled", "Left on the field"))


@pytest.mark.parametrize("kind", ["without_clock", "overtime"])
def test_one_currency(kind: str, request: pytest.FixtureRequest) -> None:
    text = summary(request.getfixturevalue(kind), FILES)
    fits(text)
    assert ("% WP (90%" in text) == (kind == "overtime")
    assert ("pts (90%" in text) == (kind == "without_clock")


def test_no_decision_at_all(game: PricedGame) -> None:
    empty = replace(game, decisions=(), total_left={}, totals={}, headline={}, assumptions={})
    fits(summary(empty, FILES))


@settings(max_examples=60, deadline=None)
@given(st.text(min_size=1), st.text(min_size=1), st.integers(0, 50))
def test_strangers_text_never_breaks_out(title: str, concept: str, seed: int) -> None:
    game = make_game(seed % 3, 12, title=title, quarterback=title)
    decisions = tuple(
        replace(d, clip=title, concept=concept, situation=title) for d in game.decisions
    )
    totals = {
        c: {
            "concept": tuple(
                replace(t, group=concept, decisions=5) for t in groups.get("concept", ())
            )
        }
        for c, groups in game.totals.items()
    }
    warned = replace(game, decisions=decisions, totals=totals, warnings=(title, concept))
    text = summary(warned, FILES)
    fits(text)
    assert clean(text) == text


def test_escape_sequences_do_not_reach_the_terminal() -> None:
    text = summary(make_game(1, 8, title="a\x1b[31mred\x07\u202eback"))
    assert "\x1b" not in text
    assert "\x07" not in text
    assert "\u202e" not in text


def test_the_first_warning_and_the_rules_are_not_cut(game: PricedGame) -> None:
    warning = "the pre-game spread is kept but not used: this level has no fit of what it changes"
    long = replace(game, us="Brackwater Herons", them="Stonefen Masons", warnings=(warning,))
    text = summary(long)
    fits(text)
    assert warning in " ".join(text.split())
    assert f"Rules: {game.rules}" in text
    assert "…" not in text


def test_a_path_is_never_cut(game: PricedGame) -> None:
    long = Path("/".join(["directory"] * 12)) / "report.html"
    assert str(long) in summary(game, {"report": long})


@given(st.text(), st.integers(1, 40))
def test_cut_and_pad_keep_their_width(text: str, width: int) -> None:
    assert columns(cut(text, width)) <= width
    assert columns(pad(text, width)) == width
