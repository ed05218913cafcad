"""How far single plays lie apart."""

from __future__ import annotations

import numpy as np

from pointsleft.players.rows import Rows

Array = np.ndarray


def play_spread(rows: Rows) -> float:
    """Standard deviation of a single play of weight 1 around its game, covariates allowed for."""
    game = rows.games
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
