"""Multipliers of many inequalities, against a library's nonnegative least squares."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.optimize
from pointsleft_models.fitting import pivoting
from pointsleft_models.fitting.pivoting import multipliers

Array = np.ndarray


def problem(rows: int, columns: int, seed: int) -> tuple[Array, Array]:
    rng = np.random.default_rng(seed)
    return rng.normal(size=(rows, columns)), rng.normal(size=rows)


@pytest.mark.parametrize(("rows", "columns"), [(1, 1), (9, 5), (90, 60), (310, 300)])
@pytest.mark.parametrize("seed", range(5))
def test_a_library_finds_the_same(rows: int, columns: int, seed: int) -> None:
    a, target = problem(rows, columns, seed)
    reference, _ = scipy.optimize.nnls(a, target)
    found = multipliers(a.T @ a, a.T @ target)
    assert found == pytest.approx(reference, abs=1e-9 * np.linalg.cond(a) ** 2)
    if columns > 5:
        assert 0 < (found > 0).sum() < columns  # both kinds are there


def test_a_start_changes_nothing() -> None:
    a, target = problem(90, 60, 1)
    inner, right = a.T @ a, a.T @ target
    plain = multipliers(inner, right)
    for taken in (range(60), np.flatnonzero(plain), [3, 1, 59]):
        assert multipliers(inner, right, taken) == pytest.approx(plain, abs=1e-10)


def test_nothing_asked_is_nothing() -> None:
    assert multipliers(np.eye(3), np.zeros(3)).tolist() == [0, 0, 0]
    assert multipliers(np.zeros((0, 0)), np.zeros(0)).shape == (0,)


def stretched(seed: int, many: int = 4) -> tuple[Array, Array]:
    """A problem that is a thousand times steeper in one direction than in another."""
    rng = np.random.default_rng(seed)
    left, _, right = np.linalg.svd(rng.normal(size=(many, many)))
    a = left @ np.diag(np.logspace(0, -rng.uniform(0, 3), many)) @ right
    return a.T @ a, rng.normal(size=many)


def test_rounds_that_go_in_circles_come_to_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    problems = [stretched(seed) for seed in range(300)]

    def solve_all() -> list[Array]:
        return [multipliers(inner, target) for inner, target in problems]

    for (inner, target), found in zip(problems, solve_all(), strict=True):
        slack = inner @ found - target
        assert (found >= 0).all()
        assert (slack > -1e-8).all()
        assert found @ slack == pytest.approx(0, abs=1e-6 * (1 + np.abs(found).max()))
    monkeypatch.setattr(pivoting, "PATIENCE", 10**9)  # whole blocks alone do go in circles
    with pytest.raises(ArithmeticError, match="did not come to rest"):
        solve_all()
