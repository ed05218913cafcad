"""Sequential draws: clear winners at once, and few false claims although looks are repeated."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft.endgame.race import ALLOWED, paired, race, schedule

Array = np.ndarray


def coins(chances: list[float], seed: int = 1):  # type: ignore[no-untyped-def]
    """Independent coins, one an action, the same luck for all at one look when asked again."""

    def sample(action: int, look: int, n: int) -> Array:
        rng = np.random.default_rng([seed, look, action])
        return (rng.random(n) < chances[action]).astype(float)

    return sample


def test_a_clear_winner_needs_one_look() -> None:
    done = race(coins([0.5, 0.6, 0.4]), 3, 20_000, 160_000)
    assert (done.best, done.looks) == (1, 1)
    assert [len(v) for v in done.values] == [20_000] * 3


def test_a_close_race_draws_more_for_the_two_that_are_close() -> None:
    done = race(coins([0.500, 0.510, 0.3]), 3, 20_000, 160_000)
    assert done.looks > 1
    assert len(done.values[2]) == 20_000
    assert len(done.values[0]) == len(done.values[1]) > 20_000


def test_a_tie_spends_the_budget_and_is_not_called() -> None:
    done = race(coins([0.5, 0.5]), 2, 20_000, 80_000)
    assert len(done.values[0]) == 80_000
    low, high = done.interval(1 - done.best)
    assert low < 0 < high


def test_identical_results_are_not_drawn_again() -> None:
    done = race(lambda _a, _l, n: np.ones(n), 2, 20_000, 160_000)
    assert done.looks == 1
    assert done.gap(1 - done.best) == (0.0, 0.0)


def false_claims(width_of: str, repeats: int = 400) -> float:
    """Share of races between equal coins that end with a claim, at small sizes."""
    wrong = 0
    for seed in range(repeats):
        done = race(coins([0.5, 0.5, 0.5], seed), 3, 400, 3200)
        width = done.width if width_of == "ours" else 1.96
        looks = schedule(400, 3200)
        claimed = False
        for upto in looks[: done.looks] if width_of == "ours" else looks:
            for a, b in ((0, 1), (0, 2), (1, 2)):
                first, second = (v[:upto] for v in (done.values[a], done.values[b]))
                mean, error = paired(first, second)
                claimed |= abs(mean) > width * error
        wrong += claimed
    return wrong / repeats


def test_repeated_looks_make_few_false_claims() -> None:
    slack = 3 * np.sqrt(ALLOWED * (1 - ALLOWED) / 400)
    assert false_claims("ours") <= ALLOWED + slack


def test_plain_intervals_would_make_many() -> None:
    """Negative control: 1.96 standard errors at every look and pair."""
    assert false_claims("plain") > 3 * ALLOWED


def test_the_same_seed_gives_the_same_race() -> None:
    one, two = (race(coins([0.5, 0.51]), 2, 20_000, 80_000) for _ in range(2))
    assert one.best == two.best
    assert all(np.array_equal(a, b) for a, b in zip(one.values, two.values, strict=True))


@given(first=st.integers(1, 10_000), budget=st.integers(1, 100_000))
def test_looks_rise_to_the_budget(first: int, budget: int) -> None:
    looks = schedule(first, budget)
    assert looks[-1] == budget
    assert all(a < b for a, b in pairwise(looks))
    assert all(b <= 2 * a for a, b in pairwise(looks))


def test_pairs_are_taken_over_the_draws_that_both_have() -> None:
    mean, error = paired(np.array([1.0, 0.0, 1.0, 5.0]), np.array([0.0, 0.0, 1.0]))
    assert mean == pytest.approx(1 / 3)
    assert error == pytest.approx(np.std([1, 0, 0], ddof=1) / np.sqrt(3))
