"""Kappa against published worked examples, and the properties that define it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp
from pointsleft.voices.kappa import kappa, table, with_interval, within_options

#: Fleiss, Cohen & Everitt 1969, Psychological Bulletin 72:323-327: 200 subjects, three classes;
#: printed kappa .429, weighted kappa .507. From memory, not looked up; so each figure is also
#: worked out by hand below.
SHARES = np.array([[0.53, 0.05, 0.02], [0.11, 0.14, 0.05], [0.01, 0.06, 0.03]])
WEIGHTS = np.array([[1, 0, 4 / 9], [0, 1, 2 / 3], [4 / 9, 2 / 3, 1]])


def test_fleiss_cohen_everitt_1969() -> None:
    assert kappa(200 * SHARES) == pytest.approx(0.429, abs=0.0005)
    # by hand: .70 agree; margins .60 .30 .10 and .65 .25 .10 agree .39 + .075 + .01 by chance
    assert kappa(200 * SHARES) == pytest.approx((0.70 - 0.475) / (1 - 0.475), abs=1e-12)
    assert kappa(200 * SHARES, 1 - WEIGHTS) == pytest.approx(0.507, abs=0.0005)
    seen = 0.70 + 4 / 9 * 0.03 + 2 / 3 * 0.11
    chance = 0.475 + 4 / 9 * 0.125 + 2 / 3 * 0.055
    assert kappa(200 * SHARES, 1 - WEIGHTS) == pytest.approx((seen - chance) / (1 - chance))


def test_fleiss_levin_paik() -> None:
    """Statistical Methods for Rates and Proportions, table 18.1: printed .68 (from memory)."""
    counts = np.array([[75, 1, 4], [5, 4, 1], [0, 0, 10]], dtype=float)
    assert kappa(counts) == pytest.approx(0.68, abs=0.005)
    assert kappa(counts) == pytest.approx((0.89 - 0.66) / (1 - 0.66), abs=1e-12)


@settings(deadline=None)
@given(hnp.arrays(int, (4, 4), elements=st.integers(0, 9)))
def test_kappa_does_not_know_who_is_first(counts: np.ndarray) -> None:
    here, turned = kappa(counts.astype(float)), kappa(counts.T.astype(float))
    assert (here is None) == (turned is None)
    if here is not None and turned is not None:
        assert here == pytest.approx(turned)
        assert here <= 1 + 1e-9


def test_perfect_chance_and_undefined() -> None:
    assert kappa(np.diag([3.0, 4, 5])) == pytest.approx(1)
    assert kappa(np.outer([1.0, 2, 3], [4, 5, 6])) == pytest.approx(0, abs=1e-12)
    assert kappa(np.diag([7.0, 0, 0])) is None, "one word throughout: agreement says nothing"
    assert kappa(np.zeros((3, 3))) is None


def test_a_table_counts_pairs() -> None:
    assert table([0, 0, 2], [0, 1, 2], 3).tolist() == [[1, 1, 0], [0, 0, 0], [0, 0, 1]]


def test_drawing_lots_is_no_agreement() -> None:
    rng = np.random.default_rng(1)
    options = rng.integers(2, 6, 20_000)
    first, second = (rng.integers(0, options) for _ in range(2))
    lots = within_options((first == second).astype(float), options)
    assert lots == pytest.approx(0, abs=0.02)
    assert within_options(np.ones(5), np.full(5, 3)) == 1
    half = within_options((rng.random(20_000) < 0.5).astype(float), options)
    assert half is not None
    assert half > 0.25, "and more than chance is seen"


def test_the_interval_holds_the_truth_as_often_as_it_says() -> None:
    """Clusters of correlated words: snaps drawn again, not words."""
    rng = np.random.default_rng(5)
    words, held, wrong = 4, 0, 0
    for _ in range(120):
        snaps = 50
        good = rng.random(snaps) < 0.6  # a whole snap is read alike or not at all
        first = rng.integers(0, 3, (snaps, words))
        second = np.where(good[:, None], first, rng.integers(0, 3, (snaps, words)))
        tables = np.array([table(a, b, 3) for a, b in zip(first, second, strict=True)])

        def over(at: np.ndarray, tables: np.ndarray = tables) -> float | None:
            total = tables[at].sum(0)
            chance = float(total.sum(0) @ total.sum(1)) / total.sum() ** 2
            return float((np.trace(total) / total.sum() - chance) / (1 - chance))

        found = with_interval(over, snaps, 150, rng)
        assert found.low is not None
        assert found.high is not None
        held += found.low <= 0.6 <= found.high
        rows = np.repeat(np.eye(3)[first.ravel()][:, :, None], 3, 2)
        single = rows * np.eye(3)[second.ravel()][:, None, :]

        def apart(at: np.ndarray, single: np.ndarray = single) -> float | None:
            total = single[at].sum(0)
            chance = float(total.sum(0) @ total.sum(1)) / total.sum() ** 2
            return float((np.trace(total) / total.sum() - chance) / (1 - chance))

        narrow = with_interval(apart, len(single), 150, rng)
        assert narrow.low is not None
        assert narrow.high is not None
        wrong += narrow.low <= 0.6 <= narrow.high
    assert 0.84 <= held / 120 <= 0.95
    assert wrong / 120 < held / 120 - 0.05, "words drawn one by one would promise too much"


def test_no_interval_where_most_draws_define_nothing() -> None:
    counts = np.zeros((6, 2, 2))
    counts[:, 0, 0] = 1
    counts[0] = [[0, 0], [0, 1]]

    def beyond(at: np.ndarray) -> float | None:
        return kappa(counts[at].sum(0))

    found = with_interval(beyond, 6, 200, np.random.default_rng(2))
    assert found.value == pytest.approx(1)
    assert found.low is None
    assert found.high is None
