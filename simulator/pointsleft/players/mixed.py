"""A normal model of plays in games in players, with the spreads themselves not known.

    y = intercept + covariates + player + (charter) + (opponent) + (cell) + game + play

Every named part but the covariates is a group of effects around zero whose spread is not known.
Given the spreads everything is normal and known in closed form; the spreads are summed over a
grid, each point weighted by how well it explains the data. Nothing is drawn to find the
posterior, so nothing can fail to converge, and the same data give the same answer.

The game effects are integrated out by hand (one number a game), so the matrices stay as small as
the number of players, charters and opponents.

Sources of the formulas: Gelman et al., Bayesian Data Analysis, 3rd edition, sections 5.4 and
15.1 to 15.3 (the hierarchical normal model and its marginal likelihood).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import product

import numpy as np

Array = np.ndarray

#: Most likely size of each spread before the data, as a share of the spread of single plays. The
#: prior is a Rayleigh law: zero at zero, so that a handful of players who happen to look alike is
#: not taken for proof that they are (Chung et al. 2013, Psychometrika 78:685).
PLAYER_SPREAD = 0.20
GAME_SPREAD = 0.10
CHARTER_SPREAD = 0.10
OPPONENT_SPREAD = 0.06
CELL_SPREAD = 0.10

PRIOR: Mapping[str, float] = {
    "player": PLAYER_SPREAD,
    "game": GAME_SPREAD,
    "charter": CHARTER_SPREAD,
    "opponent": OPPONENT_SPREAD,
    "cell": CELL_SPREAD,
}

#: Points of the grid for each spread. Those of charters and opponents are few and lie at equal
#: steps of prior probability: a handful of them say next to nothing of their spread.
POINTS: Mapping[str, int] = {"player": 12, "game": 6, "charter": 4, "opponent": 3, "cell": 8}
BY_PROBABILITY = ("charter", "opponent")

#: Points of the grid are kept until this much of the posterior is covered.
COVERED = 0.99

#: Largest spread on the grid, in sizes of the prior; beyond it the prior has nothing left.
REACH = 3.2

#: Prior standard deviation of the coefficient of a standardised covariate, same unit.
COVARIATE = 1.0

#: Parts with fewer plays than this cannot tell their own spread from that of the games.
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
        (plays,) positive; the variance of a play is ``spread**2 / weight``.
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
    """

    y: Array
    weight: Array
    covariates: Array
    groups: Mapping[str, Array]
    sizes: Mapping[str, int]
    game: Array
    refits: Array | None = None


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
        _, z = _design(rows)
        sigma, game_spread = self.play_spread, self.points[0].spreads["game"]
        game = np.unique(rows.game, return_inverse=True)[1]
        weights = np.bincount(game, rows.weight)
        pull = game_spread**2 / (sigma**2 + game_spread**2 * weights)
        sums = _by_game(z * rows.weight[:, None], game)
        left = (z - (pull[:, None] * sums)[game]) * rows.weight[:, None] / sigma**2
        root = self.points[0].root
        return np.asarray(root @ (root.T @ left.T))


@dataclass(frozen=True)
class _Sums:
    """What the data come to: every fit works from these."""

    design: Array  # Z'WZ
    response: Array  # Z'W[y, refits]
    square: float  # y'Wy
    games: Array  # (games, coefficients): Z'w of each game
    weights: Array  # (games,): sum of the weights
    responses: Array  # (games, 1 + refits): w'[y, refits]


