"""Win probability of a situation in regulation.

A fitted logit in the effective lead and the clock, with exact ends: a game that is over, a
clock that can be knelt out, and the last play.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import expit, logit
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.states import States

Array = np.ndarray

#: Standard deviation of the final margin and the share of a game's variance that is left when
#: the clock is at zero: they scale the effective lead and are settings, not fits.
MARGIN_SD = 13.5
FLOOR = 0.004

GAME_SECONDS = 3600


def spread_of_rest(game_seconds: Array) -> Array:
    """Points (n,) that the rest of a game can still move (one standard deviation)."""
    return MARGIN_SD * np.sqrt(game_seconds / GAME_SECONDS + FLOOR)


#: Points after the next score, by class of next score (none first): the outcomes of a
#: touchdown are weighted as tries go.
def one_score(at: States, chances: Array) -> Array:
    """Chance to win (n,) if the next score of the half were the last of the game.

    Parameters
    ----------
    chances
        (n, 7) class chances at the score as it is.
    """
    kick, two = 0.94, 0.48

    def end(lead: Array) -> Array:
        return 0.5 * (np.sign(lead) + 1)

    def touchdown(lead: Array) -> Array:
        plain = kick * end(lead + 7) + (1 - kick) * end(lead + 6)
        pair = two * end(lead + 8) + (1 - two) * end(lead + 6)
        return np.maximum(plain, pair)

    lead = at.lead
    values = [
        end(lead),
        touchdown(lead),
        end(lead + 3),
        end(lead + 2),
        end(lead - 2),
        end(lead - 3),
        1 - touchdown(-lead),
    ]
    return (chances * np.stack(values, axis=-1)).sum(-1)


def win_columns(
    at: States, points: Array, second_half: Array, chances: Array
) -> dict[str, Array]:
    """The variables of the win basis.

    Parameters
    ----------
    points
        (n,) expected points of the possession.
    second_half
        (n,) or a number: net points of receiving the second-half kickoff.
    """
    seconds = at.game_seconds
    ahead = at.lead + points + at.receives * second_half
    return {
        "effective": np.clip(ahead / spread_of_rest(seconds), -9, 9),
        "game_seconds": seconds,
        "lead": np.clip(at.lead, -25, 25),
        "one_score": np.clip(logit(np.clip(one_score(at, chances), 1e-4, 1 - 1e-4)), -7, 7),
        "own_timeouts": at.own_timeouts,
        "opponent_timeouts": at.opponent_timeouts,
        "home": at.home,
    }
