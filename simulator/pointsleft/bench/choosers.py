"""Invented quarterbacks who choose among options by a known rule, no model asked.

Each snap has options whose values are drawn; a quarterback sees them through noise of his own size
and takes the one that looks best. So his true mean of ``left`` is known as exactly as one cares to
draw it, and ``left`` is what it is on film: never negative, nothing on most snaps, now and then
large, and the more uneven the more of it there is.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from pointsleft.players.rows import Rows

Array = np.ndarray

#: Options of a snap; how far they lie apart differs from snap to snap.
OPTIONS = 4

#: Middle of the noises of a class, and the noises at which the truth is counted out.
MIDDLE, NOISES = 0.55, np.exp(np.linspace(np.log(0.1), np.log(3.0), 40))

#: Snaps from which each is counted.
COUNTED = 100_000


def options(rng: np.random.Generator, snaps: int) -> Array:
    """(snaps, 4) values of the options; how far they lie apart differs from snap to snap."""
    wide = rng.gamma(2.0, 0.3, (snaps, 1))
    return rng.normal(0, 1, (snaps, OPTIONS)) * wide


def chosen(values: Array, noise: float | Array, rng: np.random.Generator) -> Array:
    """The option that looks best through noise of this size (or one size a snap)."""
    size = np.broadcast_to(np.asarray(noise, dtype=float), len(values))[:, None]
    return np.asarray((values + rng.normal(0, 1, values.shape) * size).argmax(1))


def left_of(values: Array, at: Array) -> Array:
    """(snaps,) what the chosen options leave."""
    return np.asarray(values.max(1) - values[np.arange(len(values)), at])


def true_left(noise: float, snaps: int = 2 * COUNTED) -> tuple[float, float]:
    """Mean and standard deviation of ``left`` of a quarterback, over very many snaps."""
    rng = np.random.default_rng(99)
    values = options(rng, snaps)
    left = left_of(values, chosen(values, noise, rng))
    return float(left.mean()), float(left.std())


@lru_cache(maxsize=1)
def _truths() -> Array:
    """(noises, 2) of :data:`NOISES`."""
    return np.array([true_left(float(noise), COUNTED) for noise in NOISES])


@dataclass(frozen=True, slots=True)
class Chosen:
    """A class of them: the rows, the players' true levels and the spreads of their decisions."""

    rows: Rows
    true: Array
    spread: Array


def class_of(games: Array, snaps: int, apart: float, rng: np.random.Generator) -> Chosen:
    """A class.

    Parameters
    ----------
    games, snaps
        (players,) games of each, and decisions in a game.
    apart
        Standard deviation of the logs of their noises.
    """
    noise = MIDDLE * np.exp(apart * rng.standard_normal(len(games)))
    noise = np.clip(noise, NOISES[0], NOISES[-1])
    player = np.repeat(np.arange(len(games)), games * snaps)
    values = options(rng, len(player))
    left = left_of(values, chosen(values, noise[player], rng))
    stake = values.max(1) - values.mean(1)
    stake = (stake - stake.mean()) / stake.std()
    rows = Rows(
        left, np.ones(len(left)), stake[:, None], {"player": player}, {"player": len(games)},
        np.repeat(np.arange(games.sum()), snaps),
    )  # fmt: skip
    true = [np.interp(np.log(noise), np.log(NOISES), column) for column in _truths().T]
    return Chosen(rows, true[0], true[1])
