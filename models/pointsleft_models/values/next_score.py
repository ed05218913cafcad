"""Chances of the seven next scores of the half.

A tree of yes-or-no questions leads to the classes; each is one fitted logit:

    td       is the next score a touchdown of ours?
    other    if not: is it another score of ours (a field goal, a safety)?
    theirs   if not ours: do they score?
    td_opp   if theirs: a touchdown?
    fg       if ours and no touchdown: a field goal (and not a safety)?
    fg_opp   the same for theirs

In this order whatever makes every answer better for us makes expected points higher.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pointsleft_models.fitting.basis import Basis
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import expit
from pointsleft_models.values.states import SCORE, States
from pointsleft_models.values.tables import LogitTables

Array = np.ndarray

QUESTIONS = ("td", "other", "theirs", "td_opp", "fg", "fg_opp")

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
    """Seven class probabilities (..., 7) from the chance of yes to every question (...).

    A class lies together in memory, since what uses them adds up classes.
    """
    td = answers["td"]
    other = (1 - td) * answers["other"]
    neither = (1 - td) * (1 - answers["other"])
    theirs = neither * answers["theirs"]
    td_opp = theirs * answers["td_opp"]
    fg, fg_opp = other * answers["fg"], (theirs - td_opp) * answers["fg_opp"]
    classes = [neither - theirs, td, fg, other - fg, theirs - td_opp - fg_opp, fg_opp, td_opp]
    return np.moveaxis(np.stack(classes), 0, -1)


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
        return len(self.questions["td"].refits)

    def only(self, fit: int) -> NextScore:
        """One refit as if it were the point fit, without refits."""
        return NextScore({q: logit.only(fit) for q, logit in self.questions.items()})

    @cached_property
    def _tables(self) -> LogitTables:
        return LogitTables([self.questions[q] for q in QUESTIONS])

    def probabilities(self, at: States) -> Array:
        """(n, 7) chances of the classes, by look-up."""
        return _classes(*self._tables.eta(at.columns()))

    def both(self, at: States) -> tuple[Array, Array]:
        """(n, 7) chances at the score as it is, and with the score level."""
        own, level = self._tables.eta(at.columns(), at.even().columns())
        return _classes(own), _classes(level)

    @cached_property
    def _groups(self) -> list[_Group]:
        return _grouped([self.questions[q] for q in QUESTIONS])

    def _eta_all(self, columns: Mapping[str, Array], *, score: bool) -> Array:
        """(1 + refits, n, 6) log odds under every fit: the part with or without the score."""
        n = len(columns["down"])
        out = np.zeros((len(QUESTIONS), 1 + self.refits, n), dtype=np.float32)
        for group in self._groups:
            basis, coefficients = group.score if score else group.rest
            eta = np.asarray(basis.design(columns) @ coefficients)
            shape = n, 1 + self.refits, len(group.members)
            out[group.members] = eta.reshape(shape).transpose(2, 1, 0)
        return np.moveaxis(out, 0, -1)

    def probabilities_all(self, at: States) -> Array:
        """(1 + refits, n, 7): the point fit first, then every refit."""
        columns = at.columns()
        return _classes(self._eta_all(columns, score=False) + self._eta_all(columns, score=True))

    def both_all(self, at: States) -> tuple[Array, Array]:
        """(1 + refits, n, 7) chances at the score as it is, and with the score level."""
        columns = at.columns()
        rest = self._eta_all(columns, score=False)
        own = self._eta_all(columns, score=True)
        level = self._eta_all(at.even().columns(), score=True)
        return _classes(rest + own), _classes(rest + level)


@dataclass(frozen=True, slots=True)
class _Group:
    """Questions over the same axes: one design serves them all.

    ``score`` and ``rest`` are the terms with and without the score, each a basis and its
    coefficients (p, (1 + refits) * members) in single precision.
    """

    members: list[int]
    score: tuple[Basis, Array]
    rest: tuple[Basis, Array]


def _grouped(logits: list[FittedLogit]) -> list[_Group]:
    shapes: dict[tuple[object, ...], list[int]] = {}
    for i, logit in enumerate(logits):
        shapes.setdefault(tuple(term.axes for term in logit.basis.terms), []).append(i)
    groups = []
    for members in shapes.values():
        basis = logits[members[0]].basis
        stacked = np.stack([logits[i].stacked() for i in members], axis=-1)  # fits, p, members
        flat = stacked.transpose(1, 0, 2).reshape(stacked.shape[1], -1).astype(np.float32)
        parts = basis.split(flat)
        sides = []
        for wanted in (True, False):
            own = [
                i for i, t in enumerate(basis.terms)
                if any(a.variable in SCORE for a in t.axes) == wanted
            ]  # fmt: skip
            terms = tuple(basis.terms[i] for i in own)
            sides.append((Basis(terms), np.concatenate([parts[i] for i in own])))
        groups.append(_Group(members, sides[0], sides[1]))
    return groups


def _classes(eta: Array) -> Array:
    answers = expit(eta)
    return class_probabilities({q: answers[..., i] for i, q in enumerate(QUESTIONS)})
