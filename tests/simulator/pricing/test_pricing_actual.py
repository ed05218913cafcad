"""What really happened, as a cell of the lattice and as a value."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pointsleft.log.record import Flag, Happened, Snap
from pointsleft.pricing.actual import actual_value, result_cell
from pointsleft.pricing.snap import prepare
from pointsleft_models.bundle import Worth
from pointsleft_models.laws.lattice import (
    CELLS,
    DEFENSE_TOUCHDOWN,
    FIELD_GOAL,
    OTHER,
    RUNNING,
    SAFETY,
    STOPPED,
    TOUCHDOWN,
    spot_cell,
)
from pricing_sample import FLAT, POST, LoggedOption, priced, situation, snap, snaps

AT = situation(yards_to_goal=60)


@pytest.mark.parametrize(
    ("said", "cell"),
    [
        ({"result": "complete", "yards": 5}, spot_cell(RUNNING, 55)),
        ({"result": "complete", "yards": 5, "ended": "out"}, spot_cell(STOPPED, 55)),
        ({"result": "run", "yards": -3}, spot_cell(RUNNING, 63)),
        ({"result": "scramble", "yards": 8, "ended": "slide"}, spot_cell(RUNNING, 52)),
        ({"result": "sack", "yards": -7}, spot_cell(RUNNING, 67)),
        ({"result": "drop"}, spot_cell(STOPPED, 60)),
        ({"result": "batted"}, spot_cell(STOPPED, 60)),
        ({"result": "throw-away"}, spot_cell(STOPPED, 60)),
        ({"result": "dropped-interception"}, spot_cell(STOPPED, 60)),
        ({"result": "interception", "end_yards_to_goal": 70}, spot_cell(OTHER, 30)),
        ({"result": "sack", "fumble": "lost", "end_yards_to_goal": 32}, spot_cell(OTHER, 68)),
        ({"result": "punt", "end_yards_to_goal": 88}, spot_cell(OTHER, 12)),
        ({"result": "complete", "yards": 60, "touchdown": True}, TOUCHDOWN),
        ({"result": "complete", "yards": 60}, TOUCHDOWN),
        ({"result": "interception", "defense_scored": True}, DEFENSE_TOUCHDOWN),
        ({"result": "sack", "safety": True}, SAFETY),
        ({"result": "good"}, FIELD_GOAL),
        ({"result": "complete", "yards": 5, "fumble": "lost"}, spot_cell(OTHER, 55)),
        ({"result": "sack", "yards": -7, "fumble": "lost"}, spot_cell(OTHER, 67)),
        ({"result": "run", "yards": 60, "fumble": "lost"}, spot_cell(OTHER, 20)),
        ({"result": "run", "fumble": "lost"}, None),
        ({"result": "interception", "yards": 0}, None),
        ({"result": "punt", "yards": 40}, None),
        ({"result": "no-good", "yards": 0}, None),
        ({"result": "complete"}, None),
        ({"result": "interception"}, None),
        ({}, None),
        ({"yards": 7}, None),
        ({"result": "no-play"}, None),
    ],
)
def test_where_a_result_lies(said: dict[str, Any], cell: int | None) -> None:
    assert result_cell(AT, Happened(**said)) == cell


def test_a_sack_behind_the_own_goal_line_is_a_safety() -> None:
    backed_up = situation(yards_to_goal=96)
    assert result_cell(backed_up, Happened(result="sack", yards=-3)) == spot_cell(RUNNING, 99)
    assert result_cell(backed_up, Happened(result="sack", yards=-4)) == SAFETY


def test_a_play_wiped_out_by_a_flag_has_no_cell() -> None:
    back = Flag("offense", when="live", decision="accepted", yards=10)
    kept = replace(back, decision="declined")
    gain = Happened(result="complete", yards=20)
    assert result_cell(AT, replace(gain, flag=back)) is None
    assert result_cell(AT, replace(gain, flag=kept)) == spot_cell(RUNNING, 40)


def value_after(worth: Worth, row: Snap, following: Snap | None) -> float | None:
    values, _, _ = prepare(worth, row)
    return actual_value(values, row, following, "points", 6.0)


def test_the_next_snap_as_logged_is_what_came_of_it(worth: Worth) -> None:
    row = snap(at=AT, happened=Happened(result="complete", yards=5))
    nxt = snap(at=situation(down=3, distance=2, yards_to_goal=55, seconds=561), number="2")
    came = value_after(worth, row, nxt)
    values, _, _ = prepare(worth, nxt)
    assert came == pytest.approx(values.before("points"), abs=1e-6)
    alone = value_after(worth, row, None)
    assert alone == pytest.approx(values.before("points"), abs=0.1)
    assert alone != came


def test_another_half_is_not_what_came_of_it(worth: Worth) -> None:
    row = snap(at=situation(seconds=9), happened=Happened(result="complete", yards=5))
    nxt = snap(at=situation(period=3, seconds=900), number="2")
    assert value_after(worth, row, nxt) == value_after(worth, row, None)


def test_a_ball_lost_is_worth_what_it_leaves_them(worth: Worth) -> None:
    near, far = (
        value_after(
            worth, snap(happened=Happened(result="interception", end_yards_to_goal=y)), None
        )
        for y in (5, 95)
    )
    assert near is not None
    assert far is not None
    assert near < -3 < far


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(row=snaps(), following=st.none() | snaps(number="2"))
def test_every_result_has_a_cell_of_the_field_or_none(
    worth: Worth, row: Snap, following: Snap | None
) -> None:
    assert row.situation is not None
    cell = result_cell(row.situation, row.happened)
    assert cell is None or 0 <= cell < CELLS
    values, _, _ = prepare(worth, row)
    for currency in values.currencies:
        came = actual_value(values, row, following, currency, 6.0)
        if cell is not None and following is None:
            assert came is not None
        assert came is None or abs(came) < 9


def test_options_not_taken_change_nothing_about_what_came(worth: Worth) -> None:
    one = value_after(worth, snap(POST, FLAT), None)
    assert value_after(worth, snap(FLAT), None) == one


@pytest.mark.parametrize("yards", [None, 0])
def test_an_interception_nobody_knows_where_is_still_an_interception(
    worth: Worth, yards: int | None
) -> None:
    """It is worth what interceptions of that throw are worth on average, and says so."""
    decision = priced(worth, snap(POST, FLAT, chosen="post", happened=Happened(
        result="interception", yards=yards
    )))  # fmt: skip
    assert "takeover.unknown" in {a.code for a in decision.assumptions}
    values, _, models = prepare(worth, snap(POST, FLAT, chosen="post"))
    law = models[0].law()
    for currency, led in (("points", decision.points), ("wins", decision.wins)):
        assert led is not None
        cells = values.cells(currency, models[0].seconds)[0]  # type: ignore[arg-type]
        on = [i for i, kind in enumerate(law.kinds) if kind == "intercepted"]
        mean = sum(law.weights[0, i] * (law.cells[0, i] @ cells) for i in on)
        assert led.after == pytest.approx(mean / law.weights[0, on].sum(), abs=1e-9)
        assert led.breaks < 0
        assert led.after < led.before


def test_a_punt_or_kick_nobody_knows_where_is_theirs(worth: Worth) -> None:
    at = situation(down=4, yards_to_goal=40)
    for kind, result in (("punt", "punt"), ("punt", "blocked"), ("field-goal", "no-good")):
        row = snap(
            LoggedOption("go", "go"), LoggedOption("k", kind), chosen="k", at=at,
            happened=Happened(result=result, yards=15),
        )  # fmt: skip
        decision = priced(worth, row)
        assert decision.points is not None
        assert decision.points.after < 0.3
        assert "takeover.unknown" in {a.code for a in decision.assumptions}
    logged = replace(row, happened=replace(row.happened, end_yards_to_goal=60))
    assert "takeover.unknown" not in {a.code for a in priced(worth, logged).assumptions}
