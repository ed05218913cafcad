"""The scale of the window words: the arithmetic on made-up throws, the figure on the archive."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.checks.window_scale import (
    FLATTENING,
    WITH_POSITIONS,
    WITHOUT,
    entropy,
    fifths,
    loss_ratio,
    throw_odds,
    window_scale,
)
from scipy.special import expit


@pytest.fixture(scope="module")
def odds() -> np.ndarray:
    return np.random.default_rng(3).normal(0.7, 0.9, 400)


def test_nothing_unseen_gains_nothing(odds: np.ndarray) -> None:
    assert loss_ratio(odds, 1e-6) == pytest.approx(1.0, abs=1e-9)


def test_the_wider_the_unseen_part_the_more_seeing_it_gains(odds: np.ndarray) -> None:
    ratios = [loss_ratio(odds, sd) for sd in (0.2, 0.5, 1.0, 1.5, 2.0)]
    assert np.all(np.diff(ratios) < 0)


def test_ratio_against_draws(odds: np.ndarray) -> None:
    """Coin by coin: the mean log loss of who sees the hidden part, and of who does not."""
    rng, sd, many = np.random.default_rng(4), 1.0, 4000
    steep = odds * np.sqrt(1 + FLATTENING * sd**2)
    seen = expit(steep[:, None] + sd * rng.standard_normal((len(odds), many)))
    caught = rng.random(seen.shape) < seen
    blind = expit(odds)[:, None]

    def loss(p: np.ndarray) -> float:
        return float(-np.where(caught, np.log(p), np.log1p(-p)).mean())

    assert loss_ratio(odds, sd) == pytest.approx(loss(seen) / loss(blind), abs=0.004)


def test_flattening_keeps_the_average_chance(odds: np.ndarray) -> None:
    nodes, weights = np.polynomial.hermite_e.hermegauss(61)
    steep = odds * np.sqrt(1 + FLATTENING)
    average = expit(steep[:, None] + nodes) @ (weights / weights.sum())
    assert np.abs(average - expit(odds)).max() < 0.01


def test_fifths_are_the_means_of_a_sorted_sample() -> None:
    sample = np.sort(np.random.default_rng(5).normal(0, 1.3, 500_000))[::-1]
    assert fifths(1.3) == pytest.approx(sample.reshape(5, -1).mean(1), abs=0.01)


def test_entropy_is_nothing_at_certainty() -> None:
    assert entropy(np.array([0.0, 1.0])) == pytest.approx([0.0, 0.0])


def test_the_published_gain_is_found_again(odds: np.ndarray) -> None:
    found = window_scale(odds)
    assert loss_ratio(odds, found.sd) == pytest.approx(WITH_POSITIONS / WITHOUT, abs=1e-6)


@pytest.mark.archive
def test_the_scale_on_the_archive_is_one() -> None:
    """The window words stand where the fifths of a normal with standard deviation 1 do."""
    assert window_scale(throw_odds()[0]).sd == pytest.approx(1.0, abs=0.05)
