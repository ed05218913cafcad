"""Look-ups say what the fits say."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.bundle import shipped_folder
from pointsleft_models.fitting.basis import Basis, Bends, Term
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.read import components_of
from pointsleft_models.fitting.store import load_fit
from pointsleft_models.fitting.yardage import YardageLaw
from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.tables import (
    SLOT_CHANCE,
    SLOTS,
    mood_index,
    pair_table,
    quantile_table,
    slot,
    spot_index,
)


@pytest.fixture(scope="module")
def fitted() -> dict[str, FittedLogit | YardageLaw]:
    return components_of(load_fit(shipped_folder("professional"), "playthrough"))


def test_slots_are_a_proper_law() -> None:
    assert SLOT_CHANCE.sum() == pytest.approx(1)
    u = (np.arange(200_000, dtype=np.float32) + 0.5) / 200_000
    seen = np.bincount(slot(u), minlength=SLOTS) / len(u)
    assert np.abs(seen - SLOT_CHANCE).max() < 2e-5
    assert np.all(np.diff(slot(u)) >= 0)


@pytest.mark.parametrize("name", ["pass", "complete", "kick on fourth", "flag", "interception"])
def test_two_look_ups_are_the_logit(fitted: dict[str, FittedLogit | YardageLaw], name: str) -> None:
    logit = fitted[name]
    assert isinstance(logit, FittedLogit)
    rng = np.random.default_rng(3)
    n = 500
    code = rng.integers(0, len(codes.CLOCKS), n)
    columns = {
        "down0": rng.integers(0, 4, n), "to_go": rng.integers(1, 21, n),
        "yards_to_goal": rng.integers(1, 100, n), "half0": rng.integers(0, 2, n),
        "score": rng.integers(0, codes.SCORES, n), "clock": codes.CLOCKS[code],
        "better": np.zeros(n),
    }  # fmt: skip
    columns["press"] = codes.pressing(columns["half0"], columns["clock"], columns["score"])
    down = columns["down0"] + 1
    table = pair_table(logit)
    eta = table.eta(
        spot_index(down, columns["to_go"], columns["yards_to_goal"]),
        mood_index(down, columns["half0"], columns["score"], code),
    )
    assert np.abs(eta - logit.eta(columns)).max() < 1e-4


def test_a_term_over_spot_and_mood_is_refused() -> None:
    term = Term((Bends("yards_to_goal", (1, 50, 99)), Bends("clock", (0, 1800))))
    logit = FittedLogit(Basis((term,)), np.zeros(6), np.zeros((0, 6)))
    with pytest.raises(ValueError, match="mixes spot and mood"):
        pair_table(logit)


def test_quantiles_keep_the_law() -> None:
    law = np.array([[0.2, 0.5, 0.29, 0.01]])
    values, chances = quantile_table(law, 5).law(0)
    assert values.tolist() == [5, 6, 7, 8]
    assert chances == pytest.approx(law[0], abs=1 / 512)


def test_gains_of_the_engine_are_those_of_the_fit(
    parts: Parts, fitted: dict[str, FittedLogit | YardageLaw]
) -> None:
    """Mean and the chance of twenty yards, first and ten at midfield."""
    law = fitted["run gain"]
    assert isinstance(law, YardageLaw)
    snap = {"down0": 0, "to_go": 10, "yards_to_goal": 60, "script": 0, "better": 0}
    exact = law.law(snap, 100)
    yards = np.arange(law.low, 101)
    one = np.array([1])
    cell = int(parts.gain_cell(one, one * 10, one * 60, one * 0)[0])
    values, chances = parts.run.law(cell)
    assert float(values @ chances) == pytest.approx(float(yards @ exact), abs=0.03)
    assert chances[values >= 20].sum() == pytest.approx(exact[yards >= 20].sum(), abs=2e-3)
    assert chances[values >= 50].sum() == pytest.approx(exact[yards >= 50].sum(), abs=5e-4)
