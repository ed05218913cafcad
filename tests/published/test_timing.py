"""The protection clock against sprint figures and common practice."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.protection import (
    SPRINT_TAU,
    THREE_STEP_DEPTH,
    ball_out,
    free_arrival,
    sprint_seconds,
)
from pointsleft_models.laws.passing import SECONDS_A_YARD


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


def test_ball_flight_at_55_miles_an_hour() -> None:
    """10 yards .38 s, 20 yards .78 +- .05 s, 40 yards 1.62 to 1.81 s (derived: drag .05 to .20 and
    .42 kg, bounded by Watts & Moore 2003 and Alam et al. 2012), integrated here once more.

    The clock of a play takes .05 s a yard from the archive's incompletions, 1.0 s for twenty: a
    deeper ball is lobbed, and is let go later. It must not be quicker than the flight, nor twice
    as slow.
    """
    for yards, low, high in ((10, 0.36, 0.40), (20, 0.73, 0.83), (40, 1.60, 1.85)):
        times = [_flight_seconds(yards, drag) for drag in (0.05, 0.20)]
        assert low <= min(times) <= max(times) <= high, yards
        assert max(times) <= SECONDS_A_YARD * yards * 1.05, yards
        assert SECONDS_A_YARD * yards <= 2 * min(times), yards


def _flight_seconds(yards: float, drag: float) -> float:
    """Seconds until the ball is as high as it was let go, at the lowest angle that carries."""
    for degrees in range(1, 46):
        gone, time = _throw_at(np.radians(degrees), drag)
        if gone >= yards * 0.9144:
            return time * yards * 0.9144 / gone
    raise ValueError(f"{yards} yards are out of reach")


def _throw_at(angle: float, drag: float) -> tuple[float, float]:
    """Metres and seconds: air of 1.2 kg/m3 against a ball of .42 kg and 17 cm across."""
    area, step, time = np.pi * (0.17 / 2) ** 2, 2e-3, 0.0
    at = np.zeros(2)
    speed = 55 * 0.44704 * np.array([np.cos(angle), np.sin(angle)])
    while at[1] >= 0:
        pull = 0.5 * 1.2 * drag * area * np.hypot(*speed) / 0.42
        speed = speed - step * (pull * speed + np.array([0.0, 9.81]))
        at, time = at + step * speed, time + step
    return float(at[0]), time
