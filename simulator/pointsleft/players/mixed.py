"""A normal model of plays in games in players, with the spreads themselves not known.

    y = intercept + covariates + player + (charter) + (opponent) + (cell) + game + play

Every named part but the covariates is a group of effects around zero whose spread is not known.
Given the spreads everything is normal and known in closed form; the spreads are summed over a
grid (:mod:`~pointsleft.players.priors`), each point weighted by how well it explains the data.
Nothing is drawn to find the posterior, so nothing can fail to converge, and the same data give
the same answer.

The game effects are integrated out by hand (one number a game), so the matrices stay as small as
the number of players, charters and opponents.

Sources of the formulas: Gelman et al., Bayesian Data Analysis, 3rd edition, sections 5.4 and
15.1 to 15.3 (the hierarchical normal model and its marginal likelihood).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product

import numpy as np

from pointsleft.players.posterior import Point, Posterior
from pointsleft.players.priors import COVARIATE, axis
from pointsleft.players.rows import LEAST_PLAYS, Rows, TooLittleError, by_game, design
from pointsleft.players.spreads import play_spread

Array = np.ndarray

#: Points of the grid are kept until this much of the posterior is covered.
COVERED = 0.99


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
    names, z = design(rows)
    sums = _sums(rows, z)
    parts = [p for p in names if p not in ("intercept", "covariates")]
    axes: dict[str, tuple[Array, Array]] = {
        part: axis(part, sigma, held.get(part)) for part in ("game", *parts)
    }
    return _summed(names, sums, axes, sigma, rows, held)


def _sums(rows: Rows, z: Array) -> _Sums:
    w = rows.precision
    y = rows.y[:, None] if rows.refits is None else np.column_stack([rows.y, rows.refits])
    game = rows.games
    count = game.max() + 1
    weighted = z * w[:, None]
    return _Sums(
        design=z.T @ weighted,
        response=weighted.T @ y,
        square=float(rows.y @ (w * rows.y)),
        games=by_game(weighted, game),
        weights=np.bincount(game, w, count),
        responses=by_game(y * w[:, None], game),
    )


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
