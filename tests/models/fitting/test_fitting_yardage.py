"""Laws of yards: proper, and a known law is found again from carriers in any field."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.fitted import fit_logit
from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.resample import Scheme, resample_games
from pointsleft_models.fitting.yardage import (
    YARDS,
    YardageLaw,
    from_stops,
    stopping_counts,
)

Array = np.ndarray

LOW, TOP = -3, 100
BASIS = Basis(
    (
        Term((Levels(YARDS, 1),), 0.0),
        Term((Bends(YARDS, (-3, -2, -1, 0, 1, 2, 3, 5, 8, 12, 20, 40)),), 0.02),
        Term((Levels("wide", 2),), 0.02),
    )
)


@given(arrays(float, (3, 8), elements=st.floats(0, 1)))
def test_chances_of_stopping_make_a_proper_law(stop: Array) -> None:
    law = from_stops(stop)
    assert law.shape == (3, 9)
    assert law.min() >= 0
    assert law.sum(1) == pytest.approx(1)
    reached = 1 - np.cumsum(law, axis=1)[:, :-1]
    assert reached == pytest.approx(np.cumprod(1 - stop, axis=1))


def hazard(yards: Array, wide: Array | int) -> Array:
    """A known chance of being stopped at each yard."""
    bump = 1.4 * np.exp(-((yards - 2.0) ** 2) / 8)
    return np.asarray(expit(-2.4 + bump - 0.03 * yards - 0.5 * np.asarray(wide)))


def known_law(wide: int, limit: int) -> Array:
    return from_stops(hazard(np.arange(LOW, limit), wide))


def carriers(n: int, rng: np.random.Generator, field: Array) -> pl.DataFrame:
    """Simulated carries, each in the field it has; who is not stopped in it scores."""
    wide = rng.integers(0, 2, n)
    gain = np.full(n, LOW)
    running = np.ones(n, dtype=bool)
    for yards in range(LOW, TOP):
        here = running & (gain == yards)
        stopped = here & (rng.random(n) < hazard(np.full(n, yards), wide))
        running &= ~stopped
        gain[running] = yards + 1
    scored = gain >= field
    return pl.DataFrame(
        {
            "game": rng.integers(0, 200, n),
            "wide": wide,
            "gain": np.where(scored, field, gain),
            "scored": scored,
        }
    )


def fitted(rows: pl.DataFrame, resamples: int = 0) -> YardageLaw:
    rng = np.random.default_rng(0)
    drawn = (
        resample_games(rows["game"].to_numpy(), resamples, rng, Scheme(parts=2))
        if resamples
        else None
    )
    counts = stopping_counts(rows, ("wide",), "gain", "scored", LOW)
    return YardageLaw(LOW, fit_logit(counts, BASIS, rng, drawn))


def tails(law: Array) -> Array:
    """Chance of gaining at least 0, 3, 6, 10 and 20 yards."""
    return np.array([law[k - LOW :].sum() for k in (0, 3, 6, 10, 20)])


#: Two standard errors of a share in 60,000 carriers of one kind, and a little for the hats.
CLOSE = 0.008


@pytest.mark.parametrize("field", ["long", "short"])
def test_a_known_law_is_found_again(field: str) -> None:
    """Also where most carriers run out of field: a score is no long gain cut short."""
    rng = np.random.default_rng(11)
    n = 120_000
    room = np.full(n, 99) if field == "long" else rng.integers(1, 13, n)
    rows = carriers(n, rng, room)
    if field == "short":
        assert rows["scored"].mean() > 0.2
        kept = (1, 2, 3)  # short fields say nothing of gains beyond them
    else:
        kept = (0, 1, 2, 3, 4)
    law = fitted(rows)
    for wide in (0, 1):
        found, truth = (tails(x) for x in (law.law({"wide": wide}, 99), known_law(wide, 99)))
        assert found[list(kept)] == pytest.approx(truth[list(kept)], abs=CLOSE)
        goal = [law.law({"wide": wide}, limit)[-1] for limit in (2, 6, 10)]
        exact = [known_law(wide, limit)[-1] for limit in (2, 6, 10)]
        assert goal == pytest.approx(exact, abs=CLOSE)


def test_taking_scores_for_gains_would_be_caught() -> None:
    """The same short fields with scores counted as stops give a law that is far off."""
    rng = np.random.default_rng(11)
    rows = carriers(60_000, rng, rng.integers(1, 13, 60_000))
    law = fitted(rows.with_columns(pl.lit(False).alias("scored")))
    found, truth = tails(law.law({"wide": 1}, 99)), tails(known_law(1, 99))
    assert abs(found[3] - truth[3]) > 5 * CLOSE


def test_a_law_is_proper_for_any_field_and_any_refit() -> None:
    rows = carriers(4000, np.random.default_rng(3), np.full(4000, 99))
    law = fitted(rows, resamples=4)
    for limit in (LOW + 1, 1, 5, 40, 99):
        every = law.law({"wide": 1}, limit, all_refits=True)
        assert every.shape == (5, limit - LOW + 1)
        assert every.sum(1) == pytest.approx(1)
        assert every.min() >= 0
        assert law.law({"wide": 1}, limit) == pytest.approx(every[0])
    longer, shorter = law.law({"wide": 1}, 40), law.law({"wide": 1}, 10)
    assert longer[: 10 - LOW] == pytest.approx(shorter[:-1])
    assert longer[10 - LOW :].sum() == pytest.approx(shorter[-1])


def test_rows_of_stops_are_counted_yard_by_yard() -> None:
    rows = pl.DataFrame(
        {
            "game": [1, 1, 2, 2],
            "wide": [0, 0, 0, 0],
            "gain": [-9, 0, 2, -1],
            "scored": [False, False, True, None],
        }
    )
    counts = stopping_counts(rows, ("wide",), "gain", "scored", -2)
    table = {
        int(y): (t, s)
        for y, t, s in zip(counts.columns[YARDS], counts.trials, counts.yes, strict=True)
    }
    # the loss of nine counts as -2; the scorer was never stopped at -2, -1, 0, 1
    assert table == {-2: (4, 1), -1: (3, 1), 0: (2, 1), 1: (1, 0)}


def test_arrays_survive_the_store() -> None:
    law = fitted(carriers(2000, np.random.default_rng(3), np.full(2000, 99)), resamples=2)
    again = YardageLaw.from_arrays(BASIS.settings(), law.arrays("run"), "run")
    assert again.low == law.low
    assert again.law({"wide": 0}, 30, all_refits=True) == pytest.approx(
        law.law({"wide": 0}, 30, all_refits=True), abs=1e-6
    )
