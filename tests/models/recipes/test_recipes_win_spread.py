"""What a spread adds: nothing where it says nothing, the rest of the game where it does."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.recipes.win_spread import (
    fit_spread,
    spread_basis,
    spread_columns,
    spread_states,
    with_spread,
)
from pointsleft_models.values.states import States, states
from pointsleft_models.values.wins import MARGIN_SD
from scipy.special import expit, logit

MANY = 40_000


def _games(worth: float) -> tuple[States, np.ndarray, np.ndarray]:
    """Games of which the spread moves the log odds by ``worth`` of its edge."""
    rng = np.random.default_rng(6)
    seconds = rng.integers(0, 3601, MANY)
    at = states(
        half=np.where(seconds > 1800, 1, 2), half_seconds=np.where(seconds > 1800, seconds - 1800,
        seconds), spread=rng.normal(0, 6, MANY), home=rng.choice([-0.5, 0.5], MANY),
    )  # fmt: skip
    chance = expit(rng.normal(0, 1.2, MANY))
    edge = spread_columns(at, chance)["edge"]
    result = (rng.random(MANY) < expit(logit(chance) + worth * edge)).astype(float)
    return at, chance, result


def test_a_spread_that_speaks_is_heard() -> None:
    at, chance, result = _games(1.7)
    fit = fit_spread(at, chance, result, np.random.default_rng(1))
    slopes = fit.coefficients[:4]
    assert slopes[1:] == pytest.approx([1.7] * 3, abs=0.15)

    def loss(p: np.ndarray) -> float:
        return float(-np.where(result == 1, np.log(p), np.log1p(-p)).mean())

    assert loss(with_spread(fit, at, chance)) < loss(chance) - 0.02


def test_a_spread_that_says_nothing_changes_nothing() -> None:
    """Control: the result does not know the spread."""
    at, chance, result = _games(0.0)
    fit = fit_spread(at, chance, result, np.random.default_rng(1))
    moved = np.abs(with_spread(fit, at, chance) - chance)
    assert moved.max() < 0.04
    assert moved.mean() < 0.005
    told = fit_spread(*_games(1.7), np.random.default_rng(1))
    assert np.abs(with_spread(told, at, chance) - chance).mean() > 0.05


def test_a_spread_never_counts_against_the_favourite() -> None:
    at, chance, result = _games(-1.0)
    fit = fit_spread(at, chance, result, np.random.default_rng(1))
    assert (fit.coefficients[:4] >= 0).all()


def test_the_edge_is_what_is_left_of_the_spread_over_what_the_rest_moves() -> None:
    at = states(half=[1, 2, 2], half_seconds=[1800, 900, 0], spread=7.0)
    edge = spread_columns(at, np.full(3, 0.5))["edge"]
    assert edge[0] == pytest.approx(7 / MARGIN_SD, rel=0.01)
    assert edge[1] == pytest.approx(7 * 0.25 / (MARGIN_SD * np.sqrt(0.25)), rel=0.02)
    assert edge[2] == 0.0


def test_both_sides_of_a_snap_agree() -> None:
    """Seen from the other team every variable turns, so the chances add up to one."""
    fit = FittedLogit(
        spread_basis(), np.random.default_rng(2).normal(0, 0.5, spread_basis().size),
        np.zeros((0, spread_basis().size)),
    )  # fmt: skip
    ours = states(half=2, half_seconds=700, spread=5.0, home=0.5)
    theirs = states(half=2, half_seconds=700, spread=-5.0, home=-0.5)
    chance = np.array([0.37])
    assert with_spread(fit, ours, chance) + with_spread(fit, theirs, 1 - chance) == pytest.approx(1)


def test_rows_know_whose_spread_it_is() -> None:
    rows = pl.DataFrame(
        {
            "down": [1, 1], "distance": [10, 10], "yards_to_goal": [75, 75], "half": [1, 1],
            "half_seconds": [900, 900], "lead": [0, 0], "offense_timeouts": [3, 3],
            "defense_timeouts": [3, 3], "receives_second_half": [True, False],
            "offense_home": [True, False], "home_spread": [3.5, 3.5],
        }
    )  # fmt: skip
    assert spread_states(rows).spread.tolist() == [3.5, -3.5]
