"""Laws of spots on a few knots: sum and mean are kept, whatever the law."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pointsleft.calls.knots import FEW, KNOTS, hats

SPOTS = np.arange(1, 100)


@pytest.mark.parametrize("knots", [KNOTS, FEW])
@settings(deadline=None, max_examples=30)
@given(weights=st.lists(st.floats(0, 1), min_size=99, max_size=99))
def test_sum_and_mean_are_kept(knots: tuple[int, ...], weights: list[float]) -> None:
    law = np.array(weights)
    on = law @ hats(knots)
    assert (on >= 0).all()
    assert on.sum() == pytest.approx(law.sum(), abs=1e-9)
    assert on @ np.array(knots) == pytest.approx(law @ SPOTS, abs=1e-7)


def test_a_value_that_bends_at_a_knot_is_exact() -> None:
    bent = np.maximum(SPOTS - 50, 0)
    law = np.full(99, 1 / 99)
    assert law @ hats(KNOTS) @ bent[np.array(KNOTS) - 1] == pytest.approx(law @ bent)
    # and one that bends between two knots is not: the control
    other = np.maximum(SPOTS - 52, 0)
    assert law @ hats(KNOTS) @ other[np.array(KNOTS) - 1] != pytest.approx(law @ other)
