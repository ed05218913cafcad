"""Draws follow the law they are drawn from."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pointsleft.pricing.draws import BLOCK, AliasTable
from pointsleft.pricing.outcome import BINS, DrawsError, spread_of

Array = np.ndarray


def chi_square(law: Array, counts: Array) -> float:
    """How many standard errors the chi-square of the counts lies from its mean."""
    live = law > 0
    expected = law[live] * counts.sum()
    statistic = float(((counts[live] - expected) ** 2 / expected).sum())
    free = int(live.sum()) - 1
    return (statistic - free) / np.sqrt(2 * free) if free else 0.0


@settings(max_examples=40)
@given(weights=st.lists(st.integers(0, 50), min_size=1, max_size=40), seed=st.integers(0, 9))
def test_counts_are_those_of_the_law(weights: list[int], seed: int) -> None:
    if not any(weights):
        weights[0] = 1
    law = np.array(weights) / sum(weights)
    drawn = AliasTable(law).draw(np.random.default_rng(seed), 20_000)
    counts = np.bincount(drawn, minlength=len(law))
    assert len(counts) == len(law)
    assert (counts[law == 0] == 0).all()
    assert chi_square(law, counts) < 5
    sd = np.sqrt(20_000 * law * (1 - law))
    assert (np.abs(counts - 20_000 * law) <= 5 * sd + 1e-9).all()


def test_a_slightly_wrong_law_would_be_caught() -> None:
    """Negative control of the same comparison."""
    law = np.full(10, 0.1)
    other = law + np.array([0.01, -0.01] + [0.0] * 8)
    drawn = AliasTable(other).draw(np.random.default_rng(0), 20_000)
    assert chi_square(law, np.bincount(drawn, minlength=10)) > 5


def test_the_table_is_the_law_exactly() -> None:
    """What each cell keeps and what it sends on add up to the law."""
    law = np.random.default_rng(3).dirichlet(np.full(25, 0.4))
    table = AliasTable(law)
    n = len(law)
    kept = table._cut - np.arange(n)
    found = kept / n
    np.add.at(found, table._other, (1 - kept) / n)
    assert found == pytest.approx(law, abs=1e-12)


@pytest.mark.parametrize("size", [0, 1, BLOCK - 1, BLOCK, BLOCK + 1, 3 * BLOCK + 7])
def test_any_number_of_draws(size: int) -> None:
    drawn = AliasTable(np.array([0.5, 0.5])).draw(np.random.default_rng(1), size)
    assert drawn.shape == (size,)
    assert set(drawn) <= {0, 1}


def test_the_same_seed_draws_the_same() -> None:
    table = AliasTable(np.array([0.2, 0.3, 0.5]))
    one, two, other = (table.draw(np.random.default_rng(s), 500) for s in (4, 4, 5))
    assert (one == two).all()
    assert (one != other).any()


# -- spreads ---------------------------------------------------------------------------------


@settings(max_examples=50)
@given(seed=st.integers(0, 999), n=st.integers(1, 300))
def test_a_spread_is_that_of_its_law(seed: int, n: int) -> None:
    rng = np.random.default_rng(seed)
    values, law = rng.normal(size=n).round(2), rng.dirichlet(np.full(n, 0.3))
    spread, _ = spread_of(values, law, 2000, rng)
    mean = float(values @ law)
    assert spread.mean == pytest.approx(mean)
    assert spread.sd == pytest.approx(np.sqrt(((values - mean) ** 2) @ law), abs=1e-9)
    assert sum(spread.probabilities) == pytest.approx(1)
    assert float(np.dot(spread.values, spread.probabilities)) == pytest.approx(mean)
    assert list(spread.values) == sorted(spread.values)
    assert len(spread.values) <= BINS
    for share, q in ((0.1, spread.p10), (0.5, spread.p50), (0.9, spread.p90)):
        assert law[values <= q + 1e-12].sum() >= share - 1e-9
        assert law[values < q - 1e-12].sum() <= share + 1e-9
    assert spread.draws == 2000


def test_no_draws_are_none() -> None:
    spread, drawn = spread_of(np.arange(3.0), np.full(3, 1 / 3), 0, np.random.default_rng(0))
    assert spread.draws_mean is None
    assert len(drawn) == 0


def test_the_mean_of_the_draws_is_checked_against_the_law(monkeypatch: pytest.MonkeyPatch) -> None:
    """Draws that lean are a fault of the program and stop it."""
    values, law = np.array([0.0, 1.0]), np.array([0.5, 0.5])
    rng = np.random.default_rng
    spread, _ = spread_of(values, law, 10_000, rng(0))
    assert spread.draws_mean == pytest.approx(0.5, abs=4 * 0.5 / 100)

    def leaning(self: AliasTable, rng: np.random.Generator, size: int) -> Array:
        return (rng.random(size) < 0.525).astype(int)

    monkeypatch.setattr(AliasTable, "draw", leaning)
    with pytest.raises(DrawsError, match="standard errors apart"):
        spread_of(values, law, 10_000, rng(0))


def test_many_checks_together_are_allowed_a_little_more() -> None:
    """Over 4000 sound spreads with their number said, not one is stopped."""
    values, law = np.array([0.0, 1.0, 5.0]), np.array([0.7, 0.2, 0.1])
    for seed in range(4000):
        spread_of(values, law, 100, np.random.default_rng(seed), checks=4000)