def fit(rows: Rows, *, held: Mapping[str, float] | None = None) -> Posterior:
    """The posterior of the model.

    Parameters
    ----------
    held
        Spreads that are taken as known, by part (``play`` for that of single plays); the others
        are summed over.

    Raises
    ------
    TooLittleError
        There are fewer plays than :data:`LEAST_PLAYS`, or they do not differ.
    """
    held = dict(held or {})
    n = len(rows.y)
    if n < LEAST_PLAYS:
        raise TooLittleError(f"{n} plays: at least {LEAST_PLAYS} are needed to fit anything")
    sigma = held.get("play", play_spread(rows))
    if not sigma > 0:
        raise TooLittleError(f"all {n} plays have the same figure, so nothing can be told apart")
    names, z = _design(rows)
    sums = _sums(rows, z)
    parts = [p for p in names if p not in ("intercept", "covariates")]
    axes: dict[str, tuple[Array, Array]] = {
        part: _axis(part, sigma, held.get(part)) for part in ("game", *parts)
    }
    return _summed(names, sums, axes, sigma, rows, held)


def play_spread(rows: Rows) -> float:
    """Standard deviation of a single play of weight 1 around its game, covariates allowed for."""
    game = np.unique(rows.game, return_inverse=True)[1]
    w, count = rows.weight, game.max() + 1
    total = np.bincount(game, w, count)

    def within(x: Array) -> Array:
        return x - (np.bincount(game, w * x, count) / total)[game]

    root = np.sqrt(w)
    y = root * within(rows.y)
    x = np.stack([root * within(c) for c in rows.covariates.T], 1) if rows.covariates.size else None
    lost = count
    if x is not None:
        beta, _, rank, _ = np.linalg.lstsq(x, y, rcond=1e-8)
        y, lost = y - x @ beta, count + int(rank)
    free = max(len(y) - lost, 1)
    return float(np.sqrt((y @ y) / free))


def _design(rows: Rows) -> tuple[dict[str, slice], Array]:
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


def _sums(rows: Rows, z: Array) -> _Sums:
    w = rows.weight
    y = rows.y[:, None] if rows.refits is None else np.column_stack([rows.y, rows.refits])
    game = np.unique(rows.game, return_inverse=True)[1]
    count = game.max() + 1
    weighted = z * w[:, None]
    return _Sums(
        design=z.T @ weighted,
        response=weighted.T @ y,
        square=float(rows.y @ (w * rows.y)),
        games=_by_game(weighted, game),
        weights=np.bincount(game, w, count),
        responses=_by_game(y * w[:, None], game),
    )


def _by_game(x: Array, game: Array) -> Array:
    """Sums of the rows of each game; games are numbered from 0 without a gap."""
    order = np.argsort(game, kind="stable")
    starts = np.searchsorted(game[order], np.arange(game.max() + 1))
    return np.asarray(np.add.reduceat(x[order], starts, axis=0))


def _axis(part: str, sigma: float, held: float | None) -> tuple[Array, Array]:
    """Points of a spread and their prior weights (Rayleigh)."""
    if held is not None:
        return np.array([held]), np.array([1.0])
    n = POINTS[part]
    if part in BY_PROBABILITY:
        quantiles = np.sqrt(-2 * np.log1p(-(np.arange(n) + 0.5) / n))
        return quantiles * PRIOR[part] * sigma, np.full(n, 1 / n)
    ratio = np.linspace(0.0, 1.0, n + 1)[1:] ** 1.5 * REACH  # closer near zero
    step = np.gradient(ratio)
    step[0], step[-1] = (ratio[0] + ratio[1]) / 2, (ratio[-1] - ratio[-2]) / 2
    weight = ratio * np.exp(-0.5 * ratio**2) * step
    return ratio * PRIOR[part] * sigma, weight / weight.sum()


