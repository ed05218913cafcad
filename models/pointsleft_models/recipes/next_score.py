"""Fitting the next score: rows, labels, refits."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import polars as pl
import scipy.sparse as sp

from pointsleft_models.fitting.basis import Basis
from pointsleft_models.fitting.curvature import Curvature
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import LogitSolver
from pointsleft_models.fitting.resample import GameResamples
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.recipes.next_score_basis import FINE_SECONDS, next_score_bases
from pointsleft_models.recipes.threads import on_one_thread
from pointsleft_models.values.next_score import CLASSES, NextScore
from pointsleft_models.values.points import KickoffClock
from pointsleft_models.values.states import States, states

Array = np.ndarray

#: Refits that one worker makes at a time, and the gain a row at which a refit rests.
LOT = 10
REFIT_TOLERANCE = 5e-7

#: Columns of the play table that the fit needs.
WANTED = (
    "game", "down", "distance", "yards_to_goal", "half", "half_seconds", "lead",
    "offense_timeouts", "defense_timeouts", "receives_second_half", "offense_home", "next_score",
)  # fmt: skip

#: Rows left out: no decision of a team that wants to score.
LEFT_OUT = ("kneel", "spike", "extra point", "two-point", "time-out")

#: Which rows a question is asked on, and which of them answer yes (indices of CLASSES).
ASKED: dict[str, tuple[tuple[int, ...], tuple[int, ...]]] = {
    "td": ((0, 1, 2, 3, 4, 5, 6), (1,)),
    "other": ((0, 2, 3, 4, 5, 6), (2, 3)),
    "theirs": ((0, 4, 5, 6), (4, 5, 6)),
    "td_opp": ((4, 5, 6), (6,)),
    "fg": ((2, 3), (2,)),
    "fg_opp": ((4, 5), (5,)),
}


def next_score_rows(plays: pl.DataFrame) -> pl.DataFrame:
    """Rows with a down in regulation and a label."""
    return plays.filter(
        pl.col("down").is_not_null()
        & (pl.col("half") < 3)
        & ~pl.col("kind").is_in(LEFT_OUT)
        & pl.col("next_score").is_not_null()
        & pl.col("offense").is_not_null()
    )


def row_states(rows: pl.DataFrame) -> States:
    """The rows of a play table as states."""
    receives = rows["receives_second_half"].cast(pl.Int32).fill_null(0).to_numpy() * 2 - 1
    known = rows["receives_second_half"].is_not_null().to_numpy()
    first = rows["half"].to_numpy() == 1
    home = rows["offense_home"].cast(pl.Float64).fill_null(0.5).to_numpy() - 0.5
    return states(
        down=rows["down"].to_numpy(),
        distance=rows["distance"].to_numpy(),
        yards_to_goal=rows["yards_to_goal"].to_numpy(),
        half=rows["half"].to_numpy(),
        half_seconds=rows["half_seconds"].to_numpy(),
        lead=rows["lead"].to_numpy(),
        own_timeouts=rows["offense_timeouts"].fill_null(3).to_numpy(),
        opponent_timeouts=rows["defense_timeouts"].fill_null(3).to_numpy(),
        receives=np.where(known & first, receives, 0),
        home=home,
    )


def labels(rows: pl.DataFrame) -> Array:
    """Class index (n,) of every row."""
    codes = {word: at for at, word in enumerate(CLASSES)}
    return rows["next_score"].replace_strict(codes, return_dtype=pl.Int32).to_numpy()


def fit_next_score(
    plays: pl.DataFrame,
    rng: np.random.Generator,
    resamples: GameResamples | None = None,
    bases: Mapping[str, Basis] | None = None,
    *,
    workers: int = 1,
    progress: Progress = quiet,
) -> NextScore:
    """Fit the six questions, and again on every resample of games.

    Parameters
    ----------
    bases
        Basis of every question; the usual ones when absent.
    workers
        Processes; the fits do not depend on their number.
    """
    from joblib import Parallel, delayed

    rows = next_score_rows(plays).select(WANTED)
    bases = bases or next_score_bases()
    seeds = dict(zip(ASKED, rng.bit_generator.seed_seq.spawn(len(ASKED)), strict=True))  # type: ignore[attr-defined]
    pool = Parallel(n_jobs=workers, return_as="generator")
    first = (delayed(_fit_question)(rows, q, bases[q], seeds[q]) for q in ASKED)
    points = dict(zip(ASKED, progress(pool(first), len(ASKED), "fitting points"), strict=True))
    count = 0 if resamples is None else len(resamples)
    lots = [
        (q, list(range(at, min(at + LOT, count)))) for q in ASKED for at in range(0, count, LOT)
    ]
    jobs = (
        delayed(_refit_question)(rows, q, bases[q], *points[q], resamples, lot) for q, lot in lots
    )
    again: dict[str, list[Array]] = {q: [] for q in ASKED}
    results = progress(pool(jobs), len(lots), "fitting points again")
    for (q, _), found in zip(lots, results, strict=True):
        again[q] += found
    return NextScore(
        {
            q: FittedLogit(
                bases[q],
                points[q][0],
                np.array(again[q]) if count else np.zeros((0, bases[q].size)),
            )
            for q in ASKED
        }
    )


def question_design(
    rows: pl.DataFrame, question: str, basis: Basis
) -> tuple[sp.csr_matrix, Array, Array]:
    """Design, answers (n,) and games (n,) of the rows on which a question is asked."""
    asked, yes = ASKED[question]
    y = labels(rows)
    here = np.isin(y, asked)
    columns = {name: column[here] for name, column in row_states(rows).columns().items()}
    return basis.design(columns), np.isin(y[here], yes).astype(float), rows["game"].to_numpy()[here]


@on_one_thread
def _fit_question(
    rows: pl.DataFrame, question: str, basis: Basis, seed: np.random.SeedSequence
) -> tuple[Array, Curvature | None]:
    design, success, _ = question_design(rows, question, basis)
    solver = LogitSolver(design, basis.penalty(), basis.orders(), np.random.default_rng(seed))
    fit = solver.fit(np.ones(len(success)), success)
    return basis.ordered(fit.coefficients), solver.curvature


@on_one_thread
def _refit_question(
    rows: pl.DataFrame,
    question: str,
    basis: Basis,
    start: Array,
    curvature: Curvature | None,
    resamples: GameResamples,
    lot: list[int],
) -> list[Array]:
    design, success, games = question_design(rows, question, basis)
    solver = LogitSolver(design, basis.penalty(), basis.orders(), np.random.default_rng(0))
    solver.curvature = curvature
    out = []
    for at in lot:
        w = resamples.rows(at, games)
        fit = solver.fit(w, w * success, start, tolerance=REFIT_TOLERANCE, fresh=0)
        out.append(basis.ordered(fit.coefficients))
    return out


def fit_kickoff_clock(plays: pl.DataFrame) -> KickoffClock:
    """Time left at the next score, averaged over rows by the time left now."""
    rows = next_score_rows(plays).filter(
        (pl.col("next_score") != "none") & pl.col("next_score_clock").is_not_null()
    )
    knots = np.array(FINE_SECONDS, dtype=float)

    def hats(seconds: Array) -> Array:
        x, z = np.log(np.clip(seconds, 0, knots[-1]) + 4.0), np.log(knots + 4)
        left = np.clip(np.searchsorted(z, x, side="right") - 1, 0, len(z) - 2)
        share = (x - z[left]) / (z[left + 1] - z[left])
        out = np.zeros((len(x), len(z)))
        out[np.arange(len(x)), left] = 1 - share
        out[np.arange(len(x)), left + 1] += share
        return out

    now = hats(rows["half_seconds"].to_numpy())
    then = hats(np.minimum(rows["next_score_clock"].to_numpy(), rows["half_seconds"].to_numpy()))
    mixing = now.T @ then
    empty = mixing.sum(1) < 1
    mixing[empty] = np.eye(len(knots))[empty]
    return KickoffClock(knots, mixing / mixing.sum(1, keepdims=True))
