"""The short cut of the trial is the pricing room's own answer, option by option."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from pointsleft.invent.looks import Look, draw_look
from pointsleft.invent.playbook import Play
from pointsleft.log.record import PLACEMENTS, TIMINGS, UNSEEN, WINDOWS, Happened, Snap
from pointsleft.pricing.execution import executed_law
from pointsleft.pricing.settings import PriceSettings
from pointsleft.pricing.snap import prepare, price_snap
from pointsleft.trial import deck as decks
from pointsleft.trial import parts as p
from pointsleft.trial.charting import NOISES, Noise, chart
from pointsleft.trial.deck import Deck
from pointsleft.trial.drives import Decisions
from pointsleft.trial.fits import one_refit
from pointsleft.trial.study import Plan
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.fitting.resample import others
from pointsleft_models.football.rules import rule_set
from pointsleft_models.football.situation import Situation
from pointsleft_models.laws.lattice import CELLS

RULES = rule_set("professional", 2019)
PLAYS = (
    Play("dagger", "play-action", "under"), Play("four verticals", "drop-back", "gun"),
    Play("read glance", "rpo", "gun"), Play("boot", "play-action", "under"),
    Play("back screen", "screen", "gun"), Play("stick", "quick", "gun"),
)  # fmt: skip


@pytest.fixture(scope="module")
def tool(models: Models) -> Worth:
    return one_refit(models, 1).under(RULES)


@pytest.fixture(scope="module")
def looks() -> list[Look]:
    rng = np.random.default_rng(12)
    found = []
    for i in range(18):
        spot = (75, 40, 12, 91, 55, 30)[i % 6]
        at = Situation(
            period=1, seconds=480, down=1 + i % 3, distance=min((10, 7, 3)[i % 3], spot),
            yards_to_goal=spot, lead=0, rules=RULES,
        )  # fmt: skip
        found.append(draw_look(at, rng, play=PLAYS[i % len(PLAYS)]))
    assert any(x.snap.defense.free_rusher for x in found)
    return found


@pytest.fixture(scope="module")
def deck(looks: list[Look], models: Models, tool: Worth) -> Deck:
    """A deck of these looks alone; the situations of the lattice do not matter here."""
    world = one_refit(models, 0).under(RULES)
    rows = [decks._look(look, world, tool, 1.0) for look in looks]
    none = np.zeros(1, int)
    empty: dict[str, Any] = dict.fromkeys(("first", "count", "run", "fourth", "kick"), none)
    return Deck(**empty, **{name: np.stack([r[name] for r in rows]) for name in rows[0]})


def worded(look: Look, word: str, hitches: int = 0) -> Snap:
    options = tuple(
        replace(o, window=word, hitches=(o.hitches or 0) + hitches) if o.kind == "throw" else o
        for o in look.options
    )
    return replace(look.snap, options=options)


def test_every_word_and_hitch_is_priced_alike(looks: list[Look], deck: Deck, tool: Worth) -> None:
    for n, look in enumerate(looks):
        for w, word in enumerate((*WINDOWS, UNSEEN)):
            values, _, models = prepare(tool, worded(look, word))
            for k, model in enumerate(models[: p.OPTIONS]):
                exact = values.exact(model, "points")
                assert deck.price[n, k, 1, w] == pytest.approx(exact, abs=1e-9), (n, model.id, word)
        values, _, models = prepare(tool, worded(look, "step", 1))
        for k, model in enumerate(models[: p.OPTIONS]):
            exact = values.exact(model, "points")
            assert deck.price[n, k, 2, 1] == pytest.approx(exact, abs=1e-9)


def test_execution_is_that_of_the_ledger(looks: list[Look], deck: Deck, tool: Worth) -> None:
    for n, look in enumerate(looks):
        snap = worded(look, "narrow")
        values, _, models = prepare(tool, snap)
        for k, model in enumerate(models[: p.OPTIONS]):
            if model.kind != "throw":
                continue
            plain = values.exact(model, "points")
            for grade in (0, 4, 10, 20):
                done = Happened(
                    result="incomplete", placement=PLACEMENTS[grade // len(TIMINGS)],
                    timing=TIMINGS[grade % len(TIMINGS)],
                )  # fmt: skip
                law = executed_law(model, replace(snap, happened=done))
                assert law is not None
                exact = float(values.value(law, "points", model.seconds)[0]) - plain
                assert deck.carried[n, k, 3, grade] == pytest.approx(exact, abs=1e-6)
            law = executed_law(model, replace(snap, happened=Happened(result="sack")))
            exact = 0.0 if law is None else float(
                values.value(law, "points", model.seconds)[0]
            ) - plain  # fmt: skip
            assert deck.sack_carried[n, k, 3] == pytest.approx(exact, abs=1e-9)


def decisions(look: np.ndarray, chosen: np.ndarray, grade: int = 0) -> Decisions:
    n = len(look)
    zero = np.zeros(n, int)
    return Decisions(zero, zero, look, chosen, np.full(n, grade), zero, zero, zero)


def test_left_is_that_of_the_ledger(looks: list[Look], deck: Deck, tool: Worth) -> None:
    """Exact words, every option in turn chosen: the whole of the pricing room beside it."""
    settings = PriceSettings(draws=0, judgement_draws=2, refits=False)
    for n, look in enumerate(looks):
        for k, option in enumerate(look.options[: p.OPTIONS]):
            words = [WINDOWS[w] for w in deck.word[n]]
            options = tuple(
                replace(o, window=w) if o.kind == "throw" else o
                for o, w in zip(look.options, words, strict=False)
            )
            result = {"throw": "complete", "scramble": "scramble", "throw-away": "throw-away"}
            done = Happened(
                chosen=option.id, result=result.get(option.kind, "run"), yards=0,
                placement="in-stride" if option.kind == "throw" else None,
                timing="early" if option.kind == "throw" else None,
            )  # fmt: skip
            snap = replace(look.snap, options=options, happened=done)
            priced = price_snap(tool, snap, None, settings, np.random.default_rng(1))
            found = decisions(np.array([n]), np.array([k]), 0 if option.kind == "throw" else -1)
            charted = chart(found, deck, Noise("exact"), np.random.default_rng(2))
            assert priced.points is not None
            assert charted.left[0] == pytest.approx(priced.points.left, abs=1e-9)
            assert charted.delivered[0] == pytest.approx(priced.points.delivered, abs=1e-6)
            assert deck.before[n] == pytest.approx(priced.points.before)


def test_an_option_left_out_moves_up_the_others(deck: Deck) -> None:
    """Without the best option there is less to leave."""
    n = len(deck.kind)
    found = decisions(np.arange(n).repeat(50), np.zeros(50 * n, int))
    full = chart(found, deck, Noise("exact"), np.random.default_rng(1)).left
    less = chart(found, deck, Noise("blind", missed=0.6), np.random.default_rng(1)).left
    assert (full >= 0).all()
    assert (less >= 0).all()
    assert less.mean() < full.mean()


def test_noise_is_as_told(deck: Deck) -> None:
    n = len(deck.kind)
    found = decisions(np.arange(n).repeat(400), np.zeros(400 * n, int))
    words = chart(found, deck, Noise("x", slip=0.3), np.random.default_rng(3)).words
    true = deck.word[found.look]
    middle = (true > 0) & (true < 4)
    assert (words != true)[middle].mean() == pytest.approx(0.3, abs=0.01)
    assert np.abs(words - true).max() == 1
    lots = chart(found, deck, NOISES[-3], np.random.default_rng(3)).words
    assert NOISES[-3].by_lot
    seen = lots[:, 0] < len(WINDOWS)
    assert abs(np.corrcoef(lots[seen, 0], true[seen, 0])[0, 1]) < 0.03


def test_a_grade_has_the_chances_of_the_plain_law(deck: Deck) -> None:
    """Over judgements as they occur the true chances average to those of the law."""
    from pointsleft.pricing.execution import grade_table

    share, _, _ = grade_table()
    throws = deck.there & (deck.kind == p.THROW)
    assert deck.ball[throws].sum(-1) == pytest.approx(1, abs=1e-5)
    mean = (deck.ball[throws] * share[:, None]).sum(-2)
    caught = mean[..., 0] + mean[..., 1]
    best, worst = deck.ball[throws][..., 0, :], deck.ball[throws][..., -1, :]
    assert (best[..., 0] + best[..., 1] > caught).all()
    assert (worst[..., 0] + worst[..., 1] < caught).all()


def test_slots_keep_the_mean() -> None:
    rng = np.random.default_rng(1)
    law = rng.dirichlet(np.full(CELLS, 0.05))
    value = rng.standard_normal(CELLS)
    drawn = p.slots(law)
    assert value[drawn].mean() == pytest.approx(law @ value, abs=0.03)


def test_film_and_tool_share_no_game() -> None:
    plan = Plan()
    assert plan.tool in others(plan.world)


def test_a_refit_alone_is_that_refit(models: Models) -> None:
    name = "complete"
    alone = one_refit(models, 3)
    assert alone.refits == 0
    columns = {
        "air": 12, "third_code": 2, "near": 30, "in_end_zone": 0, "down0": 1, "pressure_code": 0,
        "route_code": 0, "shell_code": 0, "year": 10,
    }  # fmt: skip
    every = models.library.logit(name).eta(columns, refits=True)
    one = alone.library.logit(name).eta(columns)
    assert float(one.ravel()[0]) == pytest.approx(float(every[4].ravel()[0]), abs=1e-6)
    assert float(one.ravel()[0]) != pytest.approx(float(every[0].ravel()[0]), abs=1e-6)
