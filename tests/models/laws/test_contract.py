"""One contract that every law keeps, with a broken law for each of its clauses.

Each clause is a function that passes for a sound law; ``BROKEN`` pairs it with a way to spoil a
sound one so that exactly this clause must catch it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from law_family import FAMILIES, SETTINGS, Family
from pointsleft_models.bundle import Worth
from pointsleft_models.laws.lattice import (
    CELLS,
    DEFENSE_TOUCHDOWN,
    FIELD_GOAL,
    KINDS,
    OTHER,
    RUNNING,
    SAFETY,
    SPOTS,
    TOUCHDOWN,
    OutcomeLaw,
    spot_cell,
)
from pointsleft_models.laws.passing import Throw
from pointsleft_models.laws.setting import Setting

Array = np.ndarray

EXACT = 1e-9


# -- the clauses -----------------------------------------------------------------------------


def sums_to_one(law: OutcomeLaw) -> None:
    assert law.weights.sum(1) == pytest.approx(1, abs=EXACT)
    assert law.cells.sum(-1) == pytest.approx(1, abs=EXACT)
    assert law.mixture().sum(1) == pytest.approx(1, abs=EXACT)


def nothing_negative(law: OutcomeLaw) -> None:
    assert law.weights.min() >= 0
    assert law.cells.min() >= 0


def shapes_agree(law: OutcomeLaw) -> None:
    fits, branches = law.weights.shape
    assert law.fits == fits
    assert law.cells.shape == (fits, branches, CELLS)
    assert len(law.kinds) == branches
    assert set(law.kinds) <= set(KINDS)
    assert 0 < law.seconds < 20


def mixture_is_its_branches(law: OutcomeLaw) -> None:
    by_hand = sum(law.weights[:, [b]] * law.cells[:, b] for b in range(len(law.kinds)))
    assert law.mixture() == pytest.approx(by_hand, abs=EXACT)


def value_is_linear(law: OutcomeLaw) -> None:
    rng = np.random.default_rng(0)
    a, b = rng.normal(size=(2, CELLS))
    assert law.value(np.ones(CELLS)) == pytest.approx(1, abs=EXACT)
    both = law.value(2 * a - 3 * b)
    assert both == pytest.approx(2 * law.value(a) - 3 * law.value(b), abs=EXACT)
    assert law.value(a) == pytest.approx(law.mixture() @ a, abs=EXACT)
    by_fit = rng.normal(size=(law.fits, CELLS))
    assert law.value(by_fit) == pytest.approx((law.mixture() * by_fit).sum(1), abs=EXACT)


CLAUSES: tuple[Callable[[OutcomeLaw], None], ...] = (
    sums_to_one,
    nothing_negative,
    shapes_agree,
    mixture_is_its_branches,
    value_is_linear,
)


def nothing_impossible(law: OutcomeLaw, may: set[int]) -> None:
    """Nothing comes of it that the rules of the game rule out."""
    live = set(np.flatnonzero(law.mixture().max(0) > EXACT))
    assert live <= may, sorted(live - may)


def point_fit_comes_first(law: OutcomeLaw, every: OutcomeLaw) -> None:
    assert every.kinds == law.kinds
    assert every.weights[0] == pytest.approx(law.weights[0], abs=1e-6)
    assert every.mixture()[0] == pytest.approx(law.mixture()[0], abs=1e-6)


def refits_move(every: OutcomeLaw, refits: int) -> None:
    """Each refit is a fit of its own: no two rows of the law are the same."""
    assert every.fits == 1 + refits
    rows = np.concatenate([every.weights, every.mixture()], axis=1)
    assert len(np.unique(rows, axis=0)) == 1 + refits


# -- every law keeps them --------------------------------------------------------------------

everywhere = pytest.mark.parametrize("at", SETTINGS.values(), ids=SETTINGS)
every_family = pytest.mark.parametrize("family", FAMILIES, ids=lambda f: f.name)


@every_family
@everywhere
def test_the_contract(family: Family, at: Setting, worth: Worth) -> None:
    law, every = family.law(worth, at, False), family.law(worth, at, True)
    assert law.fits == 1
    for clause in CLAUSES:
        clause(law)
        clause(every)
    nothing_impossible(every, family.may(at))
    point_fit_comes_first(law, every)


#: Where a law that is fitted has room to differ by fit.
ROOM = {"own 25", "opp 32, third"}


@every_family
@pytest.mark.parametrize("at", [SETTINGS[name] for name in sorted(ROOM)], ids=sorted(ROOM))
def test_refits_differ(family: Family, at: Setting, worth: Worth) -> None:
    every = family.law(worth, at, True)
    if family.fitted:
        refits_move(every, worth.models.refits)
    else:
        assert every.fits == 1


# -- the field ends where it does ------------------------------------------------------------


@everywhere
def test_no_catch_beyond_the_end_line(at: Setting, worth: Worth) -> None:
    deepest = at.yards_to_goal + 9
    edge, beyond = (worth.passing.law(Throw(air), at) for air in (deepest, deepest + 25))
    assert beyond.mixture() == pytest.approx(edge.mixture(), abs=EXACT)
    assert beyond.seconds == edge.seconds


@pytest.mark.parametrize("air", [4, 5, 13])
def test_a_catch_beyond_the_goal_line_is_a_touchdown(air: int, worth: Worth) -> None:
    law = worth.passing.law(Throw(air, "middle", "slant"), SETTINGS["opp 4, goal"])
    assert law.cells[0, law.kinds.index("complete"), TOUCHDOWN] == pytest.approx(1, abs=EXACT)
    short = worth.passing.law(Throw(3, "middle", "slant"), SETTINGS["opp 4, goal"])
    assert short.cells[0, short.kinds.index("complete"), TOUCHDOWN] < 1


def test_nobody_loses_a_ball_caught_in_the_end_zone(worth: Worth) -> None:
    at = Setting(2, 8, 8, 1, 1200, 0)
    for air, fumbles in ((7, True), (8, False), (12, False)):
        parts = worth.passing.parts(Throw(air, "right", "corner"), at, refits=True)
        assert (parts.lost > 0).all() == fumbles
        assert parts.weights().sum(-1) == pytest.approx(1)


@everywhere
def test_a_sack_behind_the_goal_line_is_a_safety(at: Setting, worth: Worth) -> None:
    """Over all sacks: the losses that the field holds, and the rest in the end zone."""
    law = worth.rushing.sack(at)
    open_field = worth.rushing.sack(replace(at, yards_to_goal=50))
    sacked = law.cells[0, law.kinds.index("sacked")]
    behind = 100 - at.yards_to_goal
    assert sacked[SAFETY] + sacked[RUNNING : RUNNING + SPOTS].sum() == pytest.approx(1, abs=EXACT)
    if behind > 40:
        assert sacked[SAFETY] < 1e-6
    if behind == 1:  # at the own 1 only a sack for nothing stays in the field
        assert sacked[SAFETY] > 0.7
        assert sacked[spot_cell(RUNNING, 99)] == pytest.approx(1 - sacked[SAFETY], abs=EXACT)
    assert open_field.mixture()[0, SAFETY] < 1e-6


def test_a_loss_beyond_the_own_goal_line_is_a_safety(worth: Worth) -> None:
    for family in FAMILIES:
        if family.name in ("run", "scramble", "going"):
            assert family.law(worth, SETTINGS["own 1"], False).mixture()[0, SAFETY] > 0
            assert family.law(worth, SETTINGS["own 25"], False).mixture()[0, SAFETY] == 0


def test_a_fumble_in_the_own_end_zone_scores_for_the_defense(worth: Worth) -> None:
    at = SETTINGS["own 1"]
    law = worth.rushing.sack(at)
    sacked, lost = (law.cells[0, law.kinds.index(k)] for k in ("sacked", "fumbled away"))
    assert lost[DEFENSE_TOUCHDOWN] >= sacked[SAFETY]
    assert lost[SAFETY] == 0


def test_a_punt_from_the_own_1_is_not_a_touchback(worth: Worth) -> None:
    punt = {name: worth.kicking.punt(at).mixture()[0] for name, at in SETTINGS.items()}
    cell = spot_cell(OTHER, 20)
    assert punt["opp 32, third"][cell] > 0.2
    assert punt["own 1"][cell] < 0.05


def test_nobody_makes_a_kick_of_eighty_yards(worth: Worth) -> None:
    law = worth.kicking.field_goal(replace(SETTINGS["own 25"], yards_to_goal=62))
    assert law.mixture()[0, FIELD_GOAL] == 0
    assert worth.kicking.field_goal(SETTINGS["opp 32, third"]).mixture()[0, FIELD_GOAL] > 0.5


def test_a_tried_kick_that_misses_is_spotted_where_it_was_kicked(worth: Worth) -> None:
    for name, spot in (("opp 32, third", 40), ("opp 4, goal", 20), ("own 1", 99)):
        law = worth.kicking.field_goal(SETTINGS[name]).mixture()[0]
        assert law[FIELD_GOAL] + law[spot_cell(OTHER, spot)] == pytest.approx(1, abs=EXACT)


def test_conversion_is_the_chance_of_reaching_the_line_to_gain(worth: Worth) -> None:
    for at in SETTINGS.values():
        law = worth.going.law(at, refits=True)
        run = law.cells[:, law.kinds.index("run")]
        first = [
            spot_cell(block, s)
            for block in (RUNNING, SPOTS)
            for s in range(1, at.yards_to_goal - at.distance + 1)
        ]
        reached = run[:, [*first, TOUCHDOWN]].sum(1)
        chance = law.weights[:, law.kinds.index("run")] * reached
        assert worth.going.conversion(at, refits=True) == pytest.approx(chance, abs=1e-6)


# -- and each clause can fail ----------------------------------------------------------------


def spoil(law: OutcomeLaw, cell: int, amount: float) -> OutcomeLaw:
    cells = law.cells.copy()
    cells[-1, 0, cell] += amount
    return replace(law, cells=cells)


class Crooked(OutcomeLaw):
    """A law whose value is not that of its cells."""

    def value(self, values: Array) -> Array:
        return np.asarray(super().value(values)) ** 2


class Forgetful(OutcomeLaw):
    """A law whose mixture leaves the last branch out."""

    def mixture(self) -> Array:
        return np.matmul(self.weights[:, None, :-1], self.cells[:, :-1])[:, 0]


def spoilt_by(kind: type[OutcomeLaw]) -> Callable[[OutcomeLaw], OutcomeLaw]:
    return lambda law: kind(law.kinds, law.weights, law.cells, law.seconds)


def moved_weight(law: OutcomeLaw) -> OutcomeLaw:
    """Weight taken below zero in one branch and given to another: the sum stays."""
    weights = law.weights.copy()
    weights[-1, 0] -= 2
    weights[-1, 1] += 2
    return replace(law, weights=weights)


BROKEN: tuple[tuple[str, Callable[[OutcomeLaw], None], Callable[[OutcomeLaw], OutcomeLaw]], ...] = (
    ("a branch of more than 1", sums_to_one, lambda law: spoil(law, 5, 1e-6)),
    ("weights of less than 1", sums_to_one, lambda law: replace(law, weights=law.weights * 0.999)),
    ("a negative chance", nothing_negative, lambda law: spoil(law, 5, -2.0)),
    ("a negative weight", nothing_negative, moved_weight),
    ("a kind of no name", shapes_agree, lambda law: replace(law, kinds=("x", *law.kinds[1:]))),
    ("a branch too few", shapes_agree, lambda law: replace(law, kinds=law.kinds[1:])),
    ("a cell too few", shapes_agree, lambda law: replace(law, cells=law.cells[..., :-1])),
    ("no time at all", shapes_agree, lambda law: replace(law, seconds=0.0)),
    ("a mixture of its own", mixture_is_its_branches, spoilt_by(Forgetful)),
    ("a value of its own", value_is_linear, spoilt_by(Crooked)),
)


@pytest.mark.parametrize(
    ("clause", "breaking"), [b[1:] for b in BROKEN], ids=[b[0] for b in BROKEN]
)
def test_a_broken_law_is_caught(
    clause: Callable[[OutcomeLaw], None],
    breaking: Callable[[OutcomeLaw], OutcomeLaw],
    worth: Worth,
) -> None:
    sound = worth.rushing.run(SETTINGS["own 25"], refits=True)
    clause(sound)
    with pytest.raises(AssertionError):
        clause(breaking(sound))


def test_an_impossible_outcome_is_caught(worth: Worth) -> None:
    """Yards past the goal line cannot even be written; a sack that gains can, and is caught."""
    for family in FAMILIES:
        at = SETTINGS["opp 32, third"]
        law, may = family.law(worth, at, False), family.may(at)
        outside = next(c for c in range(CELLS) if c not in may)
        with pytest.raises(AssertionError):
            nothing_impossible(spoil(law, outside, 0.01), may)


def test_refits_out_of_order_or_stuck_are_caught(worth: Worth) -> None:
    at = SETTINGS["own 25"]
    law, every = worth.rushing.run(at), worth.rushing.run(at, refits=True)
    turned = replace(every, weights=every.weights[::-1], cells=every.cells[::-1])
    with pytest.raises(AssertionError):
        point_fit_comes_first(law, turned)
    weights, cells = every.weights.copy(), every.cells.copy()
    weights[3], cells[3] = weights[0], cells[0]
    with pytest.raises(AssertionError):
        refits_move(replace(every, weights=weights, cells=cells), worth.models.refits)


@pytest.mark.parametrize("refits", [False, True])
def test_throws_looked_up_together_are_throws_alone(worth: Worth, refits: bool) -> None:
    """From every setting, with and without words, into the field and into the end zone."""
    throws = [
        (Throw(air, third, route, shell, pressured), at)
        for at in SETTINGS.values()
        for air, third, route, shell, pressured in (
            (-3, None, "screen", None, None),
            (12, "middle", "in", "two-deep", False),
            (12, "middle", "in", "two-deep", True),
            (at.yards_to_goal + 4, "right", None, None, True),
        )
    ]
    together = worth.passing.pieces(throws, refits=refits)
    for (throw, at), found in zip(throws, together, strict=True):
        alone = worth.passing.parts(throw, at, refits=refits)
        for name in ("catch", "pick", "lost", "cells"):
            assert getattr(found, name) == pytest.approx(getattr(alone, name), abs=1e-12), name
        assert found.flight_seconds == alone.flight_seconds
