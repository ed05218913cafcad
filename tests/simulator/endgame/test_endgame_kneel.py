"""The kneel-down clock, by hand and played out.

Three kneels of two seconds (from memory) and the play clock of 40 seconds after each (rule book),
unless a time-out of the other side stops it; before 2:00 the warning stops it once.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import Opening, Start
from pointsleft_models.playthrough.tables import QuantileTable

KNEEL, PLAY_CLOCK = 2, 40
GAMES = 3000
KNEEL_OUT = Opening("kneel", keep=True, answered=True)


def by_hand(timeouts: int) -> int:
    return min(3 * KNEEL + (3 - timeouts) * PLAY_CLOCK, 120)


def over(parts: Parts, seconds: int, timeouts: int) -> float:
    """Share of games in which neither fourth down nor the other side's first snap comes."""
    start = Start(2, seconds, lead=1, yards_to_goal=60, opponent_timeouts=timeouts)
    run = play_through(parts, start, GAMES, 3, until="half", opening=KNEEL_OUT, record=True)
    reached = (run.log["offense"] == 1) | (run.log["down"] == 4)
    return 1 - len(np.unique(run.log["game"][reached])) / GAMES


def hurried(parts: Parts) -> Parts:
    """Kneeling broken: after a kneel the next snap comes five seconds later."""
    return replace(parts, kneel_wait=QuantileTable(np.full_like(parts.kneel_wait.values, 5)))


@pytest.mark.parametrize("timeouts", [0, 1, 2])
def test_inside_the_clock_by_hand_it_is_over(parts: Parts, timeouts: int) -> None:
    """Twenty seconds are left for play clocks that are not run to their end."""
    assert over(parts, by_hand(timeouts) - 20, timeouts) > 0.85


@pytest.mark.parametrize("timeouts", [0, 1, 2, 3])
def test_beyond_the_clock_by_hand_it_is_not(parts: Parts, timeouts: int) -> None:
    assert over(parts, by_hand(timeouts) + 15, timeouts) < 0.1


def test_time_outs_take_a_play_clock_each(parts: Parts) -> None:
    shares = [over(parts, 100, k) for k in range(4)]
    assert shares[0] > 0.85
    assert all(a >= b for a, b in pairwise(shares))
    assert shares[1] < 0.1
    assert shares[3] == 0


def test_broken_kneels_are_seen(parts: Parts) -> None:
    """Negative control."""
    assert over(hurried(parts), by_hand(0) - 20, 0) < 0.1
