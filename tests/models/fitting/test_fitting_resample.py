"""Resamples of games: halves that complement each other, one draw for every fit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft_models.fitting.resample import (
    SHIPPED,
    GameResamples,
    Scheme,
    partner,
    resample_games,
)


def drawn(
    games: int = 51, resamples: int = 10, scheme: Scheme = SHIPPED, seed: int = 3
) -> GameResamples:
    names = np.array([f"g{i:03d}" for i in range(games)])
    return resample_games(np.repeat(names, 3), resamples, np.random.default_rng(seed), scheme)


@given(games=st.integers(2, 60), pairs=st.integers(1, 4), seed=st.integers(0, 999))
def test_halves_complement_each_other(games: int, pairs: int, seed: int) -> None:
    found = drawn(games, 2 * pairs, seed=seed)
    assert len(found) == 2 * pairs
    assert (found.games == np.unique(found.games)).all()
    assert found.weights.mean(1) == pytest.approx(1)
    for refit in range(2 * pairs):
        inside, other = found.weights[refit] > 0, found.weights[partner(refit)] > 0
        assert (inside ^ other).all()
        assert abs(int(inside.sum()) - int(other.sum())) <= 1
        assert len(set(found.weights[refit][inside])) == 1


def test_the_shipped_scheme_is_halves() -> None:
    assert (SHIPPED.name, SHIPPED.fraction) == ("halves", 1.0)


def test_pairs_differ_from_one_another_and_every_game_is_in_half_of_them() -> None:
    found = drawn(50, 200)
    inside = found.weights > 0
    assert len({row.tobytes() for row in inside}) == 200
    assert inside[::2].mean(0) == pytest.approx(0.5, abs=0.2)
    assert inside.mean(0) == pytest.approx(0.5)


def test_partners_are_each_others() -> None:
    for refit in range(20):
        assert partner(partner(refit)) == refit
        assert {refit, partner(refit)} == {refit // 2 * 2, refit // 2 * 2 + 1}


@pytest.mark.parametrize("fraction", [1.0, 0.5])
def test_games_drawn_with_replacement(fraction: float) -> None:
    found = drawn(40, 300, Scheme("games", fraction))
    assert found.weights.mean(1) == pytest.approx(1)
    counts = found.weights * fraction
    assert counts == pytest.approx(np.round(counts))
    # the variance of a count of a multinomial with n * fraction draws is close to fraction
    assert counts.var() == pytest.approx(fraction * (1 - 1 / 40), rel=0.1)


def test_one_draw_drives_every_fit() -> None:
    """Weights go by game, whatever rows a fit uses and in whatever order they come."""
    found = drawn(20, 4)
    weight = dict(zip(found.games, found.weights[2], strict=True))
    for seed in range(3):
        rows = np.random.default_rng(seed).choice(found.games, 100)
        assert found.rows(2, rows) == pytest.approx([weight[g] for g in rows])


def test_the_same_seed_is_the_same_draw_whatever_rows_name_the_games() -> None:
    names = np.array([f"g{i}" for i in range(30)])
    once = resample_games(names, 6, np.random.default_rng(5))
    shuffled = np.random.default_rng(0).permutation(np.repeat(names, 7))
    again = resample_games(shuffled, 6, np.random.default_rng(5))
    assert (once.weights == again.weights).all()
    other = resample_games(names, 6, np.random.default_rng(6))
    assert (once.weights != other.weights).any()


def test_an_odd_number_of_halves_is_refused() -> None:
    with pytest.raises(ValueError, match="7 resamples: halves come in pairs"):
        drawn(resamples=7)
