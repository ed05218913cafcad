"""The dearest decisions played out: those and no others, and no priced figure moves."""

from __future__ import annotations

from dataclasses import replace

import pytest
from game_sample import changed, priced, tiny
from pointsleft.game.dearest import dearest, main_currency
from pointsleft.game.played_out import with_played_out
from pointsleft.pricing.result import PricedGame
from pointsleft_models.bundle import Models
from pointsleft_models.football.rules import rule_set
from pointsleft_models.playthrough.load import load_playthrough

GAMES = 400

#: A game with more than one miss.
LOG = tiny(changed(0, options="curl11.r/l curl11.l/x* flat1.r/n"))


@pytest.fixture(scope="module")
def plain(models: Models) -> PricedGame:
    return priced(models, LOG)


def played(plain: PricedGame, models: Models, most: int) -> PricedGame:
    parts = load_playthrough(rule_set(LOG.level, LOG.season))
    return with_played_out(plain, LOG, models, parts, most, games=GAMES)


def test_the_dearest_and_no_others(plain: PricedGame, models: Models) -> None:
    found = played(plain, models, 2)
    wanted = {d.snap for d, _ in dearest(plain, main_currency(plain), 2)}
    assert len(wanted) == 2
    assert {d.snap for d in found.decisions if d.played_out} == wanted


def test_no_priced_figure_moves(plain: PricedGame, models: Models) -> None:
    found = played(plain, models, 2)
    bare = tuple(replace(d, played_out=()) for d in found.decisions)
    assert replace(found, decisions=bare) == plain


def test_the_first_situation_is_the_one_that_was_priced(plain: PricedGame, models: Models) -> None:
    for decision in played(plain, models, 3).decisions:
        for at, one in enumerate(decision.played_out):
            assert one.games == GAMES
            if at == 0:
                assert one.situation == decision.situation
                assert one.wins is not None
                assert decision.wins is not None
                assert one.wins.value == pytest.approx(decision.wins.before, abs=1e-12)
            else:
                assert one.situation != decision.situation
                assert decision.wins is not None
                assert one.when == f"after {decision.wins.best}, where it comes off"


def test_the_same_twice(plain: PricedGame, models: Models) -> None:
    assert played(plain, models, 1) == played(plain, models, 1)
