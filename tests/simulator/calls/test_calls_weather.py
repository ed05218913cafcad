"""Words of the weather: what they move, and by how much."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft.calls.fourth import Inputs, price_fourth_down
from pointsleft.calls.weather import OWN_HALF, PUNTS, WEATHER, punt_yards
from pointsleft.pricing.judgement_table import judged
from pointsleft_models.bundle import Worth
from pointsleft_models.football.rules import rule_set
from pointsleft_models.football.situation import Situation
from pointsleft_models.laws.lattice import OTHER, SPOTS
from pointsleft_models.laws.setting import Setting

FAR = Setting(4, 8, 72, 2, 600, 0)


def start(worth: Worth, farther: float, *, refits: bool = False) -> np.ndarray:
    """Mean yard line (fits,) of the other side after a punt that was got off and not kept."""
    law = worth.kicking.punt(FAR, farther=farther, refits=refits)
    punted = [i for i, kind in enumerate(law.kinds) if kind == "punted"]
    weights = law.weights[:, punted]
    cells = (weights[..., None] * law.cells[:, punted]).sum(1)[:, OTHER : OTHER + SPOTS]
    return np.asarray(cells @ np.arange(1, SPOTS + 1) / cells.sum(1))


@pytest.mark.parametrize("farther", [0.9, 2.39, 3.0, -1.4])
def test_the_mean_start_moves_by_what_was_asked(worth: Worth, farther: float) -> None:
    """Touchbacks stay where they are, so the others have to move a little more; both ends hold."""
    for refits in (False, True):
        moved = start(worth, farther, refits=refits) - start(worth, 0.0, refits=refits)
        assert moved == pytest.approx(farther, abs=0.04)


def test_a_moved_punt_is_still_a_law(worth: Worth) -> None:
    plain, law = (worth.kicking.punt(FAR, farther=by, refits=True) for by in (0.0, 3.29))
    assert law.cells.min() >= 0
    assert law.cells.sum(-1) == pytest.approx(np.ones(law.cells.shape[:2]))
    assert np.array_equal(law.weights, plain.weights)


def test_only_cold_and_wind_from_the_own_half_move_a_punt() -> None:
    assert set(PUNTS) < set(WEATHER)
    assert punt_yards(("cold", "windy", "wet"), OWN_HALF + 1) == pytest.approx(2.39 + 0.90)
    assert punt_yards(("cold", "windy"), OWN_HALF) == 0.0
    assert punt_yards(("wet", "high", "turf"), 80) == 0.0


def test_a_cold_day_makes_a_punt_from_the_own_half_worth_less(worth: Worth) -> None:
    at = Situation(
        down=4, distance=8, yards_to_goal=72, period=2, seconds=600, lead=0,
        own_timeouts=3, opponent_timeouts=3, rules=rule_set("professional", 2019),
    )  # fmt: skip
    plain, cold = (price_fourth_down(worth, at, Inputs(weather=w)) for w in ((), ("cold",)))
    fall = plain.choice("punt").value["points"] - cold.choice("punt").value["points"]
    assert 0.05 < fall < 0.25  # about .06 points a yard there
    assert plain.choice("go").value == cold.choice("go").value
    assert any("after a punt" in note and "+2.4 yards" in note for note in cold.notes)
    assert not any("after a punt" in note for note in plain.notes)


def test_the_range_of_a_punt_is_the_interval_of_what_was_measured() -> None:
    for code in PUNTS.values():
        row = judged(code)
        assert row.low < row.value < row.high
        assert row.value - row.low == pytest.approx(row.high - row.value, abs=0.02)
