"""The protection clock against sprint figures and common practice."""

from __future__ import annotations

import pytest
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.protection import (
    SPRINT_TAU,
    THREE_STEP_DEPTH,
    ball_out,
    free_arrival,
    sprint_seconds,
)


def test_clark_2019_sprint() -> None:
    """J. Strength and Conditioning Research 33:1542-1550 (seen): x(t) = v (t - tau (1 -
    exp(-t/tau))) with tau .768 +- .068 s; 40 yards in 4.8 s gives 10 yards in 1.69 +- .03."""
    assert pytest.approx(0.768, abs=0.068) == SPRINT_TAU
    assert sprint_seconds(10, 4.8) == pytest.approx(1.69, abs=0.03)
    assert sprint_seconds(40, 4.8) == pytest.approx(4.8, abs=1e-6)
    assert sprint_seconds(10, 4.6) < sprint_seconds(10, 5.0)


def test_free_rusher_on_a_nine_yard_path() -> None:
    """1.5 to 1.65 s and .2 s to react (derived from the sprint above)."""
    assert 1.5 <= sprint_seconds(9, judged("rush.forty").value) <= 1.65
    assert judged("rush.reaction").value == pytest.approx(0.2)
    arrival = free_arrival(0.0, "left", THREE_STEP_DEPTH)
    assert 1.7 <= arrival <= 1.85


@pytest.mark.parametrize(
    ("steps", "hitches", "low", "high"),
    [(3, 0, 1.5, 1.8), (5, 1, 2.3, 2.6), (7, 1, 3.0, 3.5)],
)
def test_ball_out_by_drop(steps: int, hitches: int, low: float, high: float) -> None:
    """Three steps 1.5 to 1.8 s, five and a hitch 2.3 to 2.6, seven 3.0 and more, from under
    centre (memory; common practice, no source). A hitch belongs to the seven-step throw."""
    assert low <= round(ball_out(steps, hitches, gun=False, fake=False), 6) <= high
