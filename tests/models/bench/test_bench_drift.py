"""Seasons under one law: a planted trend is found, and games alone are no wandering."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from pointsleft_models.bench.drift import Season, moves, trend, wander
from pointsleft_models.fitting.counts import count

SEASONS = range(1, 13)
GAMES, PLAYS = 60, 40


def invented(
    rng: np.random.Generator, a_season: float = 0.0, between: float = 0.0
) -> tuple[Season, ...]:
    """Seasons under a law of 30% whose log odds trend and wander; games differ by luck only."""
    season = np.repeat(SEASONS, GAMES * PLAYS)
    luck = rng.normal(0, between, len(SEASONS))
    odds = np.log(0.3 / 0.7) + a_season * (season - 6.5) + np.repeat(luck, GAMES * PLAYS)
    frame = pl.DataFrame({
        "game": [f"{s}-{g}" for s in SEASONS for g in range(GAMES) for _ in range(PLAYS)],
        "always": np.zeros(len(season), dtype=int),
        "yes": rng.random(len(season)) < 1 / (1 + np.exp(-odds)),
    })  # fmt: skip
    counts = count(frame, ("always",), "yes")
    season_of = {game: int(game.split("-")[0]) for game in counts.games}
    return tuple(moves(counts, np.array([0.3]), season_of))


def test_a_planted_trend_is_found_and_told_in_ten_seasons() -> None:
    found = invented(np.random.default_rng(1), a_season=0.03)
    slope, error = trend(found)
    assert slope == pytest.approx(0.3, abs=3 * error)
    assert error < 0.06
    assert found[0].came < found[0].said < found[-1].came


def test_luck_of_games_is_no_wandering_and_planted_wandering_is() -> None:
    rng = np.random.default_rng(2)
    still = [wander(invented(rng)) for _ in range(20)]
    assert np.mean(still) < 0.02  # a season's own error is .045
    moved = [wander(invented(rng, between=0.2)) ** 2 for _ in range(40)]
    assert np.sqrt(np.mean(moved)) == pytest.approx(0.2, rel=0.15)


def test_the_error_of_a_season_counts_games() -> None:
    rng = np.random.default_rng(3)
    found = [s for _ in range(30) for s in invented(rng)]
    scatter = np.std([s.moved for s in found])
    assert scatter == pytest.approx(np.mean([s.error for s in found]), rel=0.12)


def test_a_season_that_tells_nothing_is_left_out() -> None:
    frame = pl.DataFrame({"game": ["a", "b"], "always": [0, 0], "yes": [True, False]})
    counts = count(frame, ("always",), "yes")
    assert not list(moves(counts, np.array([0.5]), {"a": 1, "b": 2}))
