"""What docs/bench.json says meets the goals that are said to be held, and the published figures.

The measuring takes hours and is done by the benchmark; here its last figures are read.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from pointsleft_models.fitting.resample import SHIPPED

PATH = Path(__file__).parents[2] / "docs" / "bench.json"


@pytest.fixture(scope="module")
def found() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(PATH.read_text(encoding="utf-8"))
    return {name: section["data"] for name, section in read.items()}


@pytest.mark.parametrize("section", ["coverage", "coverage-published"])
def test_the_shipped_scheme_holds_the_exact_truth(found: dict[str, Any], section: str) -> None:
    """Asked: .88 of nominal .90 and a mean absolute error of .012, where boosted trees have .018
    (Brill, Yurko & Wyner 2025)."""
    assert SHIPPED.parts == 5
    schemes = {one["scheme"]: one for one in found[section]["schemes"]}
    assert schemes["fifths"]["coverage"] >= 0.88
    assert schemes["fifths"]["repeats"] >= 100
    assert found[section]["error"] <= 0.012


def test_points_and_wins_lie_nearer_than_the_peers_of_the_brief(found: dict[str, Any]) -> None:
    """Boosted trees and splines: by .0005 in points and .001 in wins."""
    for task in found["scores"]["tasks"]:
        margin = 0.001 if task["task"].startswith("winner") else 0.0005
        for one in task["learners"]:
            if one["learner"] in ("boosted A", "boosted B", "spline logit", "random forest"):
                assert one["less"]["value"] <= -margin, (task["task"], one["learner"])


def test_classes_are_calibrated_as_in_the_published_design(found: dict[str, Any]) -> None:
    """.013 (Yurko, Ventura & Horowitz 2019), on seasons left out."""
    assert found["calibration"]["points"]["error"] <= 0.013
    assert found["calibration"]["wins"]["missed"] == []


def test_the_engine_meets_the_exact_chains(found: dict[str, Any]) -> None:
    assert max(abs(one["off"]) for one in found["chains"]["beside"]) <= 4


def test_no_pace_of_the_clock_helps_on_a_college_season(found: dict[str, Any]) -> None:
    """So none is in the values; beyond chance it would have to be looked at again."""
    for one in found["pace"]["paced"]:
        assert one["next_score"]["high"] > 0
        assert one["wins"]["high"] > 0
