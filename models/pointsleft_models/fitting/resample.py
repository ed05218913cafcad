"""The one place where games are resampled.

Rows of one game share a winner and a next score, so games are the units. One resample drives
every fit together: its weights are looked up by game identifier, whatever rows a fit uses.

The shipped scheme is *complementary halves*: the games are cut in two at random and everything
is fitted on either half. A fit on half the games differs from the fit on all of them with the
variance that the latter has itself, so the spread of the refits is the model's; and the two
fits of a pair share no game, so one can choose the best option and the other value it without
any luck passing from the choice to the value.
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
        ``halves``: random halves, each followed by its complement (without replacement).
        ``games``: games drawn with replacement.
    fraction
        For ``games``: games drawn as a share of all games. Below 1 the intervals widen by about
        one over its root.
    """

    name: Literal["halves", "games"] = "halves"
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


def partner(refit: int) -> int:
    """The refit (counted from 0) that shares no game with this one under ``halves``.

    >>> [partner(r) for r in range(4)]
    [1, 0, 3, 2]
    """
    return refit ^ 1


def resample_games(
    games: Array, resamples: int, rng: np.random.Generator, scheme: Scheme = SHIPPED
) -> GameResamples:
    """Draw games.

    Parameters
    ----------
    games
        Game identifiers (repeats allowed).
    resamples
        Number of resamples; even for ``halves``.
    """
    unique = np.unique(games)
    n = len(unique)
    if scheme.name == "games":
        draws = max(1, round(scheme.fraction * n))
        counts = rng.multinomial(draws, np.full(n, 1 / n), size=resamples)
        return GameResamples(unique, counts * (n / draws), scheme)
    if resamples % 2:
        raise ValueError(f"{resamples} resamples: halves come in pairs, ask for an even number")
    weights = np.zeros((resamples, n))
    for pair in range(0, resamples, 2):
        half = rng.permutation(n)[: n // 2]
        inside = np.zeros(n, dtype=bool)
        inside[half] = True
        weights[pair] = inside * (n / inside.sum())
        weights[pair + 1] = ~inside * (n / (~inside).sum())
    return GameResamples(unique, weights, scheme)
