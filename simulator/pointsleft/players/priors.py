"""What is held likely of the spreads before the data, as a grid of points with weights."""

from __future__ import annotations

from collections.abc import Mapping

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

#: Largest spread on the grid, in sizes of the prior; beyond it the prior has nothing left.
REACH = 3.2

#: Prior standard deviation of the coefficient of a standardised covariate, same unit.
COVARIATE = 1.0


def axis(part: str, sigma: float, held: float | None) -> tuple[Array, Array]:
    """Points of the spread of a part and their prior weights.

    Parameters
    ----------
    sigma
        Spread of single plays.
    held
        The spread where it is taken as known.
    """
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
