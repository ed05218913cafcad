"""The one place where games are resampled.

Rows of one game share a winner and a next score, so games are the units. One resample drives
every fit together: its weights are looked up by game identifier, whatever rows a fit uses.

The shipped scheme is *disjoint fifths*: the games are cut in five at random and everything is
fitted on each part, again and again. A fit on one part of k differs from the fit on all games
with k - 1 times the variance that the latter has itself, so the refits spread wider than luck
alone would have the full fit spread: what is over pays for what a smooth fit gets wrong in the
same way on every resample. How many parts it takes was settled on a game whose answer is known
(``bench/coverage.py``) and held against a league whose answer is played out
(``bench/coverage_football.py``). The parts of one cut share no game, so some of them can choose
the best option and another one value it without any luck passing from the choice to the value.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Scheme:
    """How games are drawn.

    Attributes
    ----------
    name
        ``parts``: the games cut at random, each part in turn (without replacement).
        ``games``: games drawn with replacement.
    parts
        For ``parts``: into how many.
    fraction
        For ``games``: games drawn as a share of all games. Below 1 the intervals widen by about
        one over its root.
    """

    name: Literal["parts", "games"] = "parts"
    parts: int = 5
    fraction: float = 1.0


#: The scheme of the shipped refits.
SHIPPED = Scheme()


@dataclass(frozen=True, slots=True)
class GameResamples:
    """Weights of every game in every resample.

    Attributes
    ----------
    games
        Sorted game identifiers.
    weights
        (resamples, games), mean 1 over the games.
    """

    games: Array
    weights: Array
    scheme: Scheme

    def __len__(self) -> int:
        return len(self.weights)

    def rows(self, resample: int, games: Array) -> Array:
        """Weight of each row in one resample, from the row's game."""
        at = np.searchsorted(self.games, games)
        return self.weights[resample][at]


def others(refit: int, parts: int = SHIPPED.parts) -> list[int]:
    """The refits (counted from 0) on the other parts of the same cut under ``parts``.

    >>> others(6, 3)
    [7, 8]
    """
    first = refit // parts * parts
    return [r for r in range(first, first + parts) if r != refit]


def resample_games(
    games: Array, resamples: int, rng: np.random.Generator, scheme: Scheme = SHIPPED
) -> GameResamples:
    """Draw games.

    Parameters
    ----------
    games
        Game identifiers (repeats allowed).
    resamples
        Number of resamples; a multiple of ``scheme.parts`` for ``parts``.
    """
    unique = np.unique(games)
    n = len(unique)
    if scheme.name == "games":
        draws = max(1, round(scheme.fraction * n))
        counts = rng.multinomial(draws, np.full(n, 1 / n), size=resamples)
        return GameResamples(unique, counts * (n / draws), scheme)
    if resamples % scheme.parts:
        raise ValueError(
            f"{resamples} resamples: they come in cuts of {scheme.parts} parts, ask for a "
            f"multiple of {scheme.parts}"
        )
    weights = np.zeros((resamples, n))
    for first in range(0, resamples, scheme.parts):
        for part, games_in in enumerate(np.array_split(rng.permutation(n), scheme.parts)):
            weights[first + part, games_in] = n / max(len(games_in), 1)
    return GameResamples(unique, weights, scheme)
