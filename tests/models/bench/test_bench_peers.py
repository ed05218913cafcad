"""The columns that the root-time logit is fitted on."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.bench.peers import root_time_columns, win_columns
from pointsleft_models.values.states import states


def test_score_over_root_time_left_and_its_relatives() -> None:
    at = states(lead=6, half=2, half_seconds=840, yards_to_goal=28, down=[1, 4], home=1, receives=0)
    found = root_time_columns(win_columns(at))
    assert found.shape == (2, 10)
    assert found[0, :4] == pytest.approx([6 / np.sqrt(841), 0.2, 6 / np.sqrt(1140), 6])
    assert found[0, 4] == pytest.approx((6 + 2) / 30)  # 32 yards beyond the own 40: two points
    assert found[1, 4] == pytest.approx((6 + 2 - 1.5 - 0.6) / 30)
    assert found[0, 6] == pytest.approx(0.008)
    assert found[0, 7] == pytest.approx(np.sqrt(840 / 3600))


def test_a_spread_counts_for_the_time_that_is_left() -> None:
    at = states(half=2, half_seconds=[900, 0], spread=7)
    found = root_time_columns(win_columns(at, with_spread=True))
    assert found.shape == (2, 13)
    assert found[0, 11] == pytest.approx(3.5)
    assert found[1, 10:] == pytest.approx([0, 0, 0])
