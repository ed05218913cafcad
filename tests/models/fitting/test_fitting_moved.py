"""A fit that leans on another: little data moves it little, much data moves it all the way."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.counts import Counts, count
from pointsleft_models.fitting.fitted import FittedLogit, fit_logit
from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.moved import Leaning, as_it_is, fit_moved
from pointsleft_models.fitting.resample import Scheme, resample_games

Array = np.ndarray

SPOTS = Bends("spot", (0, 5, 10, 15, 20))
BASIS = Basis((Term((SPOTS,), 30.0, rises=("spot",)), Term((Levels("gap", 3),), 30.0)))


def truth(spot: Array) -> Array:
    """Straight between the knots, and anything but a line: a line needs nobody to lean on."""
    return np.interp(spot, SPOTS.knots, (-1.5, -1.5, 0.9, 1.0, 1.0))


def drawn(rows: int, shift: float, seed: int, gap: bool = True) -> Counts:
    """Games of 20 rows; the true log odds take a step up and lie ``shift`` higher."""
    rng = np.random.default_rng(seed)
    spot = rng.integers(0, 21, rows)
    code = rng.integers(1, 3, rows) if gap else np.zeros(rows, dtype=int)
    chance = expit(truth(spot) + shift + 0.8 * (code == 2))
    frame = pl.DataFrame(
        {
            "game": [f"g{i // 20:05d}" for i in range(rows)],
            "spot": spot,
            "gap": code,
            "made": rng.random(rows) < chance,
        }
    )
    return count(frame, ("spot", "gap"), "made")


def fit(counts: Counts, refits: int = 0) -> FittedLogit:
    games = resample_games(counts.games, refits, np.random.default_rng(3), Scheme(parts=2))
    return fit_logit(counts, BASIS, np.random.default_rng(0), games if refits else None)


@pytest.fixture(scope="module")
def prior() -> FittedLogit:
    return fit(drawn(60_000, 0.0, 1), refits=4)


GRID = {"spot": np.arange(21), "gap": np.ones(21, dtype=int)}


def silent(counts: Counts) -> Counts:
    """The same rows, and nobody tried."""
    return Counts(
        counts.columns,
        0 * counts.trials,
        0 * counts.yes,
        0 * counts.by_game_trials,
        0 * counts.by_game_yes,
        counts.games,
    )


def test_no_new_rows_change_nothing(prior: FittedLogit) -> None:
    moved = fit_moved(silent(drawn(40, 0.0, 2)), prior, np.random.default_rng(0))
    assert moved.coefficients == pytest.approx(prior.coefficients, abs=1e-9)


def test_many_rows_take_it_where_they_are(prior: FittedLogit) -> None:
    moved = fit_moved(drawn(60_000, 1.0, 2), prior, np.random.default_rng(0))
    assert moved.eta(GRID) == pytest.approx(truth(GRID["spot"]) + 1.0, abs=0.1)
    assert np.mean(moved.eta(GRID) - prior.eta(GRID)) == pytest.approx(1.0, abs=0.1)


def test_with_few_rows_leaning_is_nearer_to_the_truth(prior: FittedLogit) -> None:
    """The other level has the shape, which a few rows cannot show."""
    off: dict[str, list[float]] = {"moved": [], "alone": []}
    for seed in range(8):
        counts = drawn(200, 0.3, 10 + seed)
        for way, fitted in (
            ("moved", fit_moved(counts, prior, np.random.default_rng(0))),
            ("alone", fit(counts)),
        ):
            off[way].append(float(np.abs(fitted.eta(GRID) - truth(GRID["spot"]) - 0.3).mean()))
    assert np.mean(off["moved"]) < np.mean(off["alone"])


def test_what_the_rows_do_not_say_stays(prior: FittedLogit) -> None:
    counts = drawn(20_000, 1.0, 4, gap=False)
    moved = fit_moved(counts, prior, np.random.default_rng(0), unsaid={"gap"})
    own = BASIS.split(moved.coefficients)[1]
    assert own == pytest.approx(BASIS.split(prior.coefficients)[1])
    free = fit_moved(counts, prior, np.random.default_rng(0))
    assert BASIS.split(free.coefficients)[1] != pytest.approx(own, abs=1e-3)


def test_orders_hold_whatever_the_rows_say(prior: FittedLogit) -> None:
    counts = drawn(4_000, 0.0, 5)
    turned = Counts(
        counts.columns, counts.trials, counts.trials - counts.yes, counts.by_game_trials,
        counts.by_game_trials - counts.by_game_yes, counts.games,
    )  # fmt: skip
    resamples = resample_games(counts.games, 4, np.random.default_rng(3), Scheme(parts=2))
    moved = fit_moved(turned, prior, np.random.default_rng(0), resamples)
    for row in moved.stacked():
        assert (np.diff(BASIS.split(row)[0]) >= -1e-12).all()


def test_each_refit_leans_on_its_own(prior: FittedLogit) -> None:
    counts = silent(drawn(40, 0.0, 6))
    resamples = resample_games(counts.games, 6, np.random.default_rng(3), Scheme(parts=2))
    moved = fit_moved(counts, prior, np.random.default_rng(0), resamples)
    assert moved.refits == pytest.approx(prior.refits[[0, 1, 2, 3, 0, 1]], abs=1e-9)


def test_another_levels_fit_comes_with_as_many_refits_as_wanted(prior: FittedLogit) -> None:
    for many in (0, 3, 4, 9):
        same = as_it_is(prior, many)
        assert len(same.refits) == many
        assert (same.coefficients == prior.coefficients).all()
    assert (as_it_is(prior, 9).refits[8] == prior.refits[0]).all()
    bare = FittedLogit(BASIS, prior.coefficients, prior.refits[:0])
    assert (as_it_is(bare, 2).refits == prior.coefficients).all()


def test_rows_that_speak_of_nothing_are_refused(prior: FittedLogit) -> None:
    counts = drawn(40, 0.0, 7)
    with pytest.raises(ValueError, match="say nothing of"):
        Leaning(prior, dict(counts.columns), {"spot", "gap"})
