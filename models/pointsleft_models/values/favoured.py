"""What a pre-game spread adds to the chance to win.

The log odds without a spread are moved, so the values are as they are where no spread is known.
Of a spread of s points a share t of the game is still to be played, and the rest of the game moves
the margin by some standard deviation: the spread enters as s times t over that deviation, as in a
score that walks with a drift (Stern 1994, J. American Statistical Association; from memory). Two
corrections stand beside it: who knows the spread learns less about the teams from the score, and
the spread has the home side in it already. Both also go with t, so with the clock out a spread
says nothing any more.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pointsleft_models.fitting.basis import Line
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import expit, logit
from pointsleft_models.fitting.within import within
from pointsleft_models.values.rest import GAME_SECONDS, spread_of_rest
from pointsleft_models.values.states import States

Array = np.ndarray

#: Chances are kept this far from 0 and 1 before their log odds are taken.
LEAST = 1e-6

#: Log odds up to which the score of the game still speaks of the teams.
MOST_ODDS = 4.0

#: Spreads beyond this count as this.
WIDEST_SPREAD = 28.0


def spread_columns(at: States, odds: Array) -> dict[str, Array]:
    """The variables of what a spread adds.

    Parameters
    ----------
    at
        (n,) situations whose spread is known.
    odds
        (..., n) log odds to win without the spread.
    """
    seconds = at.game_seconds
    left = seconds / GAME_SECONDS
    drift = within(at.spread, -WIDEST_SPREAD, WIDEST_SPREAD) * left
    return {
        "edge": drift / spread_of_rest(seconds),
        "odds": left * within(odds, -MOST_ODDS, MOST_ODDS),
        "home": left * at.home,
        "game_seconds": seconds,
    }


def odds_of(chance: Array) -> Array:
    """Log odds of chances to win, none of them certain."""
    return logit(within(chance, LEAST, 1 - LEAST))


@dataclass(frozen=True)
class Favoured:
    """What a spread adds under the point fit and every refit.

    Attributes
    ----------
    fit
        Terms of one straight line each, by the seconds left in the game.
    """

    fit: FittedLogit

    @cached_property
    def _slopes(self) -> Mapping[str, Array]:
        """Variable -> (1 + refits, seconds) what one of it adds to the log odds."""
        basis = self.fit.basis
        edges = np.cumsum([term.size for term in basis.terms])[:-1]
        own = np.split(self.fit.stacked().T, edges)
        out = {}
        for term, coefficients in zip(basis.terms, own, strict=True):
            line = next(axis.variable for axis in term.axes if isinstance(axis, Line))
            grid = {line: np.ones(1), "game_seconds": np.arange(GAME_SECONDS + 1)}
            table = term.table(coefficients, grid).reshape(GAME_SECONDS + 1, -1)
            out[line] = np.ascontiguousarray(table.T, dtype=np.float32)
        return out

    def odds(self, odds: Array, at: States) -> Array:
        """Log odds (fits, n) to win, with the spread where it is known.

        Parameters
        ----------
        odds
            (fits, n) without it: the point fit alone, or the refits after it.
        """
        known = ~np.isnan(at.spread)
        if not known.any():
            return odds
        if known.all():
            return odds + self._added(odds, at)
        out = np.array(odds)
        out[:, known] += self._added(odds[:, known], at.take(known))
        return out

    def _added(self, odds: Array, at: States) -> Array:
        columns = spread_columns(at, odds)
        seconds = within(columns["game_seconds"], 0, GAME_SECONDS).astype(np.int64)
        total: Array | float = 0.0
        for name, slopes in self._slopes.items():
            x = columns[name]
            if name == "home" and not x.any():
                continue
            total = total + slopes[: len(odds)].take(seconds, axis=1) * x.astype(np.float32)
        return np.asarray(total)

    def chances(self, chance: Array, at: States) -> Array:
        """The same for chances to win (fits, n)."""
        if np.isnan(at.spread).all():
            return chance
        return expit(self.odds(odds_of(chance), at))
