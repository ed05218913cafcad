"""Chances of the seven next scores of the half.

A tree of yes-or-no questions leads to the classes; each is one fitted logit:

    score    does anybody score again in this half?
    ours     if so, the team with the ball?
    td       if ours: a touchdown (and not three or two points)?
    td_opp   if theirs: a touchdown?
    fg       if ours and no touchdown: a field goal (and not a safety)?
    fg_opp   the same for theirs
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import expit
from pointsleft_models.values.states import States
from pointsleft_models.values.tables import LogitTables

Array = np.ndarray

QUESTIONS = ("score", "ours", "td", "td_opp", "fg", "fg_opp")

#: Next-score classes in the order of every probability array.
CLASSES = (
    "none",
    "touchdown",
    "field goal",
    "safety",
    "safety against",
    "field goal against",
    "touchdown against",
)


def class_probabilities(answers: Mapping[str, Array]) -> Array:
    """Seven class probabilities (..., 7) from the chance of yes to every question (...)."""
    ours = answers["score"] * answers["ours"]
    theirs = answers["score"] - ours
    td, td_opp = ours * answers["td"], theirs * answers["td_opp"]
    short, short_opp = ours - td, theirs - td_opp
    fg, fg_opp = short * answers["fg"], short_opp * answers["fg_opp"]
    return np.stack(
        [1 - answers["score"], td, fg, short - fg, short_opp - fg_opp, fg_opp, td_opp], axis=-1
    )


@dataclass(frozen=True)
class NextScore:
    """The six fitted questions.

    Attributes
    ----------
    questions
        Question -> fitted logit.
    """

    questions: Mapping[str, FittedLogit]

    @property
    def refits(self) -> int:
        return len(self.questions["score"].refits)

    def only(self, fit: int) -> NextScore:
        """One refit as if it were the point fit, without refits."""
        return NextScore({q: logit.only(fit) for q, logit in self.questions.items()})

    @cached_property
    def _tables(self) -> LogitTables:
        return LogitTables([self.questions[q] for q in QUESTIONS])

    def probabilities(self, at: States) -> Array:
        """(n, 7) chances of the classes, by look-up."""
        eta = self._tables.eta(at.columns())
        answers = expit(eta)
        return class_probabilities({q: answers[..., i] for i, q in enumerate(QUESTIONS)})

    def probabilities_all(self, at: States) -> Array:
        """(1 + refits, n, 7): the point fit first, then every refit."""
        columns = at.columns()
        answers = {q: expit(self.questions[q].eta_all(columns)) for q in QUESTIONS}
        return class_probabilities(answers)
