"""A published forest as a learner: its columns, its fit, and how its bins are held."""

from __future__ import annotations

from importlib.util import find_spec

import numpy as np
import polars as pl
import pytest
from pointsleft_models.bench.leave_out import Task
from pointsleft_models.bench.paired import points_off
from pointsleft_models.bench.published_forest import (
    binned_correlation,
    compared,
    forest_rows,
    published_forest,
)
from pointsleft_models.bench.scores import winner
from pointsleft_models.recipes.win_spread import spread_states

#: The library of forests comes with the extra.
FORESTS = find_spec("sklearn") is not None


def rows(many: int = 1200) -> pl.DataFrame:
    """Snaps whose winner the spread foretells and nothing else."""
    rng = np.random.default_rng(4)
    spread = rng.integers(-10, 11, many)
    home = rng.random(many) < 0.5
    wins = rng.random(many) < 1 / (1 + np.exp(-np.where(home, spread, -spread) / 3))
    return pl.DataFrame(
        {
            "season": np.repeat([2001, 2002, 2003], many // 3),
            "game": [f"g{at // 10}" for at in range(many)], "down": 1, "distance": 10,
            "yards_to_goal": 75, "half": 2, "half_seconds": 600, "lead": 4, "offense_score": 14,
            "defense_score": 10, "offense_timeouts": 3, "defense_timeouts": 2,
            "receives_second_half": False, "offense_home": home, "home_spread": spread * 1.0,
            "result": wins * 1.0,
        }
    )  # fmt: skip


def test_columns_are_the_published_ones() -> None:
    """Score, points of both, spread of the side with the ball, seconds of the game, down, spot,
    distance, both time-outs."""
    first = rows()[:1].with_columns(offense_home=False, home_spread=pl.lit(6.5))
    assert forest_rows(first).columns[0].tolist() == [4, 24, -6.5, 600, 1, 75, 10, 3, 2]


@pytest.mark.skipif(not FORESTS, reason="needs the extra bench")
def test_it_learns_what_the_spread_says() -> None:
    table = rows()
    task = Task("toy", table, spread_states, winner, (published_forest(trees=20),), "d")
    found = compared(task, (2001, 2002, 2003))
    assert found.scores.learners[0].log_loss < 0.6  # knowing nothing is .69
    assert found.correlation["published forest"] > 0.9


def test_bins_are_right_where_chances_are() -> None:
    rng = np.random.default_rng(1)
    chance = rng.random(200_000)
    assert binned_correlation(chance, (rng.random(200_000) < chance) * 1.0) > 0.999
    timid = 0.5 + np.sign(chance - 0.5) * 0.2  # says .3 or .7 of everything
    assert binned_correlation(timid, (rng.random(200_000) < chance) * 1.0) == pytest.approx(1)
    assert binned_correlation(1 - chance, (rng.random(200_000) < chance) * 1.0) < -0.999


def test_points_are_off_by_their_distance() -> None:
    """By hand: 7 expected and 7 came; half a field goal expected, a touchdown against came."""
    p = np.zeros((2, 7))
    p[0, 1], p[1, 0], p[1, 2] = 1, 0.5, 0.5
    assert points_off(p, np.array([1, 6])) == pytest.approx((0 + 8.5) / 2)
