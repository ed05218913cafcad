"""The exact chain and the engine's coarse mode play the same game."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from pointsleft_models.playthrough.chain import (
    LEAD,
    SECONDS,
    STATES,
    NextScoreChain,
    next_score_chain,
)
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import Start

SPOTS = [
    (1, 10, 75), (1, 10, 50), (2, 7, 30), (3, 8, 64), (3, 1, 2), (4, 1, 50), (4, 10, 80), (1, 4, 4),
    (1, 10, 99), (4, 6, 30),
]  # fmt: skip
GROSS = np.array([0, 7, 3, 2, -2, -3, -7.0])
GAMES = 12000

#: Four standard errors, one in 16,000 by chance; ten spots times six classes are looked at.
ERRORS = 4.0


@pytest.fixture(scope="module")
def chain(parts: Parts) -> NextScoreChain:
    return next_score_chain(parts)


def distances(parts: Parts, chain: NextScoreChain, spot: tuple[int, int, int]) -> np.ndarray:
    """Simulated minus exact chances of the six scores, in standard errors."""
    down, distance, yards = spot
    start = Start(1, SECONDS, LEAD, down, distance, yards)
    seen = play_through(parts, start, GAMES, [7, *spot], coarse=True).next_chances()
    exact = chain.at(down, distance, yards)
    error = np.sqrt(np.maximum(exact * (1 - exact), 1 / GAMES) / GAMES)
    return ((seen - exact) / error)[1:]


@pytest.mark.parametrize("spot", SPOTS)
def test_engine_and_chain_agree(
    parts: Parts, chain: NextScoreChain, spot: tuple[int, int, int]
) -> None:
    assert np.abs(distances(parts, chain, spot)).max() <= ERRORS


def test_another_kicker_would_be_seen(parts: Parts, chain: NextScoreChain) -> None:
    """Negative control: field goals made a tenth less often."""
    worse = replace(parts, make=parts.make * 0.9)
    assert np.abs(distances(worse, chain, (4, 6, 30))).max() > ERRORS


def test_another_catch_rate_would_be_seen(parts: Parts, chain: NextScoreChain) -> None:
    """Negative control: completions a tenth of a log odds likelier."""
    better = replace(parts, complete=replace(parts.complete, spot=parts.complete.spot + 0.3))
    assert np.abs(distances(better, chain, (1, 10, 50))).max() > ERRORS


def test_every_chance_is_accounted_for(chain: NextScoreChain) -> None:
    assert chain.leaks < 1e-9
    assert chain.chances.shape == (STATES, 7)
    assert np.allclose(chain.chances.sum(1), 1)
    assert chain.chances.min() >= -1e-12


def test_nearer_is_better(chain: NextScoreChain) -> None:
    """First downs every ten yards, goal to go aside."""
    values = chain.at(1, 10, np.arange(20, 100, 10)) @ GROSS
    assert np.all(np.diff(values) < 0)


def test_a_later_down_is_worse(chain: NextScoreChain) -> None:
    values = [float(chain.at(down, 10, 60) @ GROSS) for down in (1, 2, 3)]
    assert values[0] > values[1] > values[2]


def test_full_and_coarse_agree_far_from_the_end(parts: Parts, chain: NextScoreChain) -> None:
    """The clock adds little early in a half: within a tenth and chance."""
    start = Start(1, 1700, 0, 1, 10, 50)
    value, error = play_through(parts, start, 8000, 3, until="score").points(GROSS)
    assert abs(value - float(chain.at(1, 10, 50) @ GROSS)) <= 0.15 + 4 * error
