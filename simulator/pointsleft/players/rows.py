"""What the hierarchical model is fitted to: one row a play, and the matrix that goes with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

Array = np.ndarray

#: Fewer plays than this cannot tell their own spread from that of the games.
LEAST_PLAYS = 8


class TooLittleError(ValueError):
    """There is too little to fit anything; the message says what is missing."""


@dataclass(frozen=True)
class Rows:
    """What is fitted: one row a play.

    Attributes
    ----------
    y
        (plays,) response.
    weight
        (plays,) positive; the variance of a play is ``(uneven * spread)**2 / weight``.
    covariates
        (plays, k), each centred (the answer holds where they are 0) and standardised.
    groups
        Name of a part -> (plays,) whole number of the group, from 0. ``player`` is required.
    sizes
        Name of a part -> number of groups (some may have no play).
    game
        (plays,) whole number of the game, from 0.
    refits
        (plays, refits) deviations of the response under each refit of the models, or ``None``.
    uneven
        (players,) spread of a player's plays over the common one; ``None`` where all are taken to
        be alike.
    share
        (plays,) 1 over the number of logs of the game, so that a game that two people charted is
        counted once; ``None`` where every game has one log. It is part of the weight already.
    """

    y: Array
    weight: Array
    covariates: Array
    groups: Mapping[str, Array]
    sizes: Mapping[str, int]
    game: Array
    refits: Array | None = None
    uneven: Array | None = None
    share: Array | None = None

    @property
    def precision(self) -> Array:
        """(plays,) the common variance over that of the play."""
        if self.uneven is None:
            return self.weight
        return self.weight / self.uneven[self.groups["player"]] ** 2

    @property
    def counted(self) -> Array:
        """(plays,) how many plays each stands for."""
        return np.ones(len(self.y)) if self.share is None else self.share

    @property
    def games(self) -> Array:
        """(plays,) the games, numbered from 0 without a gap."""
        return np.asarray(np.unique(self.game, return_inverse=True)[1])


def design(rows: Rows) -> tuple[dict[str, slice], Array]:
    """Which coefficients belong to which part, and the (plays, coefficients) matrix."""
    n = len(rows.y)
    names: dict[str, slice] = {"intercept": slice(0, 1)}
    blocks = [np.ones((n, 1)), rows.covariates]
    at = 1 + rows.covariates.shape[1]
    names["covariates"] = slice(1, at)
    for part, group in rows.groups.items():
        size = rows.sizes[part]
        block = np.zeros((n, size))
        block[np.arange(n), group] = 1.0
        blocks.append(block)
        names[part] = slice(at, at + size)
        at += size
    return names, np.hstack(blocks)


def by_game(x: Array, game: Array) -> Array:
    """Sums of the rows of each game; games are numbered from 0 without a gap."""
    order = np.argsort(game, kind="stable")
    starts = np.searchsorted(game[order], np.arange(game.max() + 1))
    return np.asarray(np.add.reduceat(x[order], starts, axis=0))
