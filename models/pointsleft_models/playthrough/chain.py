"""The next score as an absorbing chain, solved exactly."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import splu

from pointsleft_models.playthrough.chain_steps import (
    AGAINST,
    FIELD_GOAL,
    SAFETY,
    STATES,
    TOUCHDOWN,
    snap_steps,
    state_index,
)
from pointsleft_models.playthrough.parts import Parts

Array = np.ndarray

#: Half, seconds left in it, and lead at which the chain stands still.
HALF, SECONDS, LEAD = 1, 900, 0


@dataclass(frozen=True, slots=True)
class NextScoreChain:
    """Exact chances of the next score of every state.

    Attributes
    ----------
    chances
        (STATES, 7) by the classes of the next-score model.
    leaks
        Largest difference from 1 of the chances out of a state: rounding only.
    """

    chances: Array
    leaks: float

    def at(self, down: object, distance: object, yards_to_goal: object) -> Array:
        """(..., 7) chances at snaps."""
        return self.chances[
            state_index(np.asarray(down), np.asarray(distance), np.asarray(yards_to_goal))
        ]

    def points(self, values: Array) -> Array:
        """(STATES,) expected points, the classes worth ``values`` (7,)."""
        return self.chances @ values


def next_score_chain(parts: Parts) -> NextScoreChain:
    """Solve the chain of one rule set's parts, the score level and no end of a half near."""
    steps = snap_steps(parts, HALF, SECONDS, LEAD)
    scored = steps.scored
    own = np.zeros((STATES, 3))  # touchdown, field goal, safety for the offense
    other = np.zeros((STATES, 3))  # the same for the defense
    own[:, 0], own[:, 1] = scored[:, TOUCHDOWN], scored[:, FIELD_GOAL]
    other[:, 0], other[:, 2] = scored[:, AGAINST], scored[:, SAFETY]
    keep, turn = steps.keep.tocsc(), steps.turn.tocsc()
    eye = sp.identity(STATES, format="csc")
    # for + against and for - against obey one equation each: a turn of the view swaps the two
    both = splu(eye - keep - turn).solve(own + other)
    gap = splu(eye - keep + turn).solve(own - other)
    ours, theirs = (both + gap) / 2, (both - gap) / 2
    none = np.zeros(STATES)
    chances = np.column_stack(
        [none, ours[:, 0], ours[:, 1], ours[:, 2], theirs[:, 2], theirs[:, 1], theirs[:, 0]]
    )
    return NextScoreChain(chances, steps.leaks)
