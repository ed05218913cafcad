"""Fitting win probability: rows, outcome, refits."""

from __future__ import annotations

import numpy as np
import polars as pl

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
) -> FittedLogit:
    """Fit the win logit; refit r uses refit r of the expected points."""
    rows = win_rows(plays)
    at, result, games = row_states(rows), rows["result"].to_numpy(), rows["game"].to_numpy()
    second_half = float(points.receiving(np.array([1800]))[0])
    basis = win_basis()
    columns = win_columns(
        at, points.points(at), second_half, points.next_score.probabilities(at)
    )
    solver = LogitSolver(basis.design(columns), basis.penalty(), basis.orders(), rng)
    point = solver.fit(np.ones(len(result)), result, tolerance=1e-6, fresh=15)
    return FittedLogit(basis, basis.ordered(point.coefficients), np.zeros((0, basis.size)))
