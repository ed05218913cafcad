"""The expected best of what may have been in the read, against every subset."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft.pricing.availability import best_shares, expected_best
from pricing_sample import expected_best as by_enumeration

Array = np.ndarray

Reads = tuple[list[float], list[float], list[str | None]]


@st.composite
def reads(draw: st.DrawFn) -> Reads:
    """Values, chances and groups of up to seven options, the first certainly there.

    Few different values, so that ties are common; chances of a group sum to at most 1.
    """
    n = draw(st.integers(1, 7))
    values = draw(st.lists(st.integers(-3, 3).map(float), min_size=n, max_size=n))
    groups: list[str | None] = [None] + [
        draw(st.sampled_from([None, "A", "B"])) for _ in range(n - 1)
    ]
    chances = [1.0]
    room = {"A": 1.0, "B": 1.0}
    for group in groups[1:]:
        share = draw(st.integers(0, 10)) / 10
        if group is not None:
            share = min(share, room[group])
            room[group] -= share
        chances.append(share)
    return values, chances, groups


@given(reads())
def test_shares_are_exact_and_sum_to_one(given_reads: Reads) -> None:
    values, chances, groups = given_reads
    shares = best_shares(np.array(values), np.array(chances), groups)
    assert shares.sum() == pytest.approx(1, abs=1e-12)
    assert shares.min() >= 0
    exact = by_enumeration(values, list(zip(chances, groups, strict=True)))
    assert float(shares @ values) == pytest.approx(exact, abs=1e-12)
    assert float(expected_best(np.array(values), np.array(chances), groups)) == pytest.approx(exact)


@given(reads(), st.integers(0, 99))
def test_many_at_once_are_each_alone(given_reads: Reads, seed: int) -> None:
    _, chances, groups = given_reads
    many = np.random.default_rng(seed).integers(-2, 3, (5, len(chances))).astype(float)
    together = best_shares(many, np.broadcast_to(np.array(chances), many.shape), groups)
    for row, values in zip(together, many, strict=True):
        assert row == pytest.approx(best_shares(values, np.array(chances), groups))


def test_options_of_one_group_exclude_one_another() -> None:
    values, chances = np.array([0.0, 3.0, 2.0]), np.array([1.0, 0.5, 0.5])
    apart = float(expected_best(values, chances, [None, None, None]))
    together = float(expected_best(values, chances, [None, "A", "A"]))
    assert apart == pytest.approx(0.5 * 3 + 0.25 * 2)
    assert together == pytest.approx(0.5 * 3 + 0.5 * 2)


def test_the_best_that_was_certain_is_the_best() -> None:
    shares = best_shares(np.array([1.0, 5.0, 2.0]), np.array([1.0, 1.0, 0.3]), [None] * 3)
    assert list(shares) == [0, 1, 0]
