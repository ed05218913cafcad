"""Chosen against best: how the better choice may still end worse."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pointsleft.pricing.outcome import ENOUGH, DrawsError, compare, ends_worse, spread_of
from scipy.optimize import linprog

Array = np.ndarray

Law = tuple[Array, Array]


@st.composite
def small_laws(draw: st.DrawFn) -> Law:
    """Up to four outcomes of few different values, so that ties are common."""
    n = draw(st.integers(1, 4))
    values = np.array(draw(st.lists(st.integers(-3, 3), min_size=n, max_size=n)), dtype=float)
    weights = np.array(draw(st.lists(st.integers(1, 6), min_size=n, max_size=n)), dtype=float)
    return values, weights / weights.sum()


def over_couplings(better: Law, taken: Law) -> tuple[float, float]:
    """Least and most of P(better < taken) over every joint law of the two, by linear programme."""
    (vb, pb), (vt, pt) = better, taken
    worse = (vb[:, None] < vt[None, :]).astype(float).ravel()
    margins = np.zeros((len(vb) + len(vt), len(worse)))
    for i in range(len(vb)):
        margins[i, i * len(vt) : (i + 1) * len(vt)] = 1
    for j in range(len(vt)):
        margins[len(vb) + j, j :: len(vt)] = 1
    right = np.concatenate([pb, pt])
    least, most = (
        linprog(sign * worse, A_eq=margins, b_eq=right, bounds=(0, 1)).fun for sign in (1, -1)
    )
    return float(least), -float(most)


@settings(max_examples=150)
@given(better=small_laws(), taken=small_laws())
def test_bounds_are_those_over_every_way_of_moving_together(better: Law, taken: Law) -> None:
    independent, lowest, highest = ends_worse(better, taken)
    by_hand = sum(
        p * q for v, p in zip(*better, strict=True) for w, q in zip(*taken, strict=True) if v < w
    )
    assert independent == pytest.approx(by_hand)
    least, most = over_couplings(better, taken)
    assert lowest == pytest.approx(least, abs=1e-7)
    assert highest == pytest.approx(most, abs=1e-7)
    assert 0 <= lowest <= independent <= highest <= 1


def test_the_same_choice_ends_worse_than_itself_at_most_by_luck() -> None:
    law = np.array([0.0, 1.0]), np.array([0.5, 0.5])
    independent, lowest, highest = ends_worse(law, law)
    assert (independent, lowest, highest) == pytest.approx((0.25, 0, 0.5))


def test_each_is_drawn_on_its_own() -> None:
    law = np.arange(50.0), np.full(50, 0.02)
    found = compare(law, law, 400, np.random.default_rng(3), 1)
    assert found.chosen.mean == found.best.mean
    assert found.chosen.draws_mean != found.best.draws_mean
    again = compare(law, law, 400, np.random.default_rng(3), 1)
    assert again == found
    assert found.lowest <= found.better_ends_worse <= found.highest


def test_a_few_draws_of_a_rare_outcome_are_no_fault() -> None:
    """One fumble in two draws is bad luck; the mean of so few is nowhere near normal."""
    values, law = np.array([0.0, -6.0]), np.array([0.99, 0.01])
    seen = 0.0
    for seed in range(200):
        spread, drawn = spread_of(values, law, 2, np.random.default_rng(seed))
        assert spread.draws_mean == pytest.approx(drawn.mean())
        seen = min(seen, float(drawn.mean()))
    assert seen < -2


def test_many_draws_off_the_law_are_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    values, law = np.array([0.0, 1.0]), np.array([0.5, 0.5])
    spread_of(values, law, ENOUGH, np.random.default_rng(1))
    monkeypatch.setattr(
        "pointsleft.pricing.outcome.AliasTable.draw",
        lambda self, rng, size: (rng.random(size) < 0.6).astype(int),
    )
    with pytest.raises(DrawsError, match="standard errors apart"):
        spread_of(values, law, 10 * ENOUGH, np.random.default_rng(1))
