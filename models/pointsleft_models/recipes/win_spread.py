"""Fitting what a pre-game spread adds to the chance to win (``values/favoured.py``).

The win model without a spread is the offset; refit r stands on refit r of it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import polars as pl

from pointsleft_models.fitting.basis import Basis, Bends, Line, Term
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import LogitSolver
from pointsleft_models.fitting.resample import GameResamples
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.recipes.next_score import row_states
from pointsleft_models.recipes.wins import WANTED, win_rows
from pointsleft_models.values.favoured import Favoured, odds_of, spread_columns
from pointsleft_models.values.states import States
from pointsleft_models.values.wins import WinProbability

Array = np.ndarray

#: Bends of all three parts in the seconds left in the game.
CLOCK = Bends("game_seconds", (0, 600, 1800, 3600))

#: Fewest games with a spread: it is fitted again on fifths of them.
FEWEST_GAMES = 500


def spread_basis() -> Basis:
    """Basis over the columns of :func:`~pointsleft_models.values.favoured.spread_columns`."""
    return Basis(
        (
            Term((Line("edge"), CLOCK), 20.0, rises=("edge",)),
            Term((Line("odds"), CLOCK), 20.0),
            Term((Line("home"), CLOCK), 20.0),
        )
    )


def spread_rows(plays: pl.DataFrame) -> pl.DataFrame:
    """Rows of the win model in games whose spread is known; none where too few games have one."""
    if "home_spread" not in plays.columns:
        return plays.clear()
    rows = win_rows(plays).filter(pl.col("home_spread").is_not_null())
    rows = rows.select(*WANTED, "home_spread", "season")
    return rows if rows["game"].n_unique() >= FEWEST_GAMES else rows.clear()


def spread_states(rows: pl.DataFrame) -> States:
    """Rows of a play table, all of games with a spread, as states that know it."""
    home = rows["offense_home"].cast(pl.Int32).fill_null(0).to_numpy() * 2 - 1
    return replace(row_states(rows), spread=home * rows["home_spread"].to_numpy())


def fit_spread(
    at: States,
    odds: Array,
    result: Array,
    rng: np.random.Generator,
    weights: Array | None = None,
) -> FittedLogit:
    """Fit what the spread adds, without refits.

    Parameters
    ----------
    at
        (n,) situations whose spread is known.
    odds
        (n,) log odds to win without the spread.
    result
        (n,) 1 a win, 0 a loss, .5 a tie.
    weights
        (n,) of the rows; all alike where absent.
    """
    basis = spread_basis()
    design = basis.design(spread_columns(at, odds), float)
    solver = LogitSolver(design, basis.penalty(), basis.orders(), rng, offset=odds)
    w = np.ones(len(result)) if weights is None else weights
    fit = solver.fit(w, w * result)
    return FittedLogit(basis, basis.ordered(fit.coefficients), np.zeros((0, basis.size)))


def fit_spreads(
    rows: pl.DataFrame,
    wins: WinProbability,
    rng: np.random.Generator,
    resamples: GameResamples,
    *,
    progress: Progress = quiet,
) -> FittedLogit:
    """The fit with its refits.

    Parameters
    ----------
    rows
        Of :func:`spread_rows`.
    wins
        The win model without a spread, with a refit for every resample.
    """
    point = _fit_on(rows, wins, rng, None)
    games = rows["game"].to_numpy()
    refits = []
    for r in progress(range(len(resamples)), len(resamples), "fitting the spread"):
        weights = resamples.rows(r, games)
        drawn = weights > 0
        found = _fit_on(rows.filter(pl.Series(drawn)), wins.only(1 + r), rng, weights[drawn])
        refits.append(found.coefficients)
    again = np.array(refits) if refits else np.zeros((0, point.basis.size))
    return FittedLogit(point.basis, point.coefficients, again)


def _fit_on(
    rows: pl.DataFrame, wins: WinProbability, rng: np.random.Generator, weights: Array | None
) -> FittedLogit:
    at = spread_states(rows)
    return fit_spread(at, plain_odds(wins, at), rows["result"].to_numpy(), rng, weights)


def plain_odds(wins: WinProbability, at: States) -> Array:
    """Log odds (n,) of the fitted part of a win model without a spread."""
    return odds_of(replace(wins, favoured=None).regression(at))


@dataclass(frozen=True, slots=True)
class SpreadScore:
    """Log loss a row in seasons left out of the fit of the spread, with it and without."""

    loss: float
    without: float
    rows: int
    games: int


def score_spread(
    rows: pl.DataFrame, wins: WinProbability, seasons: tuple[int, ...], rng: np.random.Generator
) -> SpreadScore | None:
    """Leave seasons out in turn; the win model without the spread has seen them either way."""
    at, result = spread_states(rows), rows["result"].to_numpy()
    odds = plain_odds(wins, at)
    season = rows["season"].to_numpy()
    held = [s for s in seasons if 0 < (season == s).sum() < len(season)]
    if not held:
        return None
    loss = without = 0.0
    for s in held:
        out = season == s
        fit = fit_spread(at.take(~out), odds[~out], result[~out], rng)
        moved = Favoured(fit).odds(odds[out][None], at.take(out))[0]
        loss += _loss(moved, result[out])
        without += _loss(odds[out], result[out])
    tested = np.isin(season, held)
    n = int(tested.sum())
    games = len(np.unique(rows["game"].to_numpy()[tested]))
    return SpreadScore(loss / n, without / n, n, games)


def _loss(odds: Array, result: Array) -> float:
    """Summed log loss: of odds z and result y it is log(1 + e^z) - y z."""
    return float((np.logaddexp(0, odds) - result * odds).sum())
