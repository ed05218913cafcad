"""What a pre-game spread adds to the chance to win.

The log odds of the win model without a spread are the offset, so the shipped values stay as they
are where no spread is known. Of a spread of s points a share t of the game is still to be
played, and the rest of the game moves the margin by some standard deviation: the spread enters
as s times t over that deviation, as in a score that walks with a drift (Stern 1994, J. American
Statistical Association; from memory). Two corrections stand beside it: who knows the spread
learns less about the teams from the score, and the spread has the home side in it already.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import polars as pl

from pointsleft_models.fitting.basis import Basis, Bends, Line, Term
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import LogitSolver, expit, logit
from pointsleft_models.fitting.within import within
from pointsleft_models.recipes.next_score import row_states
from pointsleft_models.values.states import States
from pointsleft_models.values.wins import GAME_SECONDS, spread_of_rest

Array = np.ndarray

#: Chances of the win model are kept this far from 0 and 1 before their log odds are taken.
LEAST = 1e-6

#: Log odds up to which the score of the game still speaks of the teams.
MOST_ODDS = 4.0

#: Spreads beyond this count as this.
WIDEST_SPREAD = 28.0

#: Bends of all three parts in the seconds left in the game.
CLOCK = Bends("game_seconds", (0, 600, 1800, 3600))


def spread_basis() -> Basis:
    """Basis over the columns of :func:`spread_columns`."""
    return Basis(
        (
            Term((Line("edge"), CLOCK), 20.0, rises=("edge",)),
            Term((Line("odds"), CLOCK), 20.0),
            Term((Line("home"), CLOCK), 20.0),
        )
    )


def spread_columns(at: States, chance: Array) -> dict[str, Array]:
    """The variables of the basis.

    Parameters
    ----------
    at
        Situations with their spread, points by which the offense was favoured.
    chance
        (n,) chance to win without the spread.
    """
    seconds = at.game_seconds
    drift = within(at.spread, -WIDEST_SPREAD, WIDEST_SPREAD) * seconds / GAME_SECONDS
    return {
        "edge": drift / spread_of_rest(seconds),
        "odds": within(_odds(chance), -MOST_ODDS, MOST_ODDS),
        "home": at.home,
        "game_seconds": seconds,
    }


def _odds(chance: Array) -> Array:
    return logit(within(chance, LEAST, 1 - LEAST))


def fit_spread(at: States, chance: Array, result: Array, rng: np.random.Generator) -> FittedLogit:
    """Fit what the spread adds.

    Parameters
    ----------
    at
        (n,) situations whose spread is known.
    chance
        (n,) chance to win without the spread.
    result
        (n,) 1 a win, 0 a loss, .5 a tie.
    """
    basis = spread_basis()
    design = basis.design(spread_columns(at, chance), float)
    solver = LogitSolver(design, basis.penalty(), basis.orders(), rng, offset=_odds(chance))
    fit = solver.fit(np.ones(len(result)), result)
    return FittedLogit(basis, basis.ordered(fit.coefficients), np.zeros((0, basis.size)))


def with_spread(fit: FittedLogit, at: States, chance: Array) -> Array:
    """Chance to win (n,) with the spread.

    Parameters
    ----------
    at
        (n,) situations whose spread is known; 0 stands for teams that are equal, so where it is
        not known take ``chance`` as it is.
    chance
        (n,) chance to win without the spread.
    """
    return expit(_odds(chance) + fit.eta(spread_columns(at, chance)))


def spread_states(rows: pl.DataFrame) -> States:
    """Rows of a play table, all of games with a spread, as states that know it."""
    home = rows["offense_home"].cast(pl.Int32).fill_null(0).to_numpy() * 2 - 1
    return replace(row_states(rows), spread=home * rows["home_spread"].to_numpy())
