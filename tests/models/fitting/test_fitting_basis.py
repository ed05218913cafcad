"""Bases: what a fit may bend, and that a table is the fit."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft_models.fitting.basis import RIDGE, Basis, Bends, Levels, Line, Term

Array = np.ndarray

YARDS = Bends("yards", (1, 4, 10, 30, 60, 99))
CLOCK = Bends("clock", (0, 10, 60, 300, 1800), "log+4")
DOWN = Levels("down", 4)
EDGE = Line("edge")
PACE = Line("clock", "log+4")

TERMS = {
    "bends": Term((YARDS,)),
    "log bends": Term((CLOCK,)),
    "levels": Term((DOWN,)),
    "line": Term((EDGE,)),
    "log line": Term((PACE,)),
    "levels x bends": Term((DOWN, YARDS)),
    "bends x bends": Term((YARDS, CLOCK)),
    "line x bends": Term((EDGE, YARDS)),
    "three": Term((DOWN, YARDS, CLOCK)),
}
GRID: dict[str, Array] = {
    "yards": np.array([1, 2, 3, 4, 5, 29.5, 30, 31, 98, 99]),
    "clock": np.array([0, 1, 9, 10, 11, 200, 1800]),
    "down": np.arange(4),
    "edge": np.array([-1.5, 0, 0.3, 2]),
}


def dense(basis: Basis, columns: dict[str, Array]) -> Array:
    return np.asarray(basis.design(columns, float).toarray())


@given(st.floats(-50, 3000))
def test_hats_share_every_value_between_two_neighbours(x: float) -> None:
    for axis in (YARDS, CLOCK):
        index, weight = axis.weights(np.array([max(x, -3.5) if axis is CLOCK else x]))
        assert weight.sum() == pytest.approx(1)
        assert (weight >= 0).all()
        assert index[0, 1] == index[0, 0] + 1


def test_hats_are_one_at_their_knot_and_flat_beyond_the_last() -> None:
    full = Basis((Term((YARDS,)),))
    assert dense(full, {"yards": np.array(YARDS.knots)}) == pytest.approx(np.eye(YARDS.size))
    beyond = dense(full, {"yards": np.array([-20.0, 500.0])})
    assert beyond == pytest.approx(np.eye(YARDS.size)[[0, -1]])
    straight = np.array(YARDS.knots) @ dense(full, {"yards": GRID["yards"]}).T
    assert straight == pytest.approx(GRID["yards"])


def test_hats_of_a_transformed_variable_are_straight_in_it() -> None:
    full = Basis((Term((CLOCK,)),))
    seconds = np.array([0.0, 7, 33, 444, 1800])
    found = np.log(np.array(CLOCK.knots) + 4) @ dense(full, {"clock": seconds}).T
    assert found == pytest.approx(np.log(seconds + 4))


def test_an_unknown_transform_says_which_there_is() -> None:
    with pytest.raises(ValueError, match=r"no transform 'sqrt\+1'; there is log\+<constant>"):
        Bends("x", (0, 1), "sqrt+1").weights(np.zeros(1))


@pytest.mark.parametrize("many", [0, 3])
@pytest.mark.parametrize("term", TERMS.values(), ids=TERMS)
def test_a_table_is_the_design_times_the_coefficients(term: Term, many: int) -> None:
    rng = np.random.default_rng(5)
    b = rng.normal(size=(term.size, many) if many else term.size)
    names = [axis.variable for axis in term.axes]
    mesh = np.meshgrid(*(GRID[v] for v in names), indexing="ij")
    columns = {v: m.ravel() for v, m in zip(names, mesh, strict=True)}
    straight = Basis((term,)).design(columns, float) @ b
    table = term.table(b, GRID)
    assert table.shape == (*mesh[0].shape, *((many,) if many else ()))
    assert table.reshape(straight.shape) == pytest.approx(straight)


def test_a_product_is_the_product_of_its_axes() -> None:
    columns = {"yards": np.array([7.0, 45.0]), "clock": np.array([33.0, 900.0])}
    both = dense(Basis((Term((YARDS, CLOCK)),)), columns)
    one, other = (dense(Basis((Term((a,)),)), columns) for a in (YARDS, CLOCK))
    for row in range(2):
        assert both[row] == pytest.approx(np.outer(one[row], other[row]).ravel())


def test_a_sum_of_terms_lays_its_columns_side_by_side() -> None:
    basis = Basis((TERMS["bends"], TERMS["levels"], TERMS["line x bends"]))
    assert basis.size == sum(t.size for t in basis.terms)
    assert basis.variables == ("yards", "down", "edge")
    columns = {"yards": np.array([7.0]), "down": np.array([2]), "edge": np.array([0.5])}
    parts = [dense(Basis((t,)), columns) for t in basis.terms]
    assert dense(basis, columns) == pytest.approx(np.concatenate(parts, axis=1))
    b = np.arange(float(basis.size))
    assert [len(p) for p in basis.split(b)] == [t.size for t in basis.terms]
    assert np.concatenate(basis.split(b)) == pytest.approx(b)


@pytest.mark.parametrize("term", TERMS.values(), ids=TERMS)
def test_a_penalty_never_rewards_bending(term: Term) -> None:
    penalty = term.penalty()
    assert penalty == pytest.approx(penalty.T)
    assert np.linalg.eigvalsh(penalty).min() >= RIDGE - 1e-9


def test_what_a_penalty_leaves_free() -> None:
    """Constants cost only the ridge; straight lines next to nothing; bends a lot."""
    stiff = Term((YARDS,), stiffness=100.0)
    n = YARDS.size
    flat, slope = np.ones(n), np.arange(n) - (n - 1) / 2
    zigzag = np.array([(-1.0) ** i for i in range(n)])

    def cost(b: Array) -> float:
        return float(b @ stiff.penalty() @ b) / float(b @ b)

    assert cost(flat) == pytest.approx(RIDGE)
    assert cost(flat) < cost(slope) < cost(zigzag) / 50
    assert Term((EDGE,), 100.0).penalty() == pytest.approx(np.array([[RIDGE]]))
    both = Term((DOWN, YARDS), stiffness=100.0).penalty()
    assert np.kron(np.ones(4), flat) @ both @ np.kron(np.ones(4), flat) == pytest.approx(
        4 * n * (RIDGE + 100.0 * 0.02)
    )


def test_stiffness_scales_the_penalty_and_not_the_ridge() -> None:
    soft, stiff = Term((YARDS,), 1.0).penalty(), Term((YARDS,), 7.0).penalty()
    ridge = RIDGE * np.eye(YARDS.size)
    assert stiff - ridge == pytest.approx(7 * (soft - ridge))


def ordered_term() -> Term:
    return Term((DOWN, YARDS, CLOCK), rises=("clock",), falls=("yards",))


@given(st.integers(0, 2**32 - 1))
def test_mended_orders_hold_exactly_and_mending_twice_changes_nothing(seed: int) -> None:
    basis = Basis((TERMS["line"], ordered_term(), TERMS["levels"]))
    b = np.random.default_rng(seed).normal(size=basis.size)
    mended = basis.ordered(b)
    assert (basis.orders() @ mended >= 0).all()
    assert (basis.ordered(mended) == mended).all()
    line, own, levels = basis.split(mended)
    assert (line == b[:1]).all()
    assert (levels == b[-4:]).all()
    cube = own.reshape(basis.terms[1].shape)
    assert (np.diff(cube, axis=1) <= 0).all()
    assert (np.diff(cube, axis=2) >= 0).all()
    table = basis.terms[1].table(own, GRID)
    assert (np.diff(table, axis=1) <= 1e-12).all()
    assert (np.diff(table, axis=2) >= -1e-12).all()


def test_orders_see_every_break() -> None:
    term = ordered_term()
    cube = np.zeros(term.shape)
    cube[2, 3:, 1:] = 1.0  # rises in yards where it must fall
    broken = term.orders() @ cube.ravel() < 0
    assert broken.sum() == len(CLOCK.knots) - 1
    assert (term.orders() @ -cube.ravel() < 0).sum() == YARDS.size - 3
    assert Basis((TERMS["bends"],)).orders().shape == (0, YARDS.size)


def test_ordered_coefficients_are_left_alone() -> None:
    basis = Basis((ordered_term(),))
    cube = -np.arange(YARDS.size)[None, :, None] + np.arange(len(CLOCK.knots))[None, None, :]
    b = np.broadcast_to(cube, basis.terms[0].shape).astype(float).ravel()
    assert (basis.ordered(b) == b).all()


def test_settings_survive_the_card() -> None:
    basis = Basis(
        (
            *TERMS.values(),
            Term((DOWN, YARDS), 12.5, rises=("yards",)),
            Term((CLOCK,), 0.1, falls=("clock",)),
        )
    )
    written: list[dict[str, Any]] = json.loads(json.dumps(basis.settings()))
    again = Basis.from_settings(written)
    assert again == basis
    assert (again.orders() == basis.orders()).all()
    assert (again.penalty() == basis.penalty()).all()


# -- orders that are not held everywhere ---------------------------------------------------------

PARTLY = Term((DOWN, YARDS), falls=("yards",), free=(("yards", 3),))


def test_a_free_level_is_left_out_of_the_orders_and_of_the_mending() -> None:
    steps = YARDS.size - 1
    assert len(PARTLY.orders()) == 3 * steps
    rising = np.tile(np.arange(float(YARDS.size)), 4)
    broken = PARTLY.orders() @ rising
    assert (broken < 0).all()
    mended = Basis((PARTLY,)).ordered(rising).reshape(4, -1)
    assert (np.diff(mended[:3]) <= 0).all()
    assert mended[3] == pytest.approx(np.arange(YARDS.size))


def test_what_is_free_survives_the_card() -> None:
    basis = Basis((PARTLY, Term((YARDS,), falls=("yards",))))
    settings = json.loads(json.dumps(basis.settings()))
    assert Basis.from_settings(settings) == basis
    assert "free" not in settings[1]
