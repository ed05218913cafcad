"""Synthetic priced games shared by the tests of the renderings."""

from __future__ import annotations

import pytest
from pointsleft.pricing.result import PricedGame
from sample import make_game


@pytest.fixture(scope="session")
def game() -> PricedGame:
    """A full game: clock and score known."""
    return make_game(3)


@pytest.fixture(scope="session")
def without_clock() -> PricedGame:
    """A game whose clock and score were not logged: points only."""
    return make_game(4, wins=False)


@pytest.fixture(scope="session")
def overtime() -> PricedGame:
    """A game that has win probability only."""
    return make_game(5, points=False)
