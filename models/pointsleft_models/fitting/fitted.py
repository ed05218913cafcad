"""A fitted logit as a frozen value: a basis, its coefficients, and those of its refits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from pointsleft_models.fitting.basis import Basis
from pointsleft_models.fitting.counts import Counts
from pointsleft_models.fitting.logit import LogitSolver, expit
from pointsleft_models.fitting.resample import GameResamples

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class FittedLogit:
    """One logit: point fit and refits.

    Attributes
    ----------
    basis
        What the linear predictor is made of.
    coefficients
        (p,).
    refits
        (resamples, p); zero rows where the fit has none.
    """

    basis: Basis
    coefficients: Array
    refits: Array

    def eta(self, columns: Mapping[str, Array]) -> Array:
        """Log odds (n,) of the point fit."""
        return self.basis.design(columns, float) @ self.coefficients

    def probability(self, columns: Mapping[str, Array]) -> Array:
        """Probability (n,) of the point fit."""
        return expit(self.eta(columns))

    def eta_all(self, columns: Mapping[str, Array]) -> Array:
        """Log odds (1 + resamples, n): the point fit first, then every refit."""
        stacked = np.vstack([self.coefficients, self.refits])
        return (self.basis.design(columns, float) @ stacked.T).T

    def stacked(self) -> Array:
        """Coefficients (1 + resamples, p), the point fit first."""
        return np.vstack([self.coefficients, self.refits])

    def only(self, fit: int) -> FittedLogit:
        """Fit 0 (the point fit) or refit r alone, without refits."""
        return FittedLogit(self.basis, self.stacked()[fit], self.refits[:0])

    def arrays(self, prefix: str) -> dict[str, Array]:
        """For the store: refits as single-precision differences from the point fit."""
        return {
            f"{prefix}.coefficients": self.coefficients.astype(np.float64),
            f"{prefix}.refits": (self.refits - self.coefficients).astype(np.float32),
        }

    @classmethod
    def from_arrays(
        cls, settings: list[dict[str, Any]], arrays: Mapping[str, Array], prefix: str
    ) -> FittedLogit:
        """What :meth:`arrays` wrote, with the basis from the card."""
        b = arrays[f"{prefix}.coefficients"]
        return cls(Basis.from_settings(settings), b, b + arrays[f"{prefix}.refits"].astype(float))


def fit_logit(
    counts: Counts,
    basis: Basis,
    rng: np.random.Generator,
    resamples: GameResamples | None = None,
    offset: Array | None = None,
    offset_refits: Array | None = None,
) -> FittedLogit:
    """Fit a logit on grouped counts, and again on every resample of games.

    Parameters
    ----------
    offset
        (n,) fixed part of the linear predictor, in the order of ``counts``.
    offset_refits
        (resamples, n) the same for every refit (another fit's refits).
    """
    solver = LogitSolver(basis.design(counts.columns), basis.penalty(), basis.orders(), rng, offset)
    point = basis.ordered(solver.fit(counts.trials, counts.yes).coefficients)
    rows = []
    for at in range(0 if resamples is None else len(resamples)):
        assert resamples is not None
        if offset_refits is not None:
            solver.offset = offset_refits[at]
        trials, yes = counts.resampled(resamples, at)
        again = solver.fit(trials, yes, point, tolerance=1e-6, fresh=0)
        rows.append(basis.ordered(again.coefficients))
    refits = np.array(rows) if rows else np.zeros((0, basis.size))
    return FittedLogit(basis, point, refits)
