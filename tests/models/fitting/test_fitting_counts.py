"""Grouping loses nothing: grouped rows fit as single ones, resampled weights as direct ones."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
import scipy.sparse as sp
from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.counts import count
from pointsleft_models.fitting.fitted import FittedLogit, fit_logit
from pointsleft_models.fitting.logit import LogitSolver, expit
from pointsleft_models.fitting.resample import GameResamples, Scheme, resample_games

Array = np.ndarray

HALVES = Scheme(parts=2)

BASIS = Basis((Term((Levels("down", 4),), 5.0), Term((Bends("yards", (0, 3, 8, 20)),), 5.0)))


def frame(n: int = 1500, games: int = 30, seed: int = 2) -> pl.DataFrame:
    rng = np.random.default_rng(seed)
    down, yards = rng.integers(0, 4, n), rng.integers(0, 21, n)
    return pl.DataFrame(
        {
            "game": [f"g{i:02d}" for i in rng.integers(0, games, n)],
            "down": down,
            "yards": yards,
            "made": rng.random(n) < expit(0.4 * down - 0.1 * yards),
            "times": rng.integers(0, 5, n).astype(float),
        }
    )


def direct(rows: pl.DataFrame, weights: Array) -> Array:
    """Coefficients of a fit on single rows with a weight each."""
    design = BASIS.design({v: rows[v].to_numpy() for v in BASIS.variables}, float)
    solver = LogitSolver(
        sp.csr_matrix(design), BASIS.penalty(), BASIS.orders(), np.random.default_rng(0)
    )
    made = rows["made"].cast(pl.Float64).to_numpy()
    return solver.fit(weights, weights * made, tolerance=1e-12).coefficients


def grouped(rows: pl.DataFrame, resamples: GameResamples | None = None) -> FittedLogit:
    return fit_logit(
        count(rows, BASIS.variables, "made"), BASIS, np.random.default_rng(0), resamples
    )


def test_totals_are_those_of_the_rows() -> None:
    rows = frame()
    counts = count(rows, ("down", "yards"), "made")
    assert counts.trials.sum() == len(rows)
    assert counts.yes.sum() == rows["made"].sum()
    assert len(counts.trials) == rows.select("down", "yards").n_unique()
    pairs = list(zip(counts.columns["down"], counts.columns["yards"], strict=True))
    assert len(set(pairs)) == len(pairs)
    for at in (0, 7, len(pairs) - 1):
        down, yards = pairs[at]
        own = rows.filter((pl.col("down") == down) & (pl.col("yards") == yards))
        assert (counts.trials[at], counts.yes[at]) == (len(own), own["made"].sum())
    for whole, by_game in (
        (counts.trials, counts.by_game_trials),
        (counts.yes, counts.by_game_yes),
    ):
        assert np.asarray(by_game.sum(1)).ravel() == pytest.approx(whole)
    for at, game in enumerate(counts.games):
        own = rows.filter(pl.col("game") == game)
        assert counts.by_game_trials[:, at].sum() == len(own)
        assert counts.by_game_yes[:, at].sum() == own["made"].sum()


def test_a_column_of_trials_counts_them() -> None:
    rows = frame().with_columns((pl.col("times") * 0.25).alias("good"))
    counts = count(rows, ("down",), "good", trials="times")
    for at, down in enumerate(counts.columns["down"]):
        own = rows.filter(pl.col("down") == down)
        assert counts.trials[at] == pytest.approx(own["times"].sum())
        assert counts.yes[at] == pytest.approx(own["good"].sum())


def test_grouped_rows_fit_as_single_ones() -> None:
    rows = frame()
    alone = direct(rows, np.ones(len(rows)))
    assert grouped(rows).coefficients == pytest.approx(alone, abs=2e-4)
    assert np.abs(alone).max() > 0.2


def test_a_resample_fits_as_rows_weighted_by_their_game() -> None:
    rows = frame()
    resamples = resample_games(rows["game"].to_numpy(), 4, np.random.default_rng(9), HALVES)
    counts = count(rows, BASIS.variables, "made")
    fits = grouped(rows, resamples).refits
    for at in range(4):
        weights = resamples.rows(at, rows["game"].to_numpy())
        trials, yes = counts.resampled(resamples, at)
        assert trials.sum() == pytest.approx(weights.sum())
        assert yes.sum() == pytest.approx((weights * rows["made"].to_numpy()).sum())
        alone = direct(rows, weights)
        assert fits[at] == pytest.approx(alone, abs=0.01)
    assert np.abs(fits[0] - fits[1]).max() > 0.1


def test_a_game_that_a_fit_never_saw_changes_nothing() -> None:
    """Resamples are drawn over all games; a fit may have rows of some of them only."""
    rows = frame()
    games = np.concatenate([rows["game"].to_numpy(), ["g98", "g99"]])
    resamples = resample_games(games, 2, np.random.default_rng(9), HALVES)
    counts = count(rows, BASIS.variables, "made")
    trials, _ = counts.resampled(resamples, 0)
    assert trials.sum() == pytest.approx(resamples.rows(0, rows["game"].to_numpy()).sum())


def test_an_offset_stays_with_its_rows() -> None:
    rows = frame()
    counts = count(rows, BASIS.variables, "made")
    known = 0.7 * counts.columns["down"] - 0.2
    fit = fit_logit(counts, BASIS, np.random.default_rng(0), offset=known)
    own = dict(
        zip(zip(counts.columns["down"], counts.columns["yards"], strict=True), known, strict=True)
    )
    offset = np.array([own[pair] for pair in rows.select("down", "yards").iter_rows()])
    design = BASIS.design({v: rows[v].to_numpy() for v in BASIS.variables}, float)
    solver = LogitSolver(design, BASIS.penalty(), BASIS.orders(), np.random.default_rng(0), offset)
    made = rows["made"].cast(pl.Float64).to_numpy()
    alone = solver.fit(np.ones(len(rows)), made, tolerance=1e-12).coefficients
    assert fit.coefficients == pytest.approx(alone, abs=2e-4)


def test_each_refit_takes_its_own_offset() -> None:
    rows = frame()
    counts = count(rows, BASIS.variables, "made")
    resamples = resample_games(rows["game"].to_numpy(), 2, np.random.default_rng(9), HALVES)
    moved = np.stack([np.zeros(len(counts.trials)), np.full(len(counts.trials), 1.5)])
    still = fit_logit(counts, BASIS, np.random.default_rng(0), resamples)
    fit = fit_logit(
        counts, BASIS, np.random.default_rng(0), resamples, np.zeros(len(counts.trials)), moved
    )
    assert fit.refits[0] == pytest.approx(still.refits[0], abs=0.01)
    gap = fit.eta_all(counts.columns) - still.eta_all(counts.columns)
    assert gap[2] == pytest.approx(-1.5, abs=0.15)


def test_fits_keep_their_refits_apart_and_in_order() -> None:
    rows = frame()
    resamples = resample_games(rows["game"].to_numpy(), 4, np.random.default_rng(9), HALVES)
    fit = grouped(rows, resamples)
    columns = {"down": np.array([0, 2]), "yards": np.array([5, 11])}
    assert fit.stacked().shape == (5, BASIS.size)
    every = fit.eta_all(columns)
    assert every[0] == pytest.approx(fit.eta(columns))
    for refit in range(5):
        alone = fit.only(refit)
        assert len(alone.refits) == 0
        assert alone.eta(columns) == pytest.approx(every[refit])
    assert fit.probability(columns) == pytest.approx(expit(every[0]))
    stored = fit.arrays("it")
    again = FittedLogit.from_arrays(BASIS.settings(), stored, "it")
    assert again.basis == BASIS
    assert (again.coefficients == fit.coefficients).all()
    assert again.refits == pytest.approx(fit.refits, abs=1e-6)
    assert again.eta_all(columns) == pytest.approx(every, abs=1e-5)
