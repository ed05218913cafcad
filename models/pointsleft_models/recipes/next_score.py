"""Fitting the next score: rows, labels, refits."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import polars as pl

from pointsleft_models.fitting.basis import Basis
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import LogitSolver
from pointsleft_models.fitting.resample import GameResamples
from pointsleft_models.recipes.next_score_basis import FINE_SECONDS, next_score_bases
from pointsleft_models.values.next_score import CLASSES, NextScore
from pointsleft_models.values.points import KickoffClock
from pointsleft_models.values.states import States, states

Array = np.ndarray

#: Rows left out: no decision of a team that wants to score.
LEFT_OUT = ("kneel", "spike", "extra point", "two-point", "time-out")

#: Which rows a question is asked on, and which of them answer yes (indices of CLASSES).
ASKED: dict[str, tuple[tuple[int, ...], tuple[int, ...]]] = {
    "score": ((0, 1, 2, 3, 4, 5, 6), (1, 2, 3, 4, 5, 6)),
    "ours": ((1, 2, 3, 4, 5, 6), (1, 2, 3)),
    "td": ((1, 2, 3), (1,)),
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
        spread=0.0,
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
) -> NextScore:
    """Fit the six questions, and again on every resample of games.

    Parameters
    ----------
    bases
        Basis of every question; the usual ones when absent.
    """
    rows = next_score_rows(plays)
    columns, y, games = row_states(rows).columns(), labels(rows), rows["game"].to_numpy()
    bases = bases or next_score_bases()
    fitted = {}
    for (question, (asked, yes)), own in zip(ASKED.items(), rng.spawn(len(ASKED)), strict=True):
        here = np.isin(y, asked)
        basis = bases[question]
        design = basis.design({name: column[here] for name, column in columns.items()})
        solver = LogitSolver(design, basis.penalty(), basis.orders(), own)
        success = np.isin(y[here], yes).astype(float)
        point = solver.fit(np.ones(len(success)), success)
        again = []
        for at in range(0 if resamples is None else len(resamples)):
            assert resamples is not None
            w = resamples.rows(at, games[here])
            fit = solver.fit(w, w * success, point.coefficients, tolerance=2e-6, fresh=0)
            again.append(basis.ordered(fit.coefficients))
        refits = np.array(again) if again else np.zeros((0, basis.size))
        fitted[question] = FittedLogit(basis, basis.ordered(point.coefficients), refits)
    return NextScore(fitted)


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
