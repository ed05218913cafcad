"""Does one step of the solver give the intervals of refits that go all the way?

The coverage studies refit thousands of times and take one step each. Here the same resamples of
one archive are refitted both ways, and the ends of the intervals are held against each other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pointsleft_models.bench import coverage, coverage_football
from pointsleft_models.bench.covered import HIGH, LOW
from pointsleft_models.bench.known_league import Known
from pointsleft_models.bench.ours import worth_under_fit_rules
from pointsleft_models.bench.random_walk import PLAYS, walk
from pointsleft_models.bench.schemes import SCHEMES
from pointsleft_models.bench.simulated_league import simulated_league

Array = np.ndarray

#: Resamples that are refitted both ways, by the scheme that is shipped.
REFITS, SCHEME = 10, "fifths"


@dataclass(frozen=True, slots=True)
class OneStep:
    """Intervals of single steps beside those of refits that go all the way.

    Attributes
    ----------
    width
        Mean width of the latter.
    ends
        Mean distance of the ends of the two, as a share of that width.
    wider
        Mean width of the former over that of the latter.
    """

    truth: str
    games: int
    refits: int
    width: float
    ends: float
    wider: float


def compared(truth: str, games: int, step: Array, full: Array, met: Array) -> OneStep:
    """Compare.

    Parameters
    ----------
    step, full
        (refits, n) values of the situations from the same resamples.
    met
        (n,) share of the plays that each situation stands for.
    """
    ends = [np.quantile(a, [LOW, HIGH], axis=0) for a in (step, full)]
    widths = [float(met @ (high - low)) for low, high in ends]
    apart = float(met @ np.abs(ends[0] - ends[1]).mean(0))
    return OneStep(truth, games, len(step), widths[1], apart / widths[1], widths[0] / widths[1])


def on_the_walk(games: int, seed: int, refits: int = REFITS) -> OneStep:
    """One archive of random-walk football."""
    rng = np.random.default_rng(seed)
    table = coverage.tabled(walk(games, rng))
    met = np.bincount(table.cell) / len(table.cell)
    estimator = coverage.Estimator(table.at)
    estimator.fit(*table.counts(np.ones(games * PLAYS)))
    game = np.repeat(np.arange(games), PLAYS)
    drawn = [table.counts(SCHEMES[SCHEME](rng, game)) for _ in range(refits)]
    step, full = (
        np.array([estimator.refit(*counts, full=way) for counts in drawn]) for way in (False, True)
    )
    return compared("random-walk football", games, step, full, met)


def on_the_league(known: Known, games: int, seed: int, refits: int = REFITS) -> OneStep:
    """One archive of the simulated league, at the snaps whose truth is known."""
    plays = simulated_league(coverage_football.league_parts(), games, seed)
    estimator = coverage_football.Estimator(plays, worth_under_fit_rules())
    rng = np.random.default_rng(seed)
    game = plays["game"].to_numpy()
    drawn = [SCHEMES[SCHEME](rng, game) for _ in range(refits)]

    def values(full: bool) -> Array:
        return np.asarray(estimator.refitted(drawn, full=full).wins_all(known.at)[1:])

    met = known.met
    return compared("the simulated league", games, values(False), values(True), met)
