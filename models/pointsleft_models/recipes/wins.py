"""Fitting win probability: rows, outcome, refits."""

from __future__ import annotations

import numpy as np
import polars as pl
import scipy.sparse as sp

from pointsleft_models.fitting.curvature import Curvature
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import LogitSolver
from pointsleft_models.fitting.resample import GameResamples
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.recipes.next_score import REFIT_TOLERANCE, row_states
from pointsleft_models.recipes.threads import on_one_thread
from pointsleft_models.recipes.win_basis import win_basis
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.wins import win_columns

Array = np.ndarray

#: Refits that one worker makes at a time.
LOT = 4

#: Columns of the play table that the fit needs.
WANTED = (
    "game", "down", "distance", "yards_to_goal", "half", "half_seconds", "lead",
    "offense_timeouts", "defense_timeouts", "receives_second_half", "offense_home", "result",
)  # fmt: skip


def win_rows(plays: pl.DataFrame) -> pl.DataFrame:
    """Snaps in regulation of games with a result; kneels and spikes stay in."""
    return plays.filter(
        pl.col("down").is_not_null()
        & (pl.col("half") < 3)
        & ~pl.col("kind").is_in(["extra point", "two-point", "time-out"])
        & pl.col("result").is_not_null()
        & pl.col("offense").is_not_null()
    )


def win_design(rows: pl.DataFrame, points: ExpectedPoints) -> sp.csr_matrix:
    at = row_states(rows)
    second_half = float(points.receiving(np.array([1800]))[0])
    worth, chances = points.fitted(at)
    columns = win_columns(at, worth, second_half, chances)
    return win_basis().design(columns)


def fit_wins(
    plays: pl.DataFrame,
    points: ExpectedPoints,
    rng: np.random.Generator,
    resamples: GameResamples | None = None,
    *,
    workers: int = 1,
    progress: Progress = quiet,
) -> FittedLogit:
    """Fit the win logit; refit r stands on refit r of the expected points.

    Parameters
    ----------
    workers
        Processes; the fits do not depend on their number.
    """
    from joblib import Parallel, delayed

    rows = win_rows(plays).select(WANTED)
    result = rows["result"].to_numpy()
    basis = win_basis()
    solver = LogitSolver(win_design(rows, points), basis.penalty(), basis.orders(), rng)
    point = basis.ordered(solver.fit(np.ones(len(result)), result).coefficients)
    count = 0 if resamples is None else len(resamples)
    lots = [list(range(at, min(at + LOT, count))) for at in range(0, count, LOT)]
    jobs = (
        delayed(_refit)(
            rows, [points.only(1 + r) for r in lot],
            [resamples.rows(r, rows["game"].to_numpy()) for r in lot],
            point, solver.curvature,
        )
        for lot in lots
        if resamples is not None
    )  # fmt: skip
    pool = Parallel(n_jobs=workers if len(lots) > 1 else 1, return_as="generator")
    again = [b for lot in progress(pool(jobs), len(lots), "fitting wins") for b in lot]
    refits = np.array(again) if again else np.zeros((0, basis.size))
    return FittedLogit(basis, point, refits)


@on_one_thread
def _refit(
    rows: pl.DataFrame,
    points: list[ExpectedPoints],
    weights: list[Array],
    start: Array,
    curvature: Curvature | None,
) -> list[Array]:
    """Refits from a nearby start, with the curvature of the point fit."""
    basis = win_basis()
    result = rows["result"].to_numpy()
    out = []
    for own, w in zip(points, weights, strict=True):
        solver = LogitSolver(
            win_design(rows, own), basis.penalty(), basis.orders(), np.random.default_rng(0)
        )
        solver.curvature = curvature
        fit = solver.fit(w, w * result, start, tolerance=REFIT_TOLERANCE, fresh=0)
        out.append(basis.ordered(fit.coefficients))
    return out
