"""Fitting win probability: rows, outcome, refits."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import polars as pl
import scipy.sparse as sp

from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import LogitSolver
from pointsleft_models.fitting.resample import GameResamples
from pointsleft_models.recipes.next_score import row_states
from pointsleft_models.recipes.win_basis import win_basis
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.wins import win_columns

Array = np.ndarray


def win_rows(plays: pl.DataFrame) -> pl.DataFrame:
    """Snaps in regulation of games with a result; kneels and spikes stay in."""
    return plays.filter(
        pl.col("down").is_not_null()
        & (pl.col("half") < 3)
        & ~pl.col("kind").is_in(["extra point", "two-point", "time-out"])
        & pl.col("result").is_not_null()
        & pl.col("offense").is_not_null()
    )


def fit_wins(
    plays: pl.DataFrame,
    points: ExpectedPoints,
    rng: np.random.Generator,
    resamples: GameResamples | None = None,
    each: Callable[[int], None] | None = None,
) -> FittedLogit:
    """Fit the win logit; refit r stands on refit r of the expected points.

    Parameters
    ----------
    each
        Called with the number of a refit once it is done (for progress).
    """
    rows = win_rows(plays)
    at, result, games = row_states(rows), rows["result"].to_numpy(), rows["game"].to_numpy()
    basis = win_basis()

    def design(refit: int) -> sp.csr_matrix:
        own = points.only(refit)
        second_half = float(own.receiving(np.array([1800]))[0])
        columns = win_columns(at, own.points(at), second_half, own.next_score.probabilities(at))
        return basis.design(columns)

    solver = LogitSolver(design(0), basis.penalty(), basis.orders(), rng)
    point = solver.fit(np.ones(len(result)), result, tolerance=1e-6, fresh=15)
    again = []
    for refit in range(0 if resamples is None else len(resamples)):
        assert resamples is not None
        w = resamples.rows(refit, games)
        other = solver.on(design(1 + refit))
        fit = other.fit(w, w * result, point.coefficients, tolerance=2e-6, fresh=0)
        again.append(basis.ordered(fit.coefficients))
        if each is not None:
            each(refit)
    refits = np.array(again) if again else np.zeros((0, basis.size))
    return FittedLogit(basis, basis.ordered(point.coefficients), refits)
