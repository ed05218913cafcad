"""Does the fit of the next score gain from weights of one over the snaps of a drive?

A study found that they bring an expected-points fit nearer (Brill, Yee, Deshpande & Wyner 2024,
quoted). Seasons are left out; both fits are scored twice, every snap alike and every drive alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import polars as pl

from pointsleft_models.bench.paired import Difference, difference, log_losses
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import LogitSolver
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.recipes.next_score import (
    fit_next_score,
    labels,
    next_score_rows,
    question_design,
    row_states,
)
from pointsleft_models.recipes.next_score_basis import next_score_bases
from pointsleft_models.values.half_time import SCORES
from pointsleft_models.values.next_score import NextScore

Array = np.ndarray

SEED = 17

_DRIVE = ("game", "drive")


@dataclass(frozen=True, slots=True)
class Weighed:
    """Weighted fit less plain fit on seasons left out; below nothing the weights help.

    Attributes
    ----------
    by_snap, by_drive
        Of the mean log loss, every snap or every drive counting alike.
    error_by_snap, error_by_drive
        Root mean square distance of expected points from those of the next score: plain, weighted.
    """

    seasons: tuple[int, ...]
    rows: int
    by_snap: Difference
    by_drive: Difference
    error_by_snap: tuple[float, float]
    error_by_drive: tuple[float, float]


def drive_weights(rows: pl.DataFrame) -> Array:
    """(n,) one over the snaps of the drive, of mean one."""
    weights = (1 / pl.len().over(_DRIVE)).cast(pl.Float64)
    found = rows.select(weights).to_series().to_numpy()
    return np.asarray(found / found.mean())


def fit_weighted(rows: pl.DataFrame, weights: Array, rng: np.random.Generator) -> NextScore:
    """The shipped bases and solver with a weight for every row."""
    numbered = rows.with_columns(game=pl.int_range(pl.len()))
    questions = {}
    for question, basis in next_score_bases().items():
        design, success, row = question_design(numbered, question, basis)
        solver = LogitSolver(design, basis.penalty(), basis.orders(), rng.spawn(1)[0])
        fit = solver.fit(weights[row], weights[row] * success)
        found = basis.ordered(fit.coefficients)
        questions[question] = FittedLogit(basis, found, np.zeros((0, basis.size)))
    return NextScore(questions)


def weighed(plays: pl.DataFrame, seasons: Sequence[int], *, progress: Progress = quiet) -> Weighed:
    """Leave each season out of both fits."""
    rows = next_score_rows(plays).filter(pl.col("drive").is_not_null())
    lost: list[list[Array]] = [[], []]
    off: list[list[Array]] = [[], []]
    worth = np.array(SCORES, dtype=float)
    for season in progress(seasons, len(seasons), "weighing drives"):
        train = rows.filter(pl.col("season") != season)
        test = rows.filter(pl.col("season") == season)
        at, y = row_states(test), labels(test)
        rng = np.random.default_rng(SEED)
        for k, fit in enumerate(
            (fit_next_score(train, rng), fit_weighted(train, drive_weights(train), rng))
        ):
            chances = fit.probabilities(at)
            lost[k].append(log_losses(chances, y))
            off[k].append((chances.astype(float) @ worth - worth[y]) ** 2)
    held = pl.concat([rows.filter(pl.col("season") == s) for s in seasons])
    plain, heavy = (np.concatenate(parts) for parts in lost)
    squares = [np.concatenate(parts) for parts in off]
    weights, games = drive_weights(held), held["game"].to_numpy()
    rng = np.random.default_rng(SEED)
    return Weighed(
        tuple(seasons), len(held), difference(heavy, plain, games, rng),
        difference(heavy, plain, games, rng, weights),
        _roots(squares, np.ones(len(held))), _roots(squares, weights),
    )  # fmt: skip


def _roots(squares: Sequence[Array], weights: Array) -> tuple[float, float]:
    plain, heavy = (float(np.sqrt(np.average(s, weights=weights))) for s in squares)
    return plain, heavy
