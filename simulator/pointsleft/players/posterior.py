"""What is known after the data: normal laws of the effects, one at each point of the spreads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from pointsleft.players.rows import Rows, by_game, design

Array = np.ndarray


@dataclass(frozen=True)
class Point:
    """One set of spreads: its share of the posterior, and the normal law of the effects."""

    share: float
    spreads: Mapping[str, float]
    mean: Array  # (coefficients,)
    root: Array  # (coefficients, coefficients): mean + root @ standard normals
    shift: Array | None  # (coefficients, refits)


@dataclass(frozen=True)
class Posterior:
    """Everything that is known after the data.

    Attributes
    ----------
    names
        Part -> slice of the coefficients; ``intercept`` and ``covariates`` are among them.
    play_spread
        Standard deviation of a single play of weight 1 around its game.
    points
        The grid, points that carry next to nothing left out.
    mean
        (coefficients,) posterior mean.
    """

    names: Mapping[str, slice]
    play_spread: float
    points: tuple[Point, ...]
    mean: Array
    plays: int
    games: int
    held: Mapping[str, float] = field(default_factory=dict)

    def spread(self, part: str) -> float:
        """Posterior mean of the spread of a part, 0 where it was left out."""
        return float(sum(p.share * p.spreads.get(part, 0.0) for p in self.points))

    def draws(self, n: int, rng: np.random.Generator) -> tuple[Array, Array]:
        """Joint draws of all coefficients.

        One draw takes one set of spreads, one refit of the models for everybody (what the models
        have wrong is wrong for all players alike, so it cancels in their differences), and one
        normal draw of the effects.

        Returns
        -------
        tuple
            (n, coefficients), and (n,) the number of the point each was drawn at.
        """
        shares = np.array([p.share for p in self.points])
        at = np.sort(rng.choice(len(self.points), size=n, p=shares / shares.sum()))
        normal = rng.standard_normal((n, len(self.mean)))
        refit = rng.integers(0, 1 << 30, size=n)
        out = np.empty_like(normal)
        for index in np.unique(at):
            here = np.flatnonzero(at == index)
            point = self.points[index]
            out[here] = point.mean + normal[here] @ point.root.T
            if point.shift is not None:
                out[here] += point.shift[:, refit[here] % point.shift.shape[1]].T
        order = rng.permutation(n)
        return out[order], at[order]

    def usual(self) -> Array:
        """(coefficients,): what makes the level of the class on the usual mix of snaps.

        The middle of the charters and opponents that were met, not of all there may be: what
        these charters have in common cannot be told from the game itself.
        """
        out = np.zeros(len(self.mean))
        out[self.names["intercept"]] = 1.0
        for part in ("charter", "opponent"):
            if part in self.names:
                out[self.names[part]] = 1 / (self.names[part].stop - self.names[part].start)
        return out

    def shift(self) -> Array | None:
        """(coefficients, refits): how each refit of the models moves the mean."""
        if self.points[0].shift is None:
            return None
        return np.asarray(sum(p.share * p.shift for p in self.points if p.shift is not None))

    def linear(self, rows: Rows) -> Array:
        """What one unit more on each play adds to each coefficient, the spreads held.

        Only where every spread was held is there one such answer.

        Returns
        -------
        Array
            (coefficients, plays); times the response it gives :attr:`mean`.
        """
        if len(self.points) != 1:
            raise ValueError("hold every spread: otherwise the answer is not linear")
        _, z = design(rows)
        sigma, game_spread = self.play_spread, self.points[0].spreads["game"]
        game, w = rows.games, rows.precision
        weights = np.bincount(game, w)
        pull = game_spread**2 / (sigma**2 + game_spread**2 * weights)
        sums = by_game(z * w[:, None], game)
        left = (z - (pull[:, None] * sums)[game]) * w[:, None] / sigma**2
        root = self.points[0].root
        return np.asarray(root @ (root.T @ left.T))
