"""A level that leans on another: what it borrows, what it moves, and that games decide."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import polars as pl
import pytest
from invented_facts import table_to_fit
from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.resample import resample_games
from pointsleft_models.plays.checking import conform
from pointsleft_models.plays.complete import complete
from pointsleft_models.plays.sequence import with_next_snap
from pointsleft_models.recipes.borrowing import lacking, too_few, unsaid
from pointsleft_models.recipes.component import Component, fit_component
from pointsleft_models.recipes.kicking import KICKING
from pointsleft_models.recipes.level import best_way, settle
from pointsleft_models.recipes.passing import PASSING
from pointsleft_models.recipes.rushing import RUSHING

PARTS = {c.name: c for c in (*KICKING, *PASSING, *RUSHING)}


@pytest.fixture(scope="module")
def plays() -> pl.DataFrame:
    return with_next_snap(conform(complete(table_to_fit(3, 30)).plays))


@pytest.fixture(scope="module")
def bare(plays: pl.DataFrame) -> pl.DataFrame:
    """What a plain table says: no air yards, gaps, formations, runners out of bounds."""
    gone = ("air_yards", "yards_after_catch", "third", "gap", "shotgun", "out_of_bounds")
    return plays.with_columns(pl.lit(None, dtype=plays.schema[n]).alias(n) for n in gone)


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("complete", "do not say air_yards"),
        ("after", "air_yards and yards_after_catch"),
        ("complete+pressure", "no participation data"),
        ("run", None),
        ("extra point", None),
    ],
)
def test_what_a_plain_table_cannot_say(bare: pl.DataFrame, name: str, why: str | None) -> None:
    lack = lacking(PARTS[name], bare)
    if why is None:
        assert lack is None
    else:
        assert lack is not None
        assert why in lack.text


def test_a_rough_clock_teaches_no_clock(plays: pl.DataFrame) -> None:
    from pointsleft_models.recipes.clock import CLOCK, ENDING

    wait, last = CLOCK[0], ENDING[0]
    assert wait.name == "wait"
    assert lacking(wait, plays) is None
    rough = lacking(wait, plays, rough=("clock",))
    assert rough is not None
    assert rough.text == "the plays say clock only roughly"
    assert lacking(last, plays, rough=("clock",)) is not None


def test_too_few_plays_say_how_many_it_takes(plays: pl.DataFrame) -> None:
    some = plays.filter(pl.col("game") < "g05")
    lack = lacking(PARTS["extra point"], some)
    assert lack is not None
    assert "it takes 100 of 20" in lack.text
    rare = Component(
        "always", lambda p: p.with_columns(yes=pl.lit(True)), ("down",),
        Basis((Term((Levels("down", 5),), 1.0),)), yes="yes",
    )  # fmt: skip
    lack = too_few(rare, rare.rows(plays))
    assert lack is not None
    assert "0 of its" in lack.text
    assert "rarer way" in lack.text


def test_variables_of_which_the_plays_are_silent(plays: pl.DataFrame, bare: pl.DataFrame) -> None:
    assert unsaid(PARTS["run"], plays) == frozenset()
    assert unsaid(PARTS["run"], bare) == {"gap_code"}
    assert unsaid(PARTS["sack"], bare) == {"gun"}
    one = plays.filter(pl.col("season") == 2018)
    assert unsaid(PARTS["field goal"], plays) == frozenset()
    assert unsaid(PARTS["field goal"], one) == {"year"}


@pytest.mark.parametrize(
    ("losses", "way"),
    [
        ({"alone": 0.50, "moved": 0.51, "as it is": 0.52}, "alone"),
        ({"alone": 0.50995, "moved": 0.51, "as it is": 0.52}, "moved"),  # not ahead for sure
        ({"moved": 0.53, "as it is": 0.52, "marginal": 0.1}, "as it is"),
    ],
)
def test_the_way_with_the_least_loss_is_taken(losses: dict[str, float], way: str) -> None:
    assert best_way(losses) == way


def made(name: str, plays: pl.DataFrame) -> FittedLogit:
    fitted = fit_component(PARTS[name], plays, np.random.default_rng(1))
    assert isinstance(fitted, FittedLogit)
    return fitted


def test_a_level_like_the_other_keeps_near_it(plays: pl.DataFrame) -> None:
    other = with_next_snap(conform(complete(table_to_fit(4, 60)).plays))
    prior = made("extra point", other)
    resamples = resample_games(plays["game"].to_numpy(), 5, np.random.default_rng(2))
    settled = settle(
        PARTS["extra point"], plays, prior, np.random.default_rng(np.random.SeedSequence(1)),
        resamples,
    )  # fmt: skip
    assert settled.how in ("moved", "as it is")
    # 30 games are too few to stand alone
    assert set(settled.losses) == {"moved", "as it is", "marginal"}
    taken = settled.losses[settled.how]
    assert taken <= min(settled.losses["moved"], settled.losses["as it is"]) + 1e-12
    assert isinstance(settled.fitted, FittedLogit)
    assert len(settled.fitted.refits) == 5
    assert settled.rows == len(PARTS["extra point"].rows(plays))


def test_a_level_that_is_another_is_not_left_as_the_other_is(plays: pl.DataFrame) -> None:
    """Against a prior that is far off, held-out games must refuse it as it is."""
    prior = made("extra point", plays)
    wrong = replace(prior, coefficients=prior.coefficients + 4.0)
    resamples = resample_games(plays["game"].to_numpy(), 0, np.random.default_rng(2))
    settled = settle(
        PARTS["extra point"], plays, wrong, np.random.default_rng(np.random.SeedSequence(1)),
        resamples,
    )  # fmt: skip
    assert settled.how != "as it is"
    assert settled.losses["as it is"] > settled.losses[settled.how] + 0.1


def test_the_same_seed_settles_the_same(plays: pl.DataFrame) -> None:
    prior = made("extra point", plays)
    resamples = resample_games(plays["game"].to_numpy(), 5, np.random.default_rng(2))
    twice = [
        settle(
            PARTS["extra point"], plays, prior, np.random.default_rng(np.random.SeedSequence(9)),
            resamples,
        )
        for _ in range(2)
    ]  # fmt: skip
    assert twice[0].losses == twice[1].losses
    first, second = (s.fitted.arrays("x") for s in twice)
    assert all((first[name] == second[name]).all() for name in first)


def test_what_is_borrowed_is_the_other_levels_to_the_figure(bare: pl.DataFrame) -> None:
    basis = Basis((Term((Bends("air", (0, 20)),), 1.0),))
    prior = FittedLogit(basis, np.array([1.0, 2.0]), np.array([[1.1, 2.1], [0.9, 1.9]]))
    resamples = resample_games(bare["game"].to_numpy(), 5, np.random.default_rng(2))
    settled = settle(PARTS["complete"], bare, prior, np.random.default_rng(0), resamples)
    assert settled.how == "borrowed"
    assert settled.about() == {
        "how": "borrowed", "why": "the plays do not say air_yards",
    }  # fmt: skip
    assert isinstance(settled.fitted, FittedLogit)
    assert (settled.fitted.coefficients == prior.coefficients).all()
    assert (settled.fitted.refits[:2] == prior.refits).all()
    assert len(settled.fitted.refits) == 5
