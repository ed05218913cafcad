"""Rows grouped by what a fit conditions on, with the games behind every group.

Covariates are whole numbers or a few words, so many rows share all of them. Grouping makes a
fit as dear as its distinct rows; keeping the games makes a refit a sparse product.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import scipy.sparse as sp

from pointsleft_models.fitting.resample import GameResamples

if TYPE_CHECKING:
    import polars as pl

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Counts:
    """Distinct covariate rows and their trials and successes by game.

    Attributes
    ----------
    columns
        Variable -> (n,) values of the distinct rows.
    trials, yes
        (n,) totals.
    by_game_trials, by_game_yes
        (n, games) sparse.
    games
        Identifiers of the columns of the two above.
    """

    columns: Mapping[str, Array]
    trials: Array
    yes: Array
    by_game_trials: sp.csr_matrix
    by_game_yes: sp.csr_matrix
    games: Array

    def resampled(self, resamples: GameResamples, at: int) -> tuple[Array, Array]:
        """Trials and successes (n,) in one resample of games."""
        weights = resamples.rows(at, self.games)
        return self.by_game_trials @ weights, self.by_game_yes @ weights


def count(frame: pl.DataFrame, variables: tuple[str, ...], yes: str, trials: str = "") -> Counts:
    """Group a frame by its covariates.

    Parameters
    ----------
    frame
        Needs ``game``, the variables, and the outcome.
    yes
        Column of successes (boolean or a fraction).
    trials
        Column of trials; one a row when empty.
    """
    import polars as pl

    one = pl.col(trials) if trials else pl.lit(1.0)
    grouped = (
        frame.group_by([*variables, "game"])
        .agg(
            (one.cast(pl.Float64) if trials else pl.len().cast(pl.Float64)).sum().alias("_trials"),
            pl.col(yes).cast(pl.Float64).sum().alias("_yes"),
        )
        .sort([*variables, "game"])
    )
    distinct = grouped.select(variables).unique(maintain_order=True).with_row_index("_row")
    keyed = grouped.join(distinct, on=list(variables), how="left", nulls_equal=True)
    games, column = np.unique(keyed["game"].to_numpy(), return_inverse=True)
    row = keyed["_row"].to_numpy()
    shape = (len(distinct), len(games))
    t = sp.csr_matrix((keyed["_trials"].to_numpy(), (row, column)), shape=shape)
    y = sp.csr_matrix((keyed["_yes"].to_numpy(), (row, column)), shape=shape)
    return Counts(
        columns={name: distinct[name].to_numpy() for name in variables},
        trials=np.asarray(t.sum(1)).ravel(),
        yes=np.asarray(y.sum(1)).ravel(),
        by_game_trials=t,
        by_game_yes=y,
        games=games,
    )
