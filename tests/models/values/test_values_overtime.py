"""Overtime under the rules of each era."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.bundle import Models
from pointsleft_models.football.rules import rule_set
from pointsleft_models.football.situation import Situation
from pointsleft_models.laws.lattice import (
    CELLS,
    DEFENSE_TOUCHDOWN,
    FIELD_GOAL,
    OTHER,
    SAFETY,
    STOPPED,
    TOUCHDOWN,
    spot_cell,
)
from pointsleft_models.laws.setting import Setting
from pointsleft_models.values.overtime import OvertimeValue, overtime_phase
from pointsleft_models.values.states import states

KINDS = {
    "sudden 2011": ("professional", 2011, False),
    "play-off 2011": ("professional", 2011, True),
    "2014": ("professional", 2014, False),
    "2019": ("professional", 2019, False),
    "2025": ("professional", 2025, False),
    "college": ("college", 2019, False),
}
PHASES = ("first", "reply", "sudden")

START = states(yards_to_goal=75, half=2, half_seconds=590)


def overtime(models: Models, name: str) -> OvertimeValue:
    level, season, playoff = KINDS[name]
    rules = rule_set(level, season)
    kind = rules.playoff_overtime if playoff else rules.overtime
    return OvertimeValue(models.under(rules).points, kind)


def at_start(models: Models, name: str) -> float:
    return float(overtime(models, name).wins(START, "first")[0, 0])


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("sudden 2011", "sudden"), ("play-off 2011", "first-touchdown"),
        ("2014", "first-touchdown"), ("2019", "first-touchdown"), ("2025", "both-possess"),
        ("college", "series"),
    ],
)  # fmt: skip
def test_kinds_by_era(models: Models, name: str, kind: str) -> None:
    assert overtime(models, name).kind == kind


@pytest.mark.parametrize("name", KINDS)
@pytest.mark.parametrize(
    ("phase", "lead"), [("first", 0), ("sudden", 0), ("reply", 0), ("reply", -3), ("reply", -7)]
)
def test_a_chance_everywhere_and_the_point_fit_first(
    models: Models, name: str, phase: str, lead: int
) -> None:
    own = overtime(models, name)
    for spot in (99, 75, 40, 3):
        at = Setting(2, min(8, spot), spot, 2, 400, lead)
        cells, every = own.cells(at, phase), own.cells(at, phase, refits=True)  # type: ignore[arg-type]
        assert cells.shape == (1, CELLS)
        assert every.shape == (1 + models.refits, CELLS)
        assert every[0] == pytest.approx(cells[0], abs=2e-3)
        assert every.min() >= 0
        assert every.max() <= 1


def test_each_rule_leaves_less_to_the_coin(models: Models) -> None:
    """Who has the ball first gains most in sudden death and less under each later rule."""
    sudden, changed, both = (at_start(models, n) for n in ("sudden 2011", "2014", "2025"))
    assert sudden > changed > both
    assert 0.52 < sudden < 0.65
    assert 0.40 < both < 0.55
    assert at_start(models, "play-off 2011") == pytest.approx(changed, abs=0.02)


def test_in_a_series_neither_side_gains_much_by_its_turn(models: Models) -> None:
    own = overtime(models, "college")
    first = states(yards_to_goal=25, half=2, half_seconds=1200)
    assert 0.45 < own.wins(first, "first")[0, 0] < 0.52


def cells_of(models: Models, name: str, phase: str, lead: int = 0, down: int = 1) -> np.ndarray:
    at = Setting(down, 10, 45, 2, 500, lead)
    return overtime(models, name).cells(at, phase)[0]  # type: ignore[arg-type]


@pytest.mark.parametrize("name", ["sudden 2011", "2014", "2019", "2025"])
def test_the_next_score_wins_in_sudden_death(models: Models, name: str) -> None:
    cells = cells_of(models, name, "sudden")
    assert cells[[TOUCHDOWN, FIELD_GOAL]] == pytest.approx(1)
    assert cells[[SAFETY, DEFENSE_TOUCHDOWN]] == pytest.approx(0)


def test_a_score_on_the_first_possession(models: Models) -> None:
    scored = {n: cells_of(models, n, "first") for n in KINDS}
    for name in ("sudden 2011",):
        assert scored[name][[TOUCHDOWN, FIELD_GOAL]] == pytest.approx(1)
    for name in ("play-off 2011", "2014", "2019"):
        assert scored[name][TOUCHDOWN] == pytest.approx(1)
        assert 0.6 < scored[name][FIELD_GOAL] < 0.95
    for name in ("2025", "college"):
        assert 0.6 < scored[name][TOUCHDOWN] < 0.999
        assert 0.3 < scored[name][FIELD_GOAL] < scored[name][TOUCHDOWN] - 0.1
    # a field goal from the 25 leaves them needing little from the same spot
    assert scored["college"][FIELD_GOAL] < 0.5 < scored["2025"][FIELD_GOAL]
    for name in KINDS:
        assert scored[name][SAFETY] == 0
        assert scored[name][DEFENSE_TOUCHDOWN] == 0


@pytest.mark.parametrize("name", ["2014", "2019", "2025", "college"])
def test_the_answer(models: Models, name: str) -> None:
    """Behind by three: a touchdown wins, a field goal levels, nothing loses."""
    behind = cells_of(models, name, "reply", lead=-3, down=4)
    assert behind[TOUCHDOWN] == pytest.approx(1)
    assert 0.25 < behind[FIELD_GOAL] < 0.6
    assert behind[spot_cell(STOPPED, 45)] == 0
    assert (behind[OTHER : OTHER + 99] == 0).all()
    level = cells_of(models, name, "reply", lead=0, down=4)
    assert level[[TOUCHDOWN, FIELD_GOAL]] == pytest.approx(1)
    assert level[spot_cell(STOPPED, 45)] > 0.2


@pytest.mark.parametrize("name", ["2025", "college"])
def test_the_answer_to_a_touchdown(models: Models, name: str) -> None:
    behind = cells_of(models, name, "reply", lead=-7)
    assert behind[FIELD_GOAL] == 0
    assert 0.25 < behind[TOUCHDOWN] < 0.6


@pytest.mark.parametrize("name", KINDS)
def test_better_field_position_is_better(models: Models, name: str) -> None:
    spots = np.array([90, 75, 50, 30, 15, 5])
    at = states(yards_to_goal=spots, half=2, half_seconds=400)
    for phase in PHASES:
        wins = overtime(models, name).wins(at, phase)[0]  # type: ignore[arg-type]
        assert (np.diff(wins) > 0).all(), phase


@pytest.mark.parametrize("name", ["sudden 2011", "2019", "2025"])
def test_with_the_clock_running_out_it_is_a_tie(models: Models, name: str) -> None:
    at = states(yards_to_goal=80, half=2, half_seconds=1)
    assert overtime(models, name).wins(at, "sudden")[0, 0] == pytest.approx(0.5, abs=0.03)


def test_which_possession_it_is() -> None:
    professional, college = rule_set("professional", 2019), rule_set("college", 2019)

    def at(
        period: int, lead: int | None, rules: object = professional, **more: object
    ) -> Situation:
        seconds = 0 if rules is college else 300
        return Situation(period, seconds, 1, 10, 25, lead, rules, **more)  # type: ignore[arg-type]

    assert overtime_phase(at(5, 0)) == "first"
    assert overtime_phase(at(5, -3)) == "reply"
    assert overtime_phase(at(6, 0)) == "sudden"
    assert overtime_phase(at(6, 0, college)) == "first"
    assert overtime_phase(at(6, -7, college)) == "reply"
    assert overtime_phase(at(5, 0, overtime_phase="sudden")) == "sudden"
