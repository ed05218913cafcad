"""Differences of losses: paired by row, intervals by game."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.bench.paired import LEAST, brier, difference, log_losses


def test_log_losses_by_hand() -> None:
    p = np.array([[0.25, 0.75], [1.0, 0.0]])
    assert log_losses(p, np.array([1, 1])) == pytest.approx([-np.log(0.75), -np.log(LEAST)])
    assert brier(np.array([[0.25, 0.75]]), np.array([1])) == pytest.approx(0.0625)


def test_the_same_losses_do_not_differ() -> None:
    losses = np.random.default_rng(1).random(600)
    found = difference(losses, losses, np.arange(600) // 6, np.random.default_rng(2))
    assert (found.value, found.low, found.high) == (0.0, 0.0, 0.0)


def test_the_interval_is_that_of_games_and_not_of_rows() -> None:
    rng = np.random.default_rng(3)
    shared = rng.normal(0.01, 0.1, 500)
    rows = np.repeat(shared, 100)
    found = difference(rows, np.zeros(len(rows)), np.repeat(np.arange(500), 100), rng)
    width = 2 * 1.645 * shared.std() / np.sqrt(500)
    assert found.value == pytest.approx(shared.mean())
    assert found.high - found.low == pytest.approx(width, rel=0.08)
    scattered = difference(rows, np.zeros(len(rows)), np.arange(len(rows)) // 2, rng)
    assert scattered.high - scattered.low < 0.3 * (found.high - found.low)


def test_intervals_hold_the_truth_as_often_as_they_say() -> None:
    rng, held = np.random.default_rng(4), 0
    for _ in range(200):
        size = rng.integers(1, 30, 200)
        losses = np.repeat(rng.normal(0.02, 0.2, 200), size)
        found = difference(losses, np.zeros(len(losses)), np.repeat(np.arange(200), size), rng)
        held += found.low <= 0.02 <= found.high
    assert 0.83 <= held / 200 <= 0.96


def test_weights_stand_for_rows() -> None:
    rng = np.random.default_rng(5)
    ours, theirs, times = rng.random(40), rng.random(40), rng.integers(1, 5, 40)
    games = np.arange(40) // 4
    short = difference(ours, theirs, games, np.random.default_rng(6), times.astype(float))
    long = difference(
        np.repeat(ours, times), np.repeat(theirs, times), np.repeat(games, times),
        np.random.default_rng(6),
    )  # fmt: skip
    assert (short.value, short.low, short.high) == pytest.approx((long.value, long.low, long.high))
