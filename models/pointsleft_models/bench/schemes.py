"""Ways of resampling an archive, as weights of its plays."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

Array = np.ndarray

#: Weights (plays,) from one way of resampling: (rng, game of each play, numbered from 0).
Draw = Callable[[np.random.Generator, Array], Array]


def _games(share: float) -> Draw:
    def draw(rng: np.random.Generator, game: Array) -> Array:
        games = int(game.max()) + 1
        drawn = round(share * games)
        counts = rng.multinomial(drawn, np.full(games, 1 / games)) * (games / drawn)
        return counts[game]

    return draw


def _rows(rng: np.random.Generator, game: Array) -> Array:
    return rng.poisson(1.0, len(game)).astype(float)


def _games_then_plays(rng: np.random.Generator, game: Array) -> Array:
    games = int(game.max()) + 1
    counts = rng.multinomial(games, np.full(games, 1 / games))
    return rng.poisson(counts[game]).astype(float)


def _part(parts: int) -> Draw:
    """One of so many parts of the games, cut at random: drawn without replacement."""

    def draw(rng: np.random.Generator, game: Array) -> Array:
        games = int(game.max()) + 1
        inside = np.zeros(games)
        inside[rng.permutation(games)[: games // parts]] = float(parts)
        return inside[game]

    return draw


#: Every scheme that is tried. Rows and plays are drawn with Poisson weights, which for many rows
#: is drawing with replacement.
SCHEMES: dict[str, Draw] = {
    "rows": _rows,
    "games": _games(1.0),
    "games, then plays": _games_then_plays,
    "half as many games": _games(0.5),
    "35% as many games": _games(0.35),
    "halves": _part(2),
    "thirds": _part(3),
    "quarters": _part(4),
    "fifths": _part(5),
}
