"""A law as a few equally likely points keeps its weight and its mean."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from pointsleft_models.fitting.condense import condense

Array = np.ndarray

shares = st.integers(0, 1000).map(lambda n: n / 1000)
laws = arrays(float, st.integers(1, 20), elements=shares).filter(lambda p: p.sum() > 0)


@given(law=laws, points=st.integers(1, 8))
def test_weight_and_mean_are_kept(law: Array, points: int) -> None:
    values = np.cumsum(np.arange(len(law)) % 3 + 1).astype(float)
    few = condense(values, law, points)
    assert len(few) <= points
    weights = np.array([w for _, w in few])
    assert weights.sum() == pytest.approx(law.sum())
    assert weights == pytest.approx(law.sum() / points)
    assert sum(v * w for v, w in few) == pytest.approx(values @ law)
    means = [v for v, _ in few]
    assert min(np.diff(means), default=0) >= -1e-9
    assert min(values) - 1e-9 <= means[0]
    assert means[-1] <= max(values) + 1e-9


def test_as_many_points_as_equal_values_is_the_law_itself() -> None:
    few = condense(np.array([2.0, 5, 11]), np.full(3, 0.2), 3)
    assert [v for v, _ in few] == pytest.approx([2, 5, 11])
    assert [w for _, w in few] == pytest.approx([0.2] * 3)


def test_a_law_without_weight_is_no_points() -> None:
    assert condense(np.arange(3.0), np.zeros(3), 4) == []
