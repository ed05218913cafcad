"""Figures and sentences as a reader sees them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft.pricing.result import BreakEven, DecisiveJudgement, PricedGame
from pointsleft.report import figures, sentences
from pointsleft.report.numbers import amount, bare, fixed, percent


@given(st.floats(-1e4, 1e4), st.integers(0, 4))
def test_fixed_reads_back(value: float, decimals: int) -> None:
    text = fixed(value, decimals)
    assert float(text.replace("−", "-")) == pytest.approx(value, abs=0.51 * 10**-decimals)
    assert not (text.startswith("−") and float(text[1:]) == 0)


@given(st.floats(0, 1))
def test_percent_claims_certainty_only_where_it_is(share: float) -> None:
    assert (percent(share) == "100%") == (share == 1)
    assert (percent(share) == "0%") == (share == 0)


def test_units() -> None:
    assert amount(-0.004, "points") == "0.00 pts"
    assert amount(0.141, "wins", plus=True) == "+14.1% WP"
    assert bare(0.141, "wins") == "14.1"


def test_three_sentences_with_units_from_the_data(game: PricedGame) -> None:
    said = sentences.hurried(game)
    assert len(said) == 3
    top, entry = figures.dearest(game, "wins", 1)[0]
    assert f"snap {top.snap} " in said[1]
    assert amount(entry.left, "wins") in said[1]
    assert str(len(game.decisions)) in said[0]
    assert "pts" in said[0]
    assert "% WP" in said[0]


def test_ranking_and_counts(game: PricedGame) -> None:
    ranked = [e.left for _, e in figures.dearest(game, "wins", 100)]
    assert ranked == sorted(ranked, reverse=True)
    assert all(left > 0 for left in ranked)
    assert sum(figures.verdict_counts(game, "wins").values()) == len(game.decisions)
    by_verdict = figures.left_by_verdict(game, "wins")
    total = sum(d.wins.left for d in game.decisions if d.wins)
    assert sum(by_verdict.values()) == pytest.approx(total)


def test_main_currency(game: PricedGame, without_clock: PricedGame, overtime: PricedGame) -> None:
    assert figures.main_currency(game) == "wins"
    assert figures.main_currency(without_clock) == "points"
    assert figures.main_currency(overtime) == "wins"


def test_taken_share_and_hits_agree_with_the_engine(game: PricedGame) -> None:
    """Where the engine leaves a figure out it is worked out from the decisions, and agrees."""
    bare_game = replace(game, headline={}, hits={})
    for currency in ("points", "wins"):
        found = figures.taken_share(bare_game, currency)
        assert found == pytest.approx(game.headline[f"{currency}_taken"])
    assert figures.hits(bare_game, "wins") == pytest.approx(figures.hits(game, "wins"))


def test_break_even_sentences(game: PricedGame) -> None:
    decision = next(d for d in game.decisions if len([o for o in d.options if o.kind == "throw"]))
    throw = next(o.id for o in decision.options if o.kind == "throw")
    tie = sentences.break_even(decision, BreakEven(throw, 0.41, 0.58, "narrow"), "points")
    assert tie is not None
    assert "41%" in tie
    assert "58%" in tie
    assert "narrow" in tie
    run = replace(decision, options=(replace(decision.options[0], id="give", kind="give"),))
    assert sentences.break_even(run, BreakEven("give", None, None, None), "points") is None


@pytest.mark.parametrize(
    ("kind", "sure"),
    [("throw", "every throw to it caught"), ("go", "sure to convert"), ("field-goal", "good")],
)
def test_where_nothing_ties_the_one_ahead_is_named(game: PricedGame, kind: str, sure: str) -> None:
    decision = game.decisions[0]
    chosen, other = (replace(o, points=1.0) for o in decision.options[:2])
    tie = BreakEven("dig", None, None, None)

    def said(points: float | None) -> str | None:
        option = replace(other, id="dig", kind=kind, points=points)
        now = replace(decision, chosen=chosen.id, options=(chosen, option))
        return sentences.break_even(now, tie, "points")

    ahead, behind = said(2.0), said(0.0)
    assert ahead is not None
    assert behind is not None
    assert f"dig is worth more than {chosen.id} at any" in ahead
    assert f"dig is worth less than {chosen.id} even were" in behind
    assert sure in behind
    assert said(None) is None


def test_decisive_sentence() -> None:
    said = sentences.decisive(DecisiveJudgement("window of post", "step", "narrow", "dig", 2.0))
    assert "window of post" in said
    assert "at narrow, 2.0 times its doubt away, dig would be best" in said
    within = DecisiveJudgement("window of dig", "even", "even (56% complete)", "flat", 0.13)
    assert "put at even: still even but 56% complete, 0.1 times" in sentences.decisive(within)
    over = DecisiveJudgement("window of dig", "even", "step (71% complete)", "flat", 1.4)
    assert "at step (71% complete), 1.4 times" in sentences.decisive(over)
    assert "No single judgement" in sentences.decisive(None)


def test_both_bests_are_named_where_they_differ(game: PricedGame) -> None:
    decision = next(d for d in game.decisions if d.points and d.wins and len(d.options) > 2)
    assert decision.points is not None
    other = next(o.id for o in decision.options if o.id not in (decision.chosen, "x"))
    third = next(o.id for o in decision.options if o.id not in (decision.chosen, other))
    assert decision.wins is not None
    split = replace(
        decision,
        points=replace(decision.points, best=other),
        wins=replace(decision.wins, best=third),
    )
    said = sentences.chosen_and_best(split)
    assert f"for points: {other}" in said
    assert f"for winning: {third}" in said


def test_an_unknown_option_is_named(game: PricedGame) -> None:
    with pytest.raises(KeyError, match="no option 'nowhere'"):
        figures.option(game.decisions[0], "nowhere")


def test_assumption_marks() -> None:
    marks = figures.marks(tuple(f"code {i}" for i in range(60)))
    assert list(marks.values())[:3] == ["a", "b", "c"]
    assert marks["code 25"] == "z"
    assert marks["code 26"] == "aa"
    assert len(set(marks.values())) == 60
