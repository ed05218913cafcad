"""Pricing a whole log: the same for the same seed, decision by decision."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import pytest
from game_sample import ROWS, priced, tiny
from pointsleft.game.price import price_game
from pointsleft.pricing.result import CURRENCIES
from pointsleft.pricing.settings import PriceSettings
from pointsleft_models.bundle import SPREAD, Models
from pointsleft_models.fitting.store import StoreError

DRAWN = PriceSettings(draws=500, judgement_draws=20, refits=False)


def test_the_same_seed_gives_the_same_game(models: Models) -> None:
    assert priced(models, tiny(), DRAWN) == priced(models, tiny(), DRAWN)


def test_another_seed_moves_draws_and_no_exact_figure(models: Models) -> None:
    one, other = (priced(models, tiny(), replace(DRAWN, seed=s)) for s in (1, 2))
    drawn = [
        [getattr(d, c).outcome.chosen.draws_mean for d in game.decisions for c in CURRENCIES]
        for game in (one, other)
    ]
    assert drawn[0] != drawn[1]
    for mine, theirs in zip(one.decisions, other.decisions, strict=True):
        for currency in CURRENCIES:
            a, b = getattr(mine, currency), getattr(theirs, currency)
            for name in ("before", "after", "offered", "left", "delivered", "breaks", "best"):
                assert getattr(a, name) == getattr(b, name)
            assert a.outcome.chosen.mean == b.outcome.chosen.mean


def test_the_draws_of_a_decision_do_not_depend_on_what_happened_before_it(
    models: Models,
) -> None:
    """A value changed in the first decision leaves every draw of the others where it was."""
    other = ({**ROWS[0], "options": "curl11.r/s curl11.l/e* flat1.r/n"}, *ROWS[1:])
    one, two = priced(models, tiny(), DRAWN), priced(models, tiny(other), DRAWN)
    assert one.decisions[0] != two.decisions[0]
    assert one.decisions[1:] == two.decisions[1:]


def test_progress_sees_every_decision_and_changes_nothing(models: Models) -> None:
    seen: list[tuple[int, str]] = []

    def watch(items: Iterable[Any], total: int, what: str) -> Iterable[Any]:
        seen.append((total, what))
        return items

    watched = price_game(tiny(), DRAWN, models=models, progress=watch)
    assert seen == [(4, "pricing decisions")]
    assert watched == priced(models, tiny(), DRAWN)


def test_counts_and_models_are_those_of_the_game(models: Models) -> None:
    game = priced(models, tiny(), DRAWN)
    assert game.counts["snaps"] == len(ROWS)
    assert game.counts["decisions"] == len(game.decisions) == 4
    assert game.counts["options"] == 3 + 2 + 2 + 2
    for currency in CURRENCIES:
        words = [game.counts[f"{w}_{currency}"] for w in ("firm", "slight", "unsettled")]
        assert sum(words) == 4
        best = sum(getattr(d, currency).best == d.chosen for d in game.decisions)
        assert game.counts[f"best_taken_{currency}"] == best
    assert {m["hash"] for m in game.models} == {fit.digest for fit in models.fits.values()}
    assert (game.seed, game.draws, game.rules) == (1, 500, "professional 2019")


def test_assumptions_are_counted_and_each_has_its_text(models: Models) -> None:
    game = priced(models, tiny(), DRAWN)
    listed = [a.code for d in game.decisions for a in d.assumptions]
    assert dict(game.assumptions) == {code: listed.count(code) for code in set(listed)}
    assert "drop.default" in game.assumptions
    assert set(game.assumption_texts) == set(game.assumptions)
    assert all(game.assumption_texts.values())
    counts = list(game.assumptions.values())
    assert counts == sorted(counts, reverse=True)


def test_what_is_done_with_a_spread_is_said(models: Models) -> None:
    plain, given = (priced(models, tiny(spread=s), DRAWN) for s in (None, 3.5))
    assert plain.beforehand == ""
    assert "(favoured by 3.5)" in given.beforehand
    assert not any("spread" in w for w in (*plain.warnings, *given.warnings))
    bare = Models(models.level, {n: f for n, f in models.fits.items() if n != SPREAD})
    unused = priced(bare, tiny(spread=3.5), DRAWN)
    assert unused.beforehand == ""
    assert any("spread is kept but not used" in w for w in unused.warnings)


def test_the_spread_of_a_log_reaches_every_snap(models: Models) -> None:
    """A favourite starts higher in wins and nowhere else in points."""
    plain, given = (priced(models, tiny(spread=s), DRAWN) for s in (None, 10.0))
    lines, other = plain.lines["wins"], given.lines["wins"]
    assert lines is not None
    assert other is not None
    assert other.start > lines.start + 0.02
    assert given.lines["points"] == plain.lines["points"]
    for one, two in zip(plain.decisions, given.decisions, strict=True):
        assert one.points == two.points
        assert one.wins is not None
        assert two.wins is not None
        assert two.wins.before > one.wins.before
        for here, there in zip(one.options, two.options, strict=True):  # what follows knows it too
            assert here.wins is not None
            assert there.wins is not None
            assert there.wins - here.wins == pytest.approx(
                two.wins.before - one.wins.before, abs=0.05
            )
            assert there.wins > here.wins


def test_a_log_without_a_spread_is_priced_as_if_nothing_were_known_of_spreads(
    models: Models,
) -> None:
    bare = Models(models.level, {n: f for n, f in models.fits.items() if n != SPREAD})
    one, other = priced(bare, tiny(), DRAWN), priced(models, tiny(), DRAWN)
    assert one.decisions == other.decisions
    assert one.lines == other.lines
    equal = priced(models, tiny(spread=0), DRAWN)
    assert equal.decisions != one.decisions  # to know that teams are equal is to know something


def test_a_level_without_fits_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pointsleft_models.bundle.shipped_levels", lambda: ())
    monkeypatch.setenv("POINTSLEFT_CACHE", "nowhere")
    with pytest.raises(StoreError, match="no fits for level 'college'"):
        price_game(tiny(level="college"), DRAWN)


def test_a_log_without_a_decision_is_a_game_without_figures(models: Models) -> None:
    game = priced(models, tiny((ROWS[1] | ROWS[0] | {"options": ""},), final_them=0,
                               final_us=0), DRAWN)  # fmt: skip
    assert game.decisions == ()
    assert game.headline["decisions"] == 0
    assert game.headline["points_left"] is None
    assert game.totals["points"] == {}
    line = game.lines["points"]
    assert line is not None
    assert line.priced == 0.0


def test_without_refits_the_verdicts_come_with_a_warning(models: Models) -> None:
    without, given = (priced(models, tiny(), replace(DRAWN, refits=r)) for r in (False, True))
    assert any("no refits" in w for w in without.warnings)
    assert not any("no refits" in w for w in given.warnings)
