"""What a spread adds: nothing where it says nothing, the rest of the game where it does."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import polars as pl
import pytest
from pointsleft_models.bundle import Worth
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.resample import resample_games
from pointsleft_models.recipes import win_spread
from pointsleft_models.recipes.plan import FitPlan
from pointsleft_models.recipes.win_spread import (
    fit_spread,
    fit_spreads,
    plain_odds,
    score_spread,
    spread_basis,
    spread_rows,
    spread_states,
)
from pointsleft_models.values.favoured import Favoured, spread_columns
from pointsleft_models.values.rest import MARGIN_SD
from pointsleft_models.values.states import States, states
from scipy.special import expit

MANY = 40_000

Array = np.ndarray


def _games(worth: float) -> tuple[States, Array, Array]:
    """Games of which the spread moves the log odds by ``worth`` of its edge."""
    rng = np.random.default_rng(6)
    seconds = rng.integers(0, 3601, MANY)
    at = states(
        half=np.where(seconds > 1800, 1, 2), half_seconds=np.where(seconds > 1800, seconds - 1800,
        seconds), spread=rng.normal(0, 6, MANY), home=rng.choice([-0.5, 0.5], MANY),
    )  # fmt: skip
    odds = rng.normal(0, 1.2, MANY)
    edge = spread_columns(at, odds)["edge"]
    result = (rng.random(MANY) < expit(odds + worth * edge)).astype(float)
    return at, odds, result


def _with(fit: FittedLogit, at: States, odds: Array) -> Array:
    return expit(Favoured(fit).odds(odds[None], at)[0])


def test_a_spread_that_speaks_is_heard() -> None:
    at, odds, result = _games(1.7)
    fit = fit_spread(at, odds, result, np.random.default_rng(1))
    slopes = fit.coefficients[:4]
    assert slopes[1:] == pytest.approx([1.7] * 3, abs=0.15)

    def loss(p: Array) -> float:
        return float(-np.where(result == 1, np.log(p), np.log1p(-p)).mean())

    assert loss(_with(fit, at, odds)) < loss(expit(odds)) - 0.02


def test_a_spread_that_says_nothing_changes_nothing() -> None:
    """Control: the result does not know the spread."""
    at, odds, result = _games(0.0)
    fit = fit_spread(at, odds, result, np.random.default_rng(1))
    moved = np.abs(_with(fit, at, odds) - expit(odds))
    assert moved.max() < 0.04
    assert moved.mean() < 0.005
    told = fit_spread(*_games(1.7), np.random.default_rng(1))
    assert np.abs(_with(told, at, odds) - expit(odds)).mean() > 0.05


def test_a_spread_never_counts_against_the_favourite() -> None:
    fit = fit_spread(*_games(-1.0), np.random.default_rng(1))
    assert (fit.coefficients[:4] >= 0).all()


def test_the_edge_is_what_is_left_of_the_spread_over_what_the_rest_moves() -> None:
    at = states(half=[1, 2, 2], half_seconds=[1800, 900, 0], spread=7.0, home=0.5)
    columns = spread_columns(at, np.full(3, 2.0))
    assert columns["edge"][0] == pytest.approx(7 / MARGIN_SD, rel=0.01)
    assert columns["edge"][1] == pytest.approx(7 * 0.25 / (MARGIN_SD * np.sqrt(0.25)), rel=0.02)
    for name, early in (("edge", None), ("odds", 2.0), ("home", 0.5)):
        assert columns[name][2] == 0.0
        assert early is None or columns[name][0] == early


def test_looking_up_is_evaluating_the_basis() -> None:
    basis = spread_basis()
    rng = np.random.default_rng(2)
    fit = FittedLogit(basis, rng.normal(0, 0.5, basis.size), rng.normal(0, 0.5, (3, basis.size)))
    at, odds, _ = _games(0.0)
    at, odds = at.take(np.arange(300)), odds[:300]
    straight = odds + fit.eta_all(spread_columns(at, odds))
    assert Favoured(fit).odds(np.tile(odds, (4, 1)), at) == pytest.approx(straight, abs=1e-5)


def test_rows_know_whose_spread_it_is() -> None:
    assert spread_states(_rows([7, 7])).spread.tolist() == [3.5, -3.5]


def _rows(games: list[int], spread: float | None = 3.5) -> pl.DataFrame:
    """Snaps of the win model; the home side has the ball in every other one."""
    n = len(games)
    rng = np.random.default_rng(1)
    each = [None if spread is None else spread + g % 7 for g in games]
    return pl.DataFrame(
        {
            "game": [f"g{g:04d}" for g in games], "season": [2010 + g % 2 for g in games],
            "kind": ["run"] * n, "offense": ["a"] * n, "down": [1] * n, "distance": [10] * n,
            "yards_to_goal": [75] * n, "half": [1] * n, "half_seconds": [900] * n, "lead": [0] * n,
            "offense_timeouts": [3] * n, "defense_timeouts": [3] * n,
            "receives_second_half": [True] * n, "offense_home": [i % 2 == 0 for i in range(n)],
            "home_spread": pl.Series(each, dtype=pl.Float64),
            "result": rng.integers(0, 2, n).astype(float),
        }
    )  # fmt: skip


def test_rows_without_a_spread_or_too_few_games_are_no_rows() -> None:
    many = list(range(win_spread.FEWEST_GAMES))
    assert len(spread_rows(_rows(many))) == len(many)
    assert spread_rows(_rows(many[1:])).is_empty()
    assert spread_rows(_rows(many, None)).is_empty()
    assert spread_rows(_rows(many).drop("home_spread")).is_empty()


def test_every_refit_stands_on_its_own_wins(worth: Worth) -> None:
    """The same as each fit made by hand, on the games of its resample and the wins of its refit."""
    rows = _rows([g for g in range(40) for _ in range(4)])
    plain = replace(worth.wins, favoured=None)
    drawn = resample_games(rows["game"].to_numpy(), 5, np.random.default_rng(3))
    fit = fit_spreads(rows, plain, np.random.default_rng(1), drawn)
    assert fit.refits.shape == (5, spread_basis().size)
    inside = drawn.rows(2, rows["game"].to_numpy()) > 0
    own, at = rows.filter(pl.Series(inside)), spread_states(rows.filter(pl.Series(inside)))
    odds = plain_odds(plain.only(3), at)
    again = fit_spread(at, odds, own["result"].to_numpy(), np.random.default_rng(1),
                       drawn.rows(2, rows["game"].to_numpy())[inside])  # fmt: skip
    assert fit.refits[2] == pytest.approx(again.coefficients, abs=1e-4)
    other = fit_spread(at, plain_odds(plain, at), own["result"].to_numpy(),
                       np.random.default_rng(1))  # fmt: skip
    assert np.abs(fit.refits[2] - other.coefficients).max() > 1e-3  # control: the point fit's wins


def test_a_score_needs_seasons_to_leave_out(worth: Worth) -> None:
    rows, rng = _rows([g for g in range(40) for _ in range(4)]), np.random.default_rng(1)
    found = score_spread(rows, worth.wins, (2010, 2014), rng)
    assert found is not None
    assert (found.rows, found.games) == (80, 20)
    assert found.without > 0
    assert score_spread(rows, worth.wins, (2014,), rng) is None


def test_what_is_known_beforehand_is_no_part_of_what_other_fits_depend_on() -> None:
    """So that a table of games refits the spread alone, but other plays everything."""

    def key(plays: pl.DataFrame) -> str:
        return FitPlan("professional", "invented", plays).key()

    plays = _rows([1, 2, 3])
    assert key(plays) == key(plays.with_columns(home_spread=pl.lit(9.5)))
    assert key(plays) != key(plays.with_columns(lead=pl.lit(7)))
