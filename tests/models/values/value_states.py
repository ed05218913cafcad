"""Many situations at once for the tests of values."""

from __future__ import annotations

import numpy as np
from pointsleft_models.values.states import States, states


def random_states(n: int, seed: int = 0, *, late: bool = False) -> States:
    """Situations from the whole range of every variable; ``late``: the last half minute."""
    rng = np.random.default_rng(seed)
    half = rng.integers(1, 3, n)
    return states(
        down=rng.integers(1, 5, n),
        distance=rng.integers(1, 41, n),
        yards_to_goal=rng.integers(1, 100, n),
        half=half,
        half_seconds=rng.integers(0, 31 if late else 1801, n),
        lead=rng.integers(-30, 31, n),
        own_timeouts=rng.integers(0, 4, n),
        opponent_timeouts=rng.integers(0, 4, n),
        receives=np.where(half == 1, rng.integers(-1, 2, n), 0),
        home=rng.choice([-0.5, 0.0, 0.5], n),
    )


def turned(at: States) -> States:
    """The same moments with the other side at its mirror spot, first and ten."""
    return states(
        yards_to_goal=100 - at.yards_to_goal,
        half=at.half,
        half_seconds=at.half_seconds,
        lead=-at.lead,
        own_timeouts=at.opponent_timeouts,
        opponent_timeouts=at.own_timeouts,
        receives=-at.receives,
        home=-at.home,
    )
