"""The one place where games are resampled.

Rows of one game share a winner and a next score, so games are the units. One resample drives
every fit together: its weights are looked up by game identifier, whatever rows a fit uses.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Scheme:
    """How games are drawn.

    Attributes
    ----------
    fraction
        Games drawn (with replacement) as a share of all games. Below 1 the intervals widen by
        about one over its root.
    """

    name: str = "games"
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
        (resamples, games): how often each game was drawn, scaled so that the mean is 1.
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


def resample_games(
    games: Array, resamples: int, rng: np.random.Generator, scheme: Scheme = SHIPPED
) -> GameResamples:
    """Draw games with replacement.

    Parameters
    ----------
    games
        Game identifiers (repeats allowed).
    resamples
        Number of resamples.
    """
    unique = np.unique(games)
    draws = max(1, round(scheme.fraction * len(unique)))
    counts = rng.multinomial(draws, np.full(len(unique), 1 / len(unique)), size=resamples)
    return GameResamples(unique, counts * (len(unique) / draws), scheme)
