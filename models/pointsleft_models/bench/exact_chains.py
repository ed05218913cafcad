"""The engine's coarse games beside their exact answers.

Both read the same tables, so they part by chance alone or one of them is wrong.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pointsleft_models.playthrough.chain import HALF, LEAD, SECONDS, NextScoreChain
from pointsleft_models.playthrough.chain_wins import HALF as WIN_HALF
from pointsleft_models.playthrough.chain_wins import MOST, WinChain
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import Start
from pointsleft_models.values.half_time import SCORES as CLASS_POINTS

Array = np.ndarray

#: Reading of the clock, and snaps, of the coarse games that are won or lost: seven minutes to go.
WIN_SECONDS, WIN_SNAPS = 420, 16

#: Down, distance, yards to goal.
FROM = (
    (1, 10, 75), (1, 10, 50), (2, 7, 30), (3, 8, 64), (3, 1, 2), (4, 1, 50), (4, 10, 80), (1, 4, 4),
    (1, 10, 99), (4, 6, 30),
)  # fmt: skip

#: Leads at which every spot is won or lost.
FROM_LEADS = (-10, -4, 0, 3, 7)

#: What is compared of the next score, in the order of its classes.
NEXT_SCORES = (
    "touchdown", "field goal", "safety", "safety against", "field goal against",
    "touchdown against",
)  # fmt: skip
POINTS = np.array(CLASS_POINTS, dtype=float)

#: Names of the other figures that are compared.
WORTH, WINS = "points of the next score", "wins"


@dataclass(frozen=True, slots=True)
class Beside:
    """One figure of one situation.

    Attributes
    ----------
    error
        Standard error of the simulated figure, from the exact chance.
    """

    what: str
    lead: int
    down: int
    distance: int
    yards_to_goal: int
    exact: float
    simulated: float
    error: float

    @property
    def off(self) -> float:
        """Simulated less exact in standard errors."""
        return (self.simulated - self.exact) / self.error


def next_scores_beside(chain: NextScoreChain, engine: Parts, games: int, seed: int) -> list[Beside]:
    """The next score from every spot.

    Parameters
    ----------
    engine
        What the engine plays by: what the chain was solved for, or something else that should show.
    games
        Simulated from each situation.
    """
    found = []
    for spot in FROM:
        start = Start(HALF, SECONDS, LEAD, *spot)
        run = play_through(engine, start, games, [seed, *spot], coarse=True)
        exact, seen = chain.at(*spot), run.next_chances()
        error = _error(exact, games)
        for k, name in enumerate(NEXT_SCORES, start=1):
            found.append(Beside(name, LEAD, *spot, exact[k], seen[k], error[k]))
        worth = float(exact @ POINTS)
        spread = float(np.sqrt((exact @ POINTS**2 - worth**2) / games))
        found.append(Beside(WORTH, LEAD, *spot, worth, float(seen @ POINTS), spread))
    return found


def wins_beside(
    chain: WinChain, engine: Parts, games: int, seed: int, leads: Sequence[int] = FROM_LEADS
) -> list[Beside]:
    """The winner from every spot at every lead, as :func:`next_scores_beside`."""
    found = []
    for lead in leads:
        for spot in FROM:
            start = Start(WIN_HALF, chain.seconds, lead, *spot)
            run = play_through(
                engine, start, games, [seed, lead + MOST, *spot], coarse=True, snaps=chain.snaps
            )
            exact = float(chain.at(lead, *spot))
            error = float(_error(np.array(exact), games))  # ties, which count half, make it less
            found.append(Beside(WINS, lead, *spot, exact, run.win_probability()[0], error))
    return found


def _error(chance: Array, games: int) -> Array:
    return np.sqrt(np.maximum(chance * (1 - chance), 1 / games) / games)
