"""Half-time is worth the same from both sides, and joins what is fitted only near the half."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.bundle import Worth
from pointsleft_models.values.half_time import OPEN, SURE, WIDEST
from pointsleft_models.values.states import states

LEADS = np.arange(-20, 21)


@pytest.mark.parametrize("receives", [1, 0, -1])
@pytest.mark.parametrize("home", [0.5, 0.0, -0.5])
def test_what_one_side_gains_the_other_loses(worth: Worth, receives: int, home: float) -> None:
    n = len(LEADS)
    half_time = worth.wins._half_time
    ours = half_time.before(LEADS, np.full(n, receives), np.full(n, home))
    theirs = half_time.before(-LEADS, np.full(n, -receives), np.full(n, -home))
    assert ours + theirs == pytest.approx(np.ones_like(ours))
    assert (np.diff(ours[0]) > 0).all()


def test_beyond_the_widest_lead_nothing_changes(worth: Worth) -> None:
    half_time = worth.wins._half_time
    one, zero = np.ones(1), np.zeros(1)
    far = half_time.before(WIDEST * one, one, zero)
    assert (half_time.before((WIDEST + 9) * one, one, zero) == far).all()


def test_a_sure_next_score_is_the_kickoff_after_it(worth: Worth) -> None:
    """With a class chance of one the joined value is the one before the kickoff."""
    seconds = np.array([SURE, OPEN - 1, OPEN, 300])
    at = states(half=1, half_seconds=seconds, lead=3, receives=-1)
    chances = np.zeros((1, 4, 7))
    chances[..., 2] = 1  # we kick a field goal next
    fitted = np.full((1, 4), 0.4)
    half_time = worth.wins._half_time
    joined = half_time.led_to(at, chances, fitted)[0]
    kicked = half_time.before(np.array([6]), np.array([-1]), np.zeros(1))[0, 0]
    assert joined[0] == pytest.approx(kicked)
    assert 0 < (joined[1] - 0.4) / (kicked - 0.4) < 0.1
    assert (joined[2:] == 0.4).all()
    assert (half_time.led_to(states(half=2, half_seconds=seconds), chances, fitted) == 0.4).all()
