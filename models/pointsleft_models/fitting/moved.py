"""A fit that leans on another one: the same basis, and only the departure is penalised.

A table that is too short for a basis of its own, or says nothing of some of its variables, can
still say how its level of play differs from one that was fitted well. The penalty then pulls to
the other fit instead of to nothing, so whatever the table does not speak of stays as it was.
Refit r leans on refit r of the other fit, whose doubt is carried along.
"""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
import scipy.sparse as sp

from pointsleft_models.fitting.basis import Basis
from pointsleft_models.fitting.counts import Counts
from pointsleft_models.fitting.curvature import Curvature
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import LogitSolver
from pointsleft_models.fitting.resample import GameResamples

Array = np.ndarray


class Leaning:
    """A design split into terms that move and terms that stay as another fit has them.

    Parameters
    ----------
    prior
        The fit to lean on.
    columns
        Variables of the rows.
    unsaid
        Variables that the rows say nothing of: terms over them stay.
    """

    def __init__(
        self, prior: FittedLogit, columns: dict[str, Array], unsaid: Collection[str] = ()
    ) -> None:
        basis = prior.basis
        moves = [not set(unsaid) & {a.variable for a in term.axes} for term in basis.terms]
        if not any(moves):
            raise ValueError("every term is over a variable that the rows say nothing of")
        self.basis = Basis(tuple(t for t, m in zip(basis.terms, moves, strict=True) if m))
        self._whole, self._prior = basis, prior
        self._places = np.repeat(moves, [term.size for term in basis.terms])
        self.design: sp.csr_matrix = self.basis.design(columns)
        still = Basis(tuple(t for t, m in zip(basis.terms, moves, strict=True) if not m))
        self._still = still.design(columns, float) if still.terms else None

    def start(self, fit: int) -> Array:
        """Coefficients of the moving terms in fit 0 (the point fit) or refit r of the prior."""
        return self._coefficients(fit)[self._places]

    def offset(self, fit: int) -> Array | None:
        """(n,) what the staying terms add."""
        if self._still is None:
            return None
        return np.asarray(self._still @ self._coefficients(fit)[~self._places])

    def whole(self, moved: Array, fit: int) -> Array:
        """Coefficients of the whole basis."""
        out = self._coefficients(fit).copy()
        out[self._places] = self.basis.ordered(moved)
        return out

    def solver(self, fit: int, rng: np.random.Generator) -> LogitSolver:
        """The problem of one fit."""
        return LogitSolver(
            self.design, self.basis.penalty(), self.basis.orders(), rng, self.offset(fit),
            self.start(fit),
        )  # fmt: skip

    def aim(self, solver: LogitSolver, fit: int) -> None:
        """Turn a solver to another fit of the prior."""
        solver.offset, solver.prior = self.offset(fit), self.start(fit)

    def _coefficients(self, fit: int) -> Array:
        refits = len(self._prior.refits)
        if fit == 0 or refits == 0:
            return self._prior.coefficients
        return self._prior.refits[(fit - 1) % refits]


def fit_moved(
    counts: Counts,
    prior: FittedLogit,
    rng: np.random.Generator,
    resamples: GameResamples | None = None,
    unsaid: Collection[str] = (),
) -> FittedLogit:
    """Fit a logit on grouped counts leaning on another fit, and again on every resample."""
    lean = Leaning(prior, dict(counts.columns), unsaid)
    solver = lean.solver(0, rng)
    found = solver.fit(counts.trials, counts.yes, lean.start(0)).coefficients
    point = lean.whole(found, 0)
    curvature: Curvature | None = solver.curvature
    rows = []
    for at in range(0 if resamples is None else len(resamples)):
        assert resamples is not None
        lean.aim(solver, at + 1)
        solver.curvature = curvature
        trials, yes = counts.resampled(resamples, at)
        again = solver.fit(trials, yes, lean.start(at + 1), tolerance=1e-6, fresh=0)
        rows.append(lean.whole(again.coefficients, at + 1))
    refits = np.array(rows) if rows else np.zeros((0, prior.basis.size))
    return FittedLogit(prior.basis, point, refits)


def as_it_is(prior: FittedLogit, refits: int) -> FittedLogit:
    """Another level's fit with so many refits (they come again where it has fewer)."""
    if len(prior.refits) == 0:
        again = np.repeat(prior.coefficients[None], refits, axis=0)
    else:
        again = prior.refits[np.arange(refits) % len(prior.refits)]
    return FittedLogit(prior.basis, prior.coefficients, again)
