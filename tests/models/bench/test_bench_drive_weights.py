"""Weights by drive: what they are, and that a fit has them."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from pointsleft_models.bench.coverage_football import league_parts
from pointsleft_models.bench.drive_weights import drive_weights, fit_weighted
from pointsleft_models.bench.simulated_league import simulated_league
from pointsleft_models.recipes.next_score import fit_next_score, next_score_rows, row_states


def test_every_drive_weighs_the_same() -> None:
    rows = pl.DataFrame({"game": ["a", "a", "a", "b"], "drive": [1, 1, 2, 1]})
    weights = drive_weights(rows)
    assert weights == pytest.approx(np.array([0.5, 0.5, 1, 1]) / 0.75)


def test_a_fit_has_the_weights_that_it_is_given() -> None:
    """With one for every row it is the plain fit; with other weights it is another."""
    rows = next_score_rows(simulated_league(league_parts(), 150, 5))
    at = row_states(rows)
    plain = fit_next_score(rows, np.random.default_rng(1)).probabilities(at)
    same = fit_weighted(rows, np.ones(len(rows)), np.random.default_rng(1)).probabilities(at)
    assert np.abs(same - plain).max() < 0.005
    heavy = np.where(rows["yards_to_goal"].to_numpy() < 50, 2.0, 0.1)
    other = fit_weighted(rows, heavy, np.random.default_rng(1)).probabilities(at)
    assert np.abs(other - plain).max() > 0.02