def _summed(
    names: Mapping[str, slice],
    sums: _Sums,
    axes: Mapping[str, tuple[Array, Array]],
    sigma: float,
    rows: Rows,
    held: Mapping[str, float],
) -> Posterior:
    size = len(sums.design)
    parts = [p for p in axes if p != "game"]
    flat = 1e-6 / sigma**2  # a flat prior of the intercept, just proper
    base = np.full(size, flat)
    base[names["covariates"]] = 1 / (COVARIATE * sigma) ** 2
    combos = list(product(*(range(len(axes[p][0])) for p in parts)))
    found: list[_Found] = []
    for game_spread, game_prior in zip(*axes["game"], strict=True):
        pull = game_spread**2 / (sigma**2 + game_spread**2 * sums.weights)
        q = (sums.design - (sums.games * pull[:, None]).T @ sums.games) / sigma**2
        h = (sums.response - (sums.games * pull[:, None]).T @ sums.responses) / sigma**2
        square = (sums.square - float(pull @ sums.responses[:, 0] ** 2)) / sigma**2
        lost = float(np.log1p(game_spread**2 * sums.weights / sigma**2).sum())
        diagonal = np.tile(base, (len(combos), 1))
        prior = np.full(len(combos), np.log(game_prior))
        log_prior_det = np.zeros(len(combos))
        for place, part in enumerate(parts):
            values, weights = axes[part]
            which = np.array([c[place] for c in combos])
            # a spread of zero: effects held at zero by a prior too narrow to matter
            narrow = np.maximum(values, 1e-4 * sigma)[which]
            width = names[part].stop - names[part].start
            diagonal[:, names[part]] = (1 / narrow**2)[:, None]
            log_prior_det += width * 2 * np.log(narrow)
            prior += np.log(weights[which])
        stack = np.broadcast_to(q, (len(combos), size, size)).copy()
        stack[:, np.arange(size), np.arange(size)] += diagonal
        root = np.linalg.cholesky(stack)
        det = 2 * np.log(np.diagonal(root, axis1=1, axis2=2)).sum(1)
        mean = np.linalg.solve(stack, np.broadcast_to(h[:, :1], (len(combos), size, 1)))[:, :, 0]
        gain = mean @ h[:, 0]
        log = prior - 0.5 * (square - gain + lost + det + log_prior_det)
        for index, combo in enumerate(combos):
            spreads = {p: float(axes[p][0][combo[i]]) for i, p in enumerate(parts)}
            spreads["game"] = float(game_spread)
            found.append(_Found(float(log[index]), spreads, mean[index], stack[index], h[:, 1:]))
    return _kept(found, names, sigma, rows, held)


@dataclass(frozen=True)
class _Found:
    """One point of the grid before it is known how much it weighs."""

    log: float
    spreads: Mapping[str, float]
    mean: Array
    precision: Array
    refits: Array  # right-hand sides of the deviations under the refits


def _kept(
    found: list[_Found],
    names: Mapping[str, slice],
    sigma: float,
    rows: Rows,
    held: Mapping[str, float],
) -> Posterior:
    logs = np.array([f.log for f in found])
    share = np.exp(logs - logs.max())
    share /= share.sum()
    order = np.argsort(-share)
    keep = order[: int(np.searchsorted(np.cumsum(share[order]), COVERED)) + 1]
    total = float(share[keep].sum())
    points = []
    for index in keep:
        one = found[index]
        covariance = np.linalg.inv(one.precision)
        shift = covariance @ one.refits if one.refits.shape[1] else None
        root = np.linalg.cholesky(covariance)
        points.append(Point(float(share[index]) / total, one.spreads, one.mean, root, shift))
    middle = sum((p.share * p.mean for p in points), np.zeros(len(points[0].mean)))
    return Posterior(
        names=names,
        play_spread=sigma,
        points=tuple(points),
        mean=middle,
        plays=len(rows.y),
        games=len(np.unique(rows.game)),
        held=held,
    )


def balanced_weight(player: float, game: float, play: float, games: float, plays: float) -> float:
    """Share of a player's own mean in his estimate, in the balanced case with known spreads.

    Parameters
    ----------
    player, game, play
        Standard deviations of players, of games within a player, of plays within a game.
    games, plays
        Games of the player, and plays in each.

    >>> balanced_weight(1.0, 0.0, 2.0, 1, 4), balanced_weight(1.0, 1.0, 0.0, 3, 10)
    (0.5, 0.75)
    """
    if player == 0:
        return 0.0
    return player**2 / (player**2 + game**2 / games + play**2 / (games * plays))
