"""Calibration: right chances pass, wrong ones are caught, errors count games."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft_models.bench.calibration import (
    ALLOWED,
    FEWEST,
    Group,
    bins,
    class_error,
    equal_bins,
    expected_missed,
)

ROWS = 60_000


@pytest.fixture(scope="module")
def honest() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Chances that are right, in games of 120 rows that share nothing."""
    rng = np.random.default_rng(8)
    chance = rng.beta(1.5, 1.5, ROWS)
    return chance, (rng.random(ROWS) < chance).astype(float), np.arange(ROWS) // 120


def test_right_chances_pass(honest: tuple[np.ndarray, np.ndarray, np.ndarray]) -> None:
    group = Group("all", bins(*honest))
    assert len(group.judged()) >= 19  # all but the two half bins at the ends
    assert group.missed() == ()


def test_chances_that_are_too_sure_are_caught(
    honest: tuple[np.ndarray, np.ndarray, np.ndarray],
) -> None:
    chance, came, games = honest
    sure = 1 / (1 + (1 / chance - 1) ** 1.3)
    missed = Group("all", bins(sure, came, games)).missed()
    assert len(missed) >= 4
    assert all((b.chance > b.share) == (b.chance > 0.5) for b in missed)


def test_bins_lie_around_multiples_and_hold_every_row() -> None:
    chance = np.array([0.0, 0.024, 0.026, 0.5, 0.524, 0.976, 1.0])
    found = bins(chance, np.zeros(7), np.arange(7))
    assert [b.rows for b in found] == [2, 1, 2, 2]
    assert [b.chance for b in found] == pytest.approx([0.012, 0.026, 0.512, 0.988])


def test_equal_bins_hold_equally_many_and_part_no_chance() -> None:
    chance = np.random.default_rng(2).random(4000)
    number = equal_bins(chance, np.ones(4000), 8)
    assert np.bincount(number).tolist() == pytest.approx([500] * 8, abs=1)
    assert np.all(np.diff(number[np.argsort(chance)]) >= 0)
    assert len(np.unique(equal_bins(np.full(50, 0.1), np.ones(50), 8))) == 1


def test_weights_stand_for_rows() -> None:
    rng = np.random.default_rng(3)
    chance, times = rng.choice([0.1, 0.4], 60), rng.integers(1, 6, 60)
    came, games = rng.integers(0, 2, 60).astype(float), np.arange(60) // 4
    short = bins(chance, came, games, times.astype(float))
    long = bins(*(np.repeat(x, times) for x in (chance, came, games)))
    for one, other in zip(short, long, strict=True):
        assert (one.rows, one.games) == (other.rows, other.games)
        assert (one.chance, one.share, one.error) == pytest.approx(
            (other.chance, other.share, other.error)
        )


def test_rows_of_one_game_count_once() -> None:
    """A thousand copies of each of 400 games tell no more than the games do."""
    rng = np.random.default_rng(9)
    came = (rng.random(400) < 0.5).astype(float)
    chance = np.full(400, 0.5)
    alone = bins(chance, came, np.arange(400))[0]
    many = bins(np.repeat(chance, 1000), np.repeat(came, 1000), np.repeat(np.arange(400), 1000))[0]
    assert many.error == pytest.approx(alone.error)
    assert alone.error == pytest.approx(0.5 / 20, rel=0.02)
    scattered = bins(np.repeat(chance, 1000), np.repeat(came, 1000), np.arange(400_000))[0]
    assert scattered.error < alone.error / 25  # what rows taken as independent would claim


def test_three_errors_hold_as_often_as_they_should() -> None:
    """Clustered errors on games whose rows share their result and come in unequal numbers."""
    rng, off = np.random.default_rng(10), []
    for _ in range(400):
        size = rng.integers(1, 40, 300)
        came = np.repeat(rng.random(300) < 0.3, size).astype(float)
        games = np.repeat(np.arange(300), size)
        off.append(bins(np.full(len(came), 0.3), came, games)[0].off)
    assert np.std(off) == pytest.approx(1.0, abs=0.12)


def test_class_error_is_nothing_for_shares_that_come() -> None:
    p = np.tile([0.25, 0.75], (400, 1))
    y = np.tile([0, 1, 1, 1], 100)
    assert class_error(p, y).error == pytest.approx(0.0, abs=1e-12)
    assert class_error(p, y).by_middle == pytest.approx(0.0, abs=1e-12)


def test_class_error_of_a_known_fault() -> None:
    """Class 0 said .4, comes .5; class 1 said .6, comes .5: both are off by .1."""
    p = np.tile([0.4, 0.6], (400, 1))
    y = np.tile([0, 1], 200)
    found = class_error(p, y)
    assert found.error == pytest.approx(0.1)
    assert found.by_class == pytest.approx((0.1, 0.1))


@given(st.lists(st.floats(0.01, 1.0), min_size=3, max_size=3), st.integers(0, 5))
def test_class_error_lies_between_nothing_and_one(raw: list[float], seed: int) -> None:
    p = np.tile(np.array(raw) / sum(raw), (50, 1))
    y = np.random.default_rng(seed).integers(0, 3, 50)
    assert 0 <= class_error(p, y).error <= 1


def test_a_bin_with_few_rows_is_not_judged() -> None:
    few = bins(np.full(FEWEST - 1, 0.9), np.zeros(FEWEST - 1), np.arange(FEWEST - 1))
    assert Group("few", few).judged() == ()
    assert Group("few", few).missed() == ()


def test_some_bins_are_missed_by_chance() -> None:
    assert expected_missed(80) == pytest.approx(80 * 0.0027, rel=0.01)
    assert ALLOWED == 3


def test_a_bin_in_which_nobody_won_is_judged_by_its_chance() -> None:
    """No win in 80 games at .015 is no wonder; none at .15 is a fault."""
    games = np.repeat(np.arange(80), 8)
    fine = Group("rare", bins(np.full(640, 0.015), np.zeros(640), games))
    assert len(fine.judged()) == 1
    assert fine.missed() == ()
    assert fine.bins[0].error == pytest.approx(np.sqrt(0.015 * 0.985 / 80))
    wrong = Group("rare", bins(np.full(640, 0.15), np.zeros(640), games))
    assert [b.off for b in wrong.missed()] == pytest.approx([-0.15 / np.sqrt(0.15 * 0.85 / 80)])
