"""Is the invented quarterback of the demo a believable one?"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from engine import options_of
from pointsleft.log import read_log
from pointsleft.log.check import is_decision
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.throws import ThrowModel
from pointsleft_models.bundle import Worth
from pointsleft_models.laws.lattice import RUNNING, SPOTS, STOPPED, TOUCHDOWN

DEMO = Path(__file__).parents[2] / "data_demo/game"


def expected_yards(model: OptionModel, yards_to_goal: int) -> float:
    """Mean yards gained by a law, balls that are lost counting nothing."""
    cells = model.law().mixture()[0]
    kept = cells[RUNNING : RUNNING + SPOTS] + cells[STOPPED : STOPPED + SPOTS]
    gains = yards_to_goal - np.arange(1, SPOTS + 1)
    return float(kept @ gains) + float(cells[TOUCHDOWN]) * yards_to_goal


def test_burke_2019_share_of_the_yards_at_the_best_receiver(worth: Worth) -> None:
    """MIT Sloan conference, table 1 (seen): listed quarterbacks took 63 to 70% of the yards
    available at the best receiver.

    He counts every receiver on the field with tracking data. A log lists two to four, those in
    the read, so the share must come out higher; it must still be that of a man who misses some.
    """
    taken = best = 0.0
    throws = 0
    for row in read_log(DEMO).snaps:
        if not is_decision(row):
            continue
        priced = options_of(worth, row)
        spot = priced.values.setting.yards_to_goal
        yards = {
            name: expected_yards(model, spot)
            for name, model in priced.models.items()
            if isinstance(model, ThrowModel)
        }
        chosen = row.happened.chosen
        if len(yards) > 1 and chosen in yards:
            throws += 1
            taken += yards[chosen]
            best += max(yards.values())
    print(f"{throws} throws, {taken / best:.2f} of the yards at the best receiver")
    assert throws >= 15
    assert 0.63 <= taken / best <= 0.90
