"""How far single plays lie apart: in common, and of every player his own.

Who decides badly also varies more from snap to snap, so one spread for all makes the intervals of
the worst too narrow and those of the best too wide. A player's own spread is poorly known from a
few games, so its logarithm is pulled toward the others' by how little is known of it: moderated
variances, as in Smyth (2004, Statistical Applications in Genetics and Molecular Biology 3:3), but
with the error of a spread measured by leaving plays out one at a time (the jackknife: Efron & Stein
1981, Annals of Statistics 9:586) in place of the normal law's, since what a decision leaves is
nothing on most snaps and now and then large.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pointsleft.players.rows import Rows
from pointsleft.pricing.settings import Z90

Array = np.ndarray

#: Fewer games than this, or fewer plays beyond one a game, say nothing of a player's spread.
GAMES, LEAST = 2, 5

#: Scale of the half-normal prior of how far players differ in their spread, in log units.
LOG_SPREAD = 0.25

#: Largest difference on the grid, in scales.
REACH = 3.2

#: Points of the grid over that.
POINTS = 60

#: Squared error of the log of a normal law's spread, times the plays: no law of ours is taken to
#: tell its spread better than this.
NORMAL = 0.5


@dataclass(frozen=True)
class OwnSpreads:
    """Every player's spread of single plays of weight 1 within a game.

    Attributes
    ----------
    raw
        (players,) plain; not a number where too little was seen, or plays that do not differ.
    value, low, high
        (players,) pulled toward one another, with the 90% interval.
    own
        (players,) share of his own plays in the log of ``value``.
    ratio
        (players,) what is to be expected of his plays, over the common spread; its mean square
        over all plays is 1. Where little is known it is larger than ``value``.
    """

    raw: Array
    value: Array
    low: Array
    high: Array
    own: Array
    ratio: Array


def play_spread(rows: Rows) -> float:
    """Common spread of plays of weight 1 around their game, covariates allowed for.

    Plays of a game that several people charted count once, whatever their number of logs.
    """
    rest, lost = _within_games(rows)
    free = max(rows.counted.sum() - lost, 1)
    return float(np.sqrt((rest @ rest) / free))


def own_spreads(rows: Rows) -> OwnSpreads:
    """Every player's own spread.

    Who was seen in fewer than :data:`GAMES` games has what the others let expect: after one lucky
    day with nothing left, nothing would seem to lie apart either, and he would be taken at his
    word.
    """
    rest, _ = _within_games(replace(rows, uneven=None))
    player, count = rows.groups["player"], rows.sizes["player"]
    games = _games_of(rows)
    free = np.bincount(player, rows.counted, count) - games
    square = np.bincount(player, rest**2, count) / np.maximum(free, 1)
    seen = (games >= GAMES) & (free >= LEAST) & (square > 0)
    if not seen.any():
        one, wide = np.full(count, play_spread(rows)), np.exp(Z90 * LOG_SPREAD)
        none = np.full(count, np.nan)
        return OwnSpreads(none, one, one / wide, one * wide, np.zeros(count), np.ones(count))
    worth = np.where(seen, free / (2 * _log_error(rest, player, count, seen)), 0.0)
    found = moderated(square, worth, LOG_SPREAD)
    expected = np.exp(found.log + found.error**2)  # root of the mean square of a log-normal law
    common = np.sqrt(np.average(expected[player] ** 2, weights=rows.counted))
    return OwnSpreads(
        raw=np.where(seen, np.sqrt(square), np.nan),
        value=np.exp(found.log),
        low=np.exp(found.log - Z90 * found.error),
        high=np.exp(found.log + Z90 * found.error),
        own=found.own,
        ratio=expected / common,
    )


@dataclass(frozen=True)
class Moderated:
    """Several spreads after they were pulled toward one another, each (n,).

    Attributes
    ----------
    log, error
        Posterior mean of the log of the spread, and its standard deviation.
    own
        Share of the own figure in the variance.
    """

    log: Array
    error: Array
    own: Array


def moderated(square: Array, worth: Array, scale: float) -> Moderated:
    """Several variances, pulled toward one another.

    Parameters
    ----------
    square, worth
        (n,) variances as they were found, and the degrees of freedom each is worth; a worth of
        0 is a variance of which nothing was seen.
    scale
        Scale of the half-normal prior of how far the logs of the true spreads lie apart.

    Returns
    -------
    Moderated
        Given the middle and how far the true variances lie apart, each is known in closed form
        (scaled inverse chi-square, as in Smyth 2004); these two are summed over a grid.
    """
    from scipy.special import betaln, digamma, polygamma

    seen = worth > 0
    apart = np.linspace(0.05, REACH, POINTS) * scale
    # half the degrees of freedom that the others are worth; the log of such a variance has the
    # variance trigamma(prior), which is near 1 / (prior - 0.5)
    prior = 0.5 + 0.25 / apart**2
    typical = float(np.average(np.log(square[seen]), weights=worth[seen]))
    middle = np.exp(typical + np.linspace(-1.5, 1.5, POINTS))
    # axes: how far apart, middle, player
    d0, s0 = prior[:, None, None], middle[:, None]
    half = worth / 2
    x = square[seen] / s0
    h = half[seen]
    log = (h * np.log(h / d0 * x) - (h + d0) * np.log1p(h / d0 * x) - betaln(h, d0)).sum(
        2
    ) - 0.5 * (apart[:, None] / scale) ** 2
    share = np.exp(log - log.max())[:, :, None]
    share /= share.sum()
    both = d0 + half
    total = d0 * s0 + half * square
    mean = np.log(total) - digamma(both)
    out = (share * mean).sum((0, 1))
    spread = (share * (polygamma(1, both) + (mean - out) ** 2)).sum((0, 1))
    return Moderated(
        log=out / 2,
        error=np.sqrt(spread) / 2,
        own=(share * half / both).sum((0, 1)),
    )


def _games_of(rows: Rows) -> Array:
    """(players,) in how many games each was seen."""
    player, count = rows.groups["player"], rows.sizes["player"]
    pairs = np.unique(np.stack([player, rows.games]), axis=1)
    return np.bincount(pairs[0], minlength=count)


def _log_error(rest: Array, player: Array, players: int, seen: Array) -> float:
    """Squared error of the log of a spread, times the plays it is taken from.

    One figure for all players, since a single player's is known too poorly.
    """
    plays = np.bincount(player, minlength=players)
    n = plays[player]
    square = np.bincount(player, rest**2, players)[player]
    kept = seen[player]
    # the square without one play, over all of it; at least as much as an even share
    share = np.zeros(len(rest))
    share[kept] = rest[kept] ** 2 / square[kept] * n[kept] / (n[kept] - 1)
    logs = 0.5 * np.log(np.maximum(1 - share, 1 / n))
    logs -= (np.bincount(player, logs, players) / np.maximum(plays, 1))[player]
    error = np.bincount(player, logs**2, players) * (plays - 1)  # times the plays already
    return float(max(np.average(error[seen], weights=plays[seen]), NORMAL))


def _within_games(rows: Rows) -> tuple[Array, float]:
    """Plays around their game, covariates allowed for, times the root of their precision.

    Returns
    -------
    tuple
        (plays,), and how many free figures were taken out.
    """
    game, w = rows.games, rows.precision
    count = int(game.max()) + 1
    total = np.bincount(game, w, count)

    def within(x: Array) -> Array:
        return x - (np.bincount(game, w * x, count) / total)[game]

    root = np.sqrt(w)
    y = root * within(rows.y)
    if not rows.covariates.size:
        return y, count
    x = np.stack([root * within(c) for c in rows.covariates.T], 1)
    beta, _, rank, _ = np.linalg.lstsq(x, y, rcond=1e-8)
    return y - x @ beta, count + int(rank)
