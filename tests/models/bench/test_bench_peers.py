"""The columns that the root-time logit is fitted on."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.bench.peers import MARGIN_WALK, root_time_columns, win_columns
from pointsleft_models.values.states import states
from scipy.stats import norm


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


def test_a_walk_of_the_margin_is_found_again() -> None:
    """Winners drawn from the published form, sigma 13 and two points at home: the chances come
    back, and with a spread of seven points before the game the favourite has his .70."""
    rng = np.random.default_rng(3)
    many = 60_000
    at = states(
        lead=rng.integers(-20, 21, many), half=2, half_seconds=rng.integers(60, 1800, many),
        home=rng.choice([-0.5, 0.5], many), spread=rng.integers(-10, 11, many),
    )  # fmt: skip
    left = at.game_seconds / 3600
    for spread, mu in ((False, 4 * at.home), (True, at.spread)):
        truth = norm.cdf((at.lead + left * mu) / (13 * np.sqrt(left)))
        won = (rng.random(many) < truth).astype(int)
        rows = win_columns(at, with_spread=spread)
        assert np.abs(MARGIN_WALK.fit(rows, won)(rows)[:, 1] - truth).max() < 0.02
