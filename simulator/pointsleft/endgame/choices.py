"""Priced late choices as data. Every rendering is made from these and nothing else.

Everything is seen from the side that chooses: ``wins`` is its chance to win, ``points`` its net
points from here to the end of the half (of the game in overtime).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pointsleft.pricing.result import Interval, Verdict

Side = Literal["offense", "defense"]


@dataclass(frozen=True, slots=True)
class Refusal:
    """An action that does not exist in the situation, and why."""

    action: str
    reason: str


@dataclass(frozen=True, slots=True)
class EndgameChoice:
    """One action.

    Attributes
    ----------
    action, label
        Its word on the command line, and what it is.
    wins, error
        Chance to win and the standard error of the draws; a tie counts half.
    points, points_error
        Net points to the end of the half.
    behind, behind_error
        Chance to win lost against the best action over the same luck (paired), never meant as a
        bound: 0 for the best, negative where a refinement of the draws would change the order.
    interval
        Of ``behind``, simultaneous over all pairs and all looks (see ``race``); ``None`` for the
        best.
    draws
        Continuations played.
    verdict
        How settled it is that the best beats this one; ``None`` for the best.
    """

    action: str
    label: str
    wins: float
    error: float
    points: float
    points_error: float
    behind: float
    behind_error: float
    interval: Interval | None
    draws: int
    verdict: Verdict | None


@dataclass(frozen=True, slots=True)
class EndgameChoices:
    """All actions of one situation, the best first.

    Attributes
    ----------
    situation, rules
        In words.
    side
        Who chooses.
    choices
        By ``wins``, the best first.
    refused
        Actions that do not exist here.
    verdict
        How settled the best is against the runner-up; ``None`` where there is one action alone.
    looks, draws, budget
        How often the draws were looked at, continuations of the two that stayed longest, and the
        most that would have been played.
    notes
        What a reader must know of these figures.
    """

    situation: str
    rules: str
    side: Side
    choices: tuple[EndgameChoice, ...]
    refused: tuple[Refusal, ...]
    verdict: Verdict | None
    looks: int
    draws: int
    budget: int
    notes: tuple[str, ...]

    @property
    def best(self) -> EndgameChoice:
        return self.choices[0]

    def choice(self, action: str) -> EndgameChoice:
        """One action by its word.

        Raises
        ------
        KeyError
            No such action among the priced ones.
        """
        found = [c for c in self.choices if c.action == action]
        if not found:
            known = ", ".join(c.action for c in self.choices)
            raise KeyError(f"{action!r} was not priced; there is {known}")
        return found[0]
