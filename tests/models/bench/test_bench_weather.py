"""The weather study on invented plays whose moves are known."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.bench.weather import Rows, estimate
from pointsleft_models.fitting.logit import expit

Array = np.ndarray

GAMES, PLAYS, SEASONS = 600, 12, 6


def invented(wind: float, cold: float, *, yards: bool, seed: int = 3) -> Rows:
    """Weather is that of a game, and plays of a game have some luck in common."""
    rng = np.random.default_rng(seed)
    games = np.repeat(np.arange(GAMES), PLAYS)
    weather = (rng.random((GAMES, 2)) < (0.15, 0.2)).astype(float)[games]
    x = np.column_stack([np.ones(len(games)), weather])
    shared = 0.2 * rng.normal(size=GAMES)[games]
    told = x @ np.array([0.1, wind, cold]) + shared
    if yards:
        return Rows(
            "punts", told + 3 * rng.normal(size=len(games)), None, x, games, games % SEASONS
        )
    base = rng.normal(size=len(games))
    came = (rng.random(len(games)) < expit(base + told)).astype(float)
    return Rows("kicks", came, base, x, games, games % SEASONS)


@pytest.mark.parametrize("yards", [True, False])
def test_known_moves_are_found_and_foretell(yards: bool) -> None:
    found = estimate(invented(0.5, -0.6, yards=yards), np.random.default_rng(0))
    for (value, error), truth in ((found.wind, 0.5), (found.cold, -0.6)):
        assert abs(value - truth) < 3 * error
        assert 0.02 < error < 0.2
    assert found.unseen.high < 0
    assert found.unit == ("yards" if yards else "log odds")
    assert (found.plays, found.games) == (GAMES * PLAYS, GAMES)


@pytest.mark.parametrize("yards", [True, False])
def test_where_nothing_moves_nothing_foretells(yards: bool) -> None:
    """Over some draws: what is not there hurts a little on seasons left out."""
    found = [
        estimate(invented(0.0, 0.0, yards=yards, seed=seed), np.random.default_rng(0))
        for seed in range(6)
    ]
    assert np.mean([one.unseen.value for one in found]) > 0
    assert sum(abs(one.wind[0]) > 2.5 * one.wind[1] for one in found) <= 1
