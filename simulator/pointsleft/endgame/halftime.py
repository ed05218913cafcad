"""What the margin at the end of a half is worth, so that nothing beyond it need be drawn.

After the game the winner is known; a level game goes to overtime, which is even between equal
sides. At half-time the regression says what a lead is worth before the kickoff.
"""

from __future__ import annotations

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.values.kickoffs import Kickoff

Array = np.ndarray

#: Leads at half-time at which the regression is asked; between them it is a straight line.
STEP, FARTHEST = 3, 60


def end_of_game(margins: Array) -> Array:
    """Wins by the margin: 1, 0, and a half for a level game.

    >>> end_of_game(np.array([3, 0, -7])).tolist()
    [1.0, 0.5, 0.0]
    """
    return 0.5 * (1 + np.sign(margins))


def half_time(worth: Worth, receives: bool | None, spread: float | None) -> tuple[Array, Array]:
    """Leads, and the chance to win before the second half with each.

    Parameters
    ----------
    receives
        Whether we receive the second-half kickoff; ``None``: either, as often.
    spread
        Points by which we were favoured before the game; ``None`` unknown.
    """
    leads = np.arange(-FARTHEST, FARTHEST + 1, STEP)
    sides = (True, False) if receives is None else (receives,)
    seconds = 2 * worth.rules.quarter_seconds
    wins = [
        np.mean([_before_kickoff(worth, int(lead), seconds, side, spread) for side in sides])
        for lead in leads
    ]
    return leads, np.array(wins)


def _before_kickoff(
    worth: Worth, lead: int, seconds: int, receives: bool, spread: float | None
) -> float:
    kickoff = Kickoff(lead, seconds, 2, receives, 3, 3, 0, spread)
    return float(worth.valuation.kickoff_wins(kickoff)[0])


def worth_of_margins(margins: Array, leads: Array, wins: Array) -> Array:
    """Chance to win by the margin at half-time, from the table of :func:`half_time`."""
    return np.interp(margins, leads, wins)
