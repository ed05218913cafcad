"""Look-ups equal direct evaluation, point fit and refits alike, and clip at their ranges."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.fitting import mixed_tables, tabulated
from pointsleft_models.fitting.basis import Basis, Bends, Levels, Line, Term
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.mixed_tables import MixedTables
from pointsleft_models.fitting.tabulated import Tabulated

Array = np.ndarray

RANGES = {"down": (0, 4), "yards": (-5, 40), "late": (0, 601), "unused": (0, 2)}
WHOLE = Basis(
    (
        Term((Levels("down", 4),)),
        Term((Bends("yards", (-5, 0, 3, 10, 34)), Levels("down", 4))),
        Term((Bends("late", (0, 20, 120, 600), "log+4"),)),
        Term((Line("yards"), Bends("late", (0, 100, 600)))),
    )
)


def fitted(basis: Basis, refits: int = 3) -> FittedLogit:
    rng = np.random.default_rng(1)
    return FittedLogit(basis, rng.normal(size=basis.size), rng.normal(size=(refits, basis.size)))


def whole_rows(n: int = 300) -> dict[str, Array]:
    rng = np.random.default_rng(2)
    return {
        "down": rng.integers(0, 4, n),
        "yards": rng.integers(-5, 35, n),
        "late": rng.integers(0, 601, n),
    }


#: Some tables are kept in single precision.
SINGLE = 2e-5


def test_a_term_too_large_for_a_table_is_worked_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same log odds, whichever terms are tabulated, of arrays and of single numbers."""
    logit = fitted(WHOLE)
    rows = {name: column[:, None] for name, column in whole_rows(40).items()}
    rows["yards"] = np.arange(-5, 35)[None, :]
    one = {"down": 2, "yards": 7, "late": 33}
    asked = [Tabulated(logit, RANGES).eta(v, refits=True) for v in (rows, one)]
    for most in (0, 300):
        monkeypatch.setattr(tabulated, "MOST_TABULATED", most)
        parts = Tabulated(logit, RANGES)
        for values, wanted in zip((rows, one), asked, strict=True):
            assert parts.eta(values, refits=True) == pytest.approx(wanted, abs=SINGLE)


def test_a_tabulated_logit_is_the_fit() -> None:
    logit, rows = fitted(WHOLE), whole_rows()
    tables = Tabulated(logit, RANGES)
    assert tables.fits == 4
    point, every = tables.eta(rows), tables.eta(rows, refits=True)
    assert point.shape == (1, 300)
    assert every.shape == (4, 300)
    assert point[0] == pytest.approx(logit.eta(rows), abs=SINGLE)
    assert every == pytest.approx(logit.eta_all(rows), abs=SINGLE)
    assert tables.probability(rows, refits=True) == pytest.approx(expit(every))


def test_big_tables_that_are_not_merged_are_the_fit_too() -> None:
    wide = {"yards": (-5, 3000), "late": (0, 3000), "down": (0, 4)}
    logit, rows = fitted(WHOLE), whole_rows()
    assert Tabulated(logit, wide).eta(rows)[0] == pytest.approx(logit.eta(rows), abs=SINGLE)


@pytest.mark.parametrize("refits", [False, True])
def test_numbers_and_arrays_broadcast(refits: bool) -> None:
    logit = fitted(WHOLE)
    tables = Tabulated(logit, RANGES)
    yards = np.arange(-5, 35)
    mixed = tables.eta({"down": 2, "yards": yards, "late": 77}, refits=refits)
    full = {"down": np.full(40, 2), "yards": yards, "late": np.full(40, 77)}
    assert mixed == pytest.approx(tables.eta(full, refits=refits))
    alone = tables.eta({"down": 2, "yards": 3, "late": 77}, refits=refits)
    assert alone.shape == ((4,) if refits else (1,))
    assert alone == pytest.approx(mixed[:, 8])


def test_beyond_the_range_is_its_edge() -> None:
    tables = Tabulated(fitted(WHOLE), RANGES)
    far = tables.eta({"down": 9, "yards": np.array([-30, 99]), "late": 5000}, refits=True)
    edge = tables.eta({"down": 3, "yards": np.array([-5, 34]), "late": 600}, refits=True)
    assert far == pytest.approx(edge)


@pytest.mark.parametrize("refits", [False, True])
def test_a_held_variable_need_not_be_given(refits: bool) -> None:
    logit, rows = fitted(WHOLE), whole_rows()
    held = Tabulated(logit, {**RANGES, "down": (2, 1)})
    third = {**rows, "down": np.full_like(rows["down"], 2)}
    asked = {name: column for name, column in rows.items() if name != "down"}
    wanted = Tabulated(logit, RANGES).eta(third, refits=refits)
    assert held.eta(asked, refits=refits) == pytest.approx(wanted, abs=SINGLE)
    assert held.eta(rows, refits=refits) == pytest.approx(wanted, abs=SINGLE)  # held all the same


MIXED = Basis(
    (
        Term((Line("effective"),)),
        Term((Bends("effective", (-9, -2, 0, 2, 9)), Bends("clock", (0, 30, 900, 3600), "log+10"))),
        Term((Bends("lead", (-25, -8, 0, 8, 25)), Bends("clock", (0, 100, 3600)))),
        Term((Bends("timeouts", (0, 1, 2, 3)), Bends("effective", (-3, 0, 3)))),
        Term((Line("home"), Bends("clock", (0, 900, 3600)))),
    )
)
MIXED_WHOLE = {"clock": (0, 3601), "lead": (-25, 51), "timeouts": (0, 4)}


def mixed_rows(n: int = 200, fits: int = 0) -> dict[str, Array]:
    rng = np.random.default_rng(4)
    return {
        "effective": rng.normal(size=(fits, n) if fits else n) * 4,
        "clock": rng.integers(0, 3601, n),
        "lead": rng.integers(-25, 26, n),
        "timeouts": rng.integers(0, 4, n),
        "home": rng.choice([-0.5, 0, 0.5], n),
    }


def test_mixed_tables_are_the_fit() -> None:
    logit, rows = fitted(MIXED), mixed_rows()
    tables = MixedTables(logit, MIXED_WHOLE)
    assert tables.eta(rows) == pytest.approx(logit.eta(rows), abs=SINGLE)
    assert tables.eta_all(rows) == pytest.approx(logit.eta_all(rows), abs=SINGLE)


def test_terms_kept_apart_are_terms_added_together(monkeypatch: pytest.MonkeyPatch) -> None:
    logit, rows = fitted(MIXED), mixed_rows()
    together = MixedTables(logit, MIXED_WHOLE)
    monkeypatch.setattr(mixed_tables, "MOST_MERGED", 0)
    apart = MixedTables(logit, MIXED_WHOLE)
    assert len(apart._point) == len(MIXED.terms) > len(together._point)
    assert apart.eta(rows) == pytest.approx(together.eta(rows), abs=1e-12)


def test_a_continuous_column_may_differ_by_fit() -> None:
    logit, rows = fitted(MIXED), mixed_rows(fits=4)
    found = MixedTables(logit, MIXED_WHOLE).eta_all(rows)
    for fit in range(4):
        own = {v: (x[fit] if x.ndim == 2 else x) for v, x in rows.items()}
        assert found[fit] == pytest.approx(logit.only(fit).eta(own), abs=SINGLE)
