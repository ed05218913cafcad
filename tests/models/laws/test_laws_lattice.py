"""The lattice against the plainest way of filling it, one gain at a time."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft_models.fitting.yardage import from_stops
from pointsleft_models.laws.lattice import (
    CELLS,
    DEFENSE_TOUCHDOWN,
    OTHER,
    RUNNING,
    SAFETY,
    SPOTS,
    STOPPED,
    TOUCHDOWN,
    OutcomeLaw,
    at_cell,
    carried_cells,
    gain_cells,
    laid_on_field,
    law_of,
    mix,
    returned_cells,
    spot_cell,
)

Array = np.ndarray


def random_law(fits: int, n: int, seed: int) -> Array:
    law = np.random.default_rng(seed).random((fits, n))
    return np.asarray(law / law.sum(1, keepdims=True))


def one_by_one(law: Array, low: int, yards_to_goal: int, out: Array) -> Array:
    """Cells of net gains, the last of which scores."""
    cells = np.zeros((len(law), CELLS))
    for fit, row in enumerate(law):
        for at, p in enumerate(row):
            spot = yards_to_goal - (low + at)
            if at == len(row) - 1:
                cells[fit, TOUCHDOWN] += p
            elif spot > SPOTS:
                cells[fit, SAFETY] += p
            else:
                cells[fit, spot_cell(RUNNING, spot)] += p * (1 - out[fit])
                cells[fit, spot_cell(STOPPED, spot)] += p * out[fit]
    return cells


@given(
    yards_to_goal=st.integers(1, 99),
    low=st.integers(-12, 3),
    fits=st.integers(1, 3),
    seed=st.integers(0, 99),
)
def test_gains_go_where_they_lead(yards_to_goal: int, low: int, fits: int, seed: int) -> None:
    low = min(low, yards_to_goal)
    law = random_law(fits, yards_to_goal - low + 1, seed)
    out = np.random.default_rng(seed).random(fits)
    found = gain_cells(law, low, yards_to_goal, out)
    assert found == pytest.approx(one_by_one(law, low, yards_to_goal, out), abs=1e-12)
    assert found.sum(1) == pytest.approx(1)
    plain = gain_cells(law, low, yards_to_goal, 0.25)
    assert plain == pytest.approx(
        one_by_one(law, low, yards_to_goal, np.full(fits, 0.25)), abs=1e-12
    )


def several(carriers: list[tuple[int, int]], fits: int, seed: int) -> tuple[Array, Array, Array]:
    """Chances of stopping (fits, k, n) of carriers with a start and a limit, and the two."""
    start, limit = np.array(carriers).T
    stop = np.random.default_rng(seed).random((fits, len(carriers), int(limit.max()) + 3)) / 8
    return stop, start, limit


carriers = st.lists(st.tuples(st.integers(1, 99), st.integers(-12, 0)), min_size=1, max_size=4)


@given(carriers=carriers, fits=st.integers(1, 3), seed=st.integers(0, 9))
def test_carriers_together_are_carriers_alone(
    carriers: list[tuple[int, int]], fits: int, seed: int
) -> None:
    """Yards to goal and smallest gain of each."""
    stop, start, limit = several([(goal - low, goal - low) for goal, low in carriers], fits, seed)
    out = np.random.default_rng(seed).random((fits, len(carriers)))
    found = carried_cells(laid_on_field(stop, start, limit, toward_goal=True), out)
    for i, (goal, low) in enumerate(carriers):
        alone = gain_cells(from_stops(stop[:, i, : limit[i]]), low, goal, out[:, i])
        assert found[:, i] == pytest.approx(alone, abs=1e-12)


def test_who_has_no_field_left_has_scored() -> None:
    stop, start, limit = several([(5, 0), (40, 40)], 2, 0)
    found = carried_cells(laid_on_field(stop, start, limit, toward_goal=True), np.zeros((2, 2)))
    assert found[:, 0] == pytest.approx(np.tile(at_cell(TOUCHDOWN), (2, 1)))
    assert (found[:, 1, TOUCHDOWN] < 1).all()


@given(carriers=carriers, fits=st.integers(1, 3), seed=st.integers(0, 9))
def test_returns_stay_in_the_field_unless_they_score(
    carriers: list[tuple[int, int]], fits: int, seed: int
) -> None:
    """Spot and smallest return of each, one return yard at a time."""
    stop, start, limit = several(
        [(spot + low, SPOTS + 1 - spot - low) for spot, low in carriers], fits, seed
    )
    found = returned_cells(laid_on_field(stop, start, limit, toward_goal=False))
    for i, (spot, low) in enumerate(carriers):
        law = from_stops(stop[:, i, : limit[i]])
        by_hand = np.zeros((fits, CELLS))
        for at in range(limit[i]):
            by_hand[:, spot_cell(OTHER, max(spot + low + at, 1))] += law[:, at]
        by_hand[:, DEFENSE_TOUCHDOWN] = law[:, -1]
        assert found[:, i] == pytest.approx(by_hand, abs=1e-12)


def test_cells_are_all_told_apart() -> None:
    blocks = [spot_cell(b, s) for b in (RUNNING, STOPPED, OTHER) for s in range(1, SPOTS + 1)]
    assert sorted(blocks) == list(range(3 * SPOTS))
    assert CELLS == 3 * SPOTS + 4


def a_law(kind: str, cell: int, fits: int = 1, seconds: float = 5.0) -> OutcomeLaw:
    return law_of([(kind, np.ones(fits), at_cell(cell))], seconds)


def test_a_mixture_of_laws_is_their_mixture() -> None:
    one, other = a_law("run", 3, seconds=4.0), a_law("sacked", SAFETY, seconds=8.0)
    both = mix([(0.25, one), (0.75, other)])
    assert both.kinds == ("run", "sacked")
    assert both.mixture()[0, [3, SAFETY]] == pytest.approx([0.25, 0.75])
    assert both.seconds == pytest.approx(7)
    assert both.chance("sacked") == pytest.approx(0.75)
    assert both.chance("punted") == 0
    values = np.arange(float(CELLS))
    assert both.branch_values(values)[0] == pytest.approx([3, SAFETY])


def test_a_mixture_may_have_weights_by_fit() -> None:
    law = mix([(np.array([0.1, 0.6]), a_law("run", 3)), (np.array([0.9, 0.4]), a_law("run", 9))])
    assert law.fits == 2
    assert law.mixture()[:, [3, 9]] == pytest.approx(np.array([[0.1, 0.9], [0.6, 0.4]]))


def test_chances_of_one_kind_in_several_branches_add_up() -> None:
    other = mix([(0.5, a_law("run", 4)), (0.5, a_law("good", 5))])
    law = mix([(0.5, a_law("run", 3)), (0.5, other)])
    assert law.chance("run") == pytest.approx(0.75)
