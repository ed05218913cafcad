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

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

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

#: Fewest situations one after another at one moment for which it pays to take them together, and
#: most that are.
FEWEST_TOGETHER, MOST_TOGETHER = 16, 512


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
        """By seconds left, (1 + refits, seconds): what a point of spread (``edge``), one of log
        odds (``odds``) and the home side (``home``) add to the log odds."""
        seconds = np.arange(GAME_SECONDS + 1)
        left = seconds / GAME_SECONDS
        basis = self.fit.basis
        edges = np.cumsum([term.size for term in basis.terms])[:-1]
        out = {}
        for term, own in zip(basis.terms, np.split(self.fit.stacked().T, edges), strict=True):
            line = next(axis.variable for axis in term.axes if isinstance(axis, Line))
            table = term.table(own, {line: np.ones(1), "game_seconds": seconds})
            share = left / spread_of_rest(seconds) if line == "edge" else left
            slopes = table.reshape(len(seconds), -1).T * share
            out[line] = np.ascontiguousarray(slopes, dtype=np.float32)
        return out

    def odds(self, odds: Array, at: States) -> Array:
        """Log odds (fits, n) to win, with the spread where it is known.

        Parameters
        ----------
        odds
            (fits, n) without it: the point fit alone, or the refits after it.
        """
        return self.move(np.array(odds), at)

    def move(self, odds: Array, at: States) -> Array:
        """As :meth:`odds`, in the array that is given: a new one would cost as much again."""
        known = ~np.isnan(at.spread)
        if known.all():
            self._add(odds, at)
        elif known.any():
            some = odds[:, known]
            self._add(some, at.take(known))
            odds[:, known] = some
        return odds

    def _add(self, odds: Array, at: States) -> None:
        """Add the sum over the columns of :func:`spread_columns`."""
        seconds = within(at.game_seconds, 0, GAME_SECONDS).astype(np.int64)
        spread = within(at.spread, -WIDEST_SPREAD, WIDEST_SPREAD).astype(np.float32)
        home = at.home.astype(np.float32)
        for run, moment in _runs(seconds):
            here = odds[:, run]
            slopes = {line: table[: len(odds), moment] for line, table in self._slopes.items()}
            total = np.clip(here, np.float32(-MOST_ODDS), np.float32(MOST_ODDS))
            total *= slopes["odds"]
            total += slopes["edge"] * spread[run]
            if home[run].any():
                total += slopes["home"] * home[run]
            here += total

    def chances(self, chance: Array, at: States) -> Array:
        """The same for chances to win (fits, n)."""
        if np.isnan(at.spread).all():
            return chance
        return expit(self.move(odds_of(chance), at))


def _runs(seconds: Array) -> Iterator[tuple[slice, Array | slice]]:
    """Where situations at one moment stand, and the moment: what follows a snap stands at few
    moments, one after another. All at once where few stand together."""
    firsts = [0, *(np.flatnonzero(np.diff(seconds)) + 1).tolist(), len(seconds)]
    if len(seconds) < FEWEST_TOGETHER * len(firsts):
        yield slice(None), seconds
        return
    for first, last in pairwise(firsts):
        moment = slice(int(seconds[first]), int(seconds[first]) + 1)
        for at in range(first, last, MOST_TOGETHER):
            yield slice(at, min(at + MOST_TOGETHER, last)), moment
