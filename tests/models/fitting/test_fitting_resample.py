"""Resamples of games: disjoint parts of one cut, one draw for every fit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft_models.fitting.resample import (
    SHIPPED,
    GameResamples,
    Scheme,
    others,
    resample_games,
)


def drawn(
    games: int = 51, resamples: int = 10, scheme: Scheme = SHIPPED, seed: int = 3
) -> GameResamples:
    names = np.array([f"g{i:03d}" for i in range(games)])
    return resample_games(np.repeat(names, 3), resamples, np.random.default_rng(seed), scheme)


@given(
    games=st.integers(6, 60), parts=st.integers(2, 6), cuts=st.integers(1, 4),
    seed=st.integers(0, 999),
)  # fmt: skip
def test_the_parts_of_a_cut_share_no_game_and_leave_none_out(
    games: int, parts: int, cuts: int, seed: int
) -> None:
    found = drawn(games, parts * cuts, Scheme(parts=parts), seed)
    assert len(found) == parts * cuts
    assert (found.games == np.unique(found.games)).all()
    assert found.weights.mean(1) == pytest.approx(1)
    inside = found.weights > 0
    for refit in range(parts * cuts):
        rest = inside[others(refit, parts)].sum(0)
        assert (rest + inside[refit] == 1).all()
        assert abs(int(inside[refit].sum()) - games / parts) < 1
        assert len(set(found.weights[refit][inside[refit]])) == 1


def test_the_shipped_scheme_is_fifths() -> None:
    assert (SHIPPED.name, SHIPPED.parts) == ("parts", 5)


def test_cuts_differ_from_one_another_and_every_game_is_in_a_fifth_of_the_parts() -> None:
    found = drawn(50, 200)
    inside = found.weights > 0
    assert len({row.tobytes() for row in inside}) == 200
    assert inside.mean(0) == pytest.approx(0.2)


@given(refit=st.integers(0, 40), parts=st.integers(2, 7))
def test_the_others_are_the_rest_of_the_cut(refit: int, parts: int) -> None:
    rest = others(refit, parts)
    assert len(rest) == parts - 1
    assert refit not in rest
    assert {r // parts for r in rest} == {refit // parts}


@pytest.mark.parametrize("fraction", [1.0, 0.5])
def test_games_drawn_with_replacement(fraction: float) -> None:
    found = drawn(40, 300, Scheme("games", fraction=fraction))
    assert found.weights.mean(1) == pytest.approx(1)
    counts = found.weights * fraction
    assert counts == pytest.approx(np.round(counts))
    # the variance of a count of a multinomial with n * fraction draws is close to fraction
    assert counts.var() == pytest.approx(fraction * (1 - 1 / 40), rel=0.1)


def test_one_draw_drives_every_fit() -> None:
    """Weights go by game, whatever rows a fit uses and in whatever order they come."""
    found = drawn(20, 5)
    weight = dict(zip(found.games, found.weights[2], strict=True))
    for seed in range(3):
        rows = np.random.default_rng(seed).choice(found.games, 100)
        assert found.rows(2, rows) == pytest.approx([weight[g] for g in rows])


def test_the_same_seed_is_the_same_draw_whatever_rows_name_the_games() -> None:
    names = np.array([f"g{i}" for i in range(30)])
    once = resample_games(names, 10, np.random.default_rng(5))
    shuffled = np.random.default_rng(0).permutation(np.repeat(names, 7))
    again = resample_games(shuffled, 10, np.random.default_rng(5))
    assert (once.weights == again.weights).all()
    other = resample_games(names, 10, np.random.default_rng(6))
    assert (once.weights != other.weights).any()


def test_a_cut_that_is_not_whole_is_refused() -> None:
    with pytest.raises(ValueError, match="7 resamples: they come in cuts of 5 parts"):
        drawn(resamples=7)
