"""A fourth-down play by what comes next.

The ball is kept (then it is first down, for on fourth down whoever is short has lost it), it is
the other side's, or somebody has scored. Everything that follows is a first down or a kickoff:
that is why thousands of fourth downs can be priced together.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.laws.lattice import OTHER, RUNNING, SPOTS, STOPPED, OutcomeLaw
from pointsleft_models.laws.setting import Setting

Array = np.ndarray

#: What a head coach can call on fourth down, in the order of every array here.
OPTIONS: tuple[str, ...] = ("go", "field goal", "punt")

#: Nearest spot from which a punt is priced: the law's data begin there.
NEAREST_PUNT = 30

#: Farthest spot from which a field goal is priced: nobody has made one from farther.
FARTHEST_KICK = 52


@dataclass(frozen=True, slots=True)
class Parts:
    """Probabilities of what follows, point fit first.

    Attributes
    ----------
    kept_running, kept
        (fits, 99) the offense's own first down at yards to goal 1..99, the clock running or not.
    lost
        (fits, 99) the other side's first down, at ITS yards to goal 1..99.
    scores
        (fits, 4) touchdown, field goal, safety against, touchdown against.
    """

    kept_running: Array
    kept: Array
    lost: Array
    scores: Array

    @property
    def converted(self) -> Array:
        """(fits,) chance to keep the ball or to score a touchdown."""
        return self.kept_running.sum(1) + self.kept.sum(1) + self.scores[:, 0]


def parts_of(law: OutcomeLaw, at: Setting) -> Parts:
    """Sort the cells of a fourth-down law; a ball short of the line is the other side's."""
    cells = law.mixture()
    running, stopped = cells[:, RUNNING:STOPPED], cells[:, STOPPED:OTHER]
    first = at.yards_to_goal - np.arange(1, SPOTS + 1) >= at.distance
    short = np.where(first, 0.0, running + stopped) + cells[:, OTHER : OTHER + SPOTS]
    return Parts(
        kept_running=np.where(first, running, 0.0),
        kept=np.where(first, stopped, 0.0),
        lost=short[:, ::-1],
        scores=cells[:, 3 * SPOTS :],
    )


def offered(yards_to_goal: Array) -> Array:
    """(n, 3) which of :data:`OPTIONS` are priced at a spot."""
    spot = np.asarray(yards_to_goal)
    return np.stack([np.ones(len(spot), bool), spot <= FARTHEST_KICK, spot >= NEAREST_PUNT], 1)


def law_of(
    worth: Worth,
    option: str,
    at: Setting,
    *,
    refits: bool,
    odds: float = 0.0,
    yards: float = 0.0,
) -> OutcomeLaw:
    """The law of a pooled fourth-down call.

    Parameters
    ----------
    odds
        Moves the log odds of the field goal (see :mod:`pointsleft.calls.kicker`).
    yards
        By which the other side starts farther up after a punt (:mod:`pointsleft.calls.weather`).
    """
    if option == "go":
        return worth.going.law(at, refits=refits)
    if option == "punt":
        return worth.kicking.punt(at, farther=yards, refits=refits)
    return worth.kicking.field_goal(at, odds=odds, refits=refits)
