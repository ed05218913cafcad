"""Penalised binary logit with ordered coefficients, and its refits on resampled games.

Newton's method; the curvature of a large table is taken from a random part of its rows, which
changes the path and not the end point: gradients are exact. Order constraints are held by a
steep penalty on what breaks them (found again at every step); what is left of a break is of
rounding size and mended by :meth:`~pointsleft_models.fitting.basis.Basis.ordered`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy.linalg
import scipy.sparse as sp
import scipy.special

Array = np.ndarray

#: A Cholesky factor as SciPy gives it.
Curvature = tuple[Array, bool]

#: Rows from which curvature is taken.
CURVATURE_ROWS = 60_000

#: Weight of a broken order against the mean curvature of the data.
ORDER_WEIGHT = 1e3


class FitError(RuntimeError):
    """A fit that did not come to rest; the message lists what to look at."""


@dataclass(frozen=True, slots=True)
class LogitFit:
    """Coefficients (p,), mean log loss a trial, and steps taken."""

    coefficients: Array
    loss: float
    steps: int


class LogitSolver:
    """Solves one design for one or many sets of counts.

    Parameters
    ----------
    design
        (n, p) sparse.
    penalty
        (p, p).
    orders
        (q, p): rows d with d @ coefficients >= 0.
    rng
        Chooses the rows from which curvature is taken.
    offset
        (n,) added to the linear predictor.
    """

    def __init__(
        self,
        design: sp.csr_matrix,
        penalty: Array,
        orders: Array,
        rng: np.random.Generator,
        offset: Array | None = None,
    ) -> None:
        self.design = design
        self.penalty = penalty
        self.orders = orders
        self.offset = offset
        self._rng = rng
        self._transposed = design.T.tocsr()
        self._sample: tuple[Array, Array] | None = None
        #: Factor of the curvature last taken; can be handed to a solver of a nearby problem.
        self.curvature: Curvature | None = None

    def _loss(self, b: Array, trials: Array, yes: Array) -> tuple[float, Array]:
        eta = self.design @ b
        if self.offset is not None:
            eta = eta + self.offset
        return float((trials * np.logaddexp(0, eta) - yes * eta).sum()), expit(eta)

    def _objective(self, b: Array, trials: Array, yes: Array) -> tuple[float, Array, Array, Array]:
        value, probability = self._loss(b, trials, yes)
        stiff = self.penalty @ b
        value += 0.5 * float(b @ stiff)
        gradient = self._transposed @ (trials * probability - yes) + stiff
        broken = self.orders[self.orders @ b < 0] if len(self.orders) else self.orders
        if len(broken):
            gap = broken @ b
            heavy = self._order_weight(trials)
            value += 0.5 * heavy * float(gap @ gap)
            gradient = gradient + heavy * (broken.T @ gap)
        return value, gradient, probability, broken

    def _order_weight(self, trials: Array) -> float:
        return ORDER_WEIGHT * float(trials.sum()) / self.design.shape[1]

    def _curvature_rows(self, trials: Array) -> tuple[Array, Array]:
        """Rows from which curvature is taken, and their design; by trials when there are many."""
        n = self.design.shape[0]
        if self._sample is None:
            rows = np.arange(n)
            if n > CURVATURE_ROWS:
                share = trials / trials.sum()
                rows = np.sort(self._rng.choice(n, CURVATURE_ROWS, p=share))
            self._sample = rows, self.design[rows].toarray()
        return self._sample

    def _curve(self, probability: Array, trials: Array, broken: Array) -> None:
        rows, part = self._curvature_rows(trials)
        q = probability[rows]
        if len(rows) < self.design.shape[0]:
            w = np.maximum(q * (1 - q), 1e-6) * float(trials.sum()) / len(rows)
        else:
            w = np.maximum(q * (1 - q), 1e-6) * trials
        exact = part.size < 5_000_000
        scaled = part * np.sqrt(w).astype(float if exact else part.dtype)[:, None]
        hessian = (scaled.T @ scaled).astype(float) + self.penalty
        if len(broken):
            hessian += self._order_weight(trials) * broken.T @ broken
        # single-precision products can leave tiny negative directions; lifting them bends the
        # path only
        lift = 0.0 if exact else 1e-9 * float(hessian.diagonal().max())
        while True:
            lifted = hessian + lift * np.eye(len(hessian))
            try:
                self.curvature = scipy.linalg.cho_factor(lifted, check_finite=False)
                return
            except np.linalg.LinAlgError:
                lift = max(10 * lift, 1e-9 * float(hessian.diagonal().max()))

    def fit(
        self,
        trials: Array,
        yes: Array,
        start: Array | None = None,
        *,
        tolerance: float = 1e-7,
        steps: int = 40,
        fresh: int = 8,
    ) -> LogitFit:
        """Minimise the penalised log loss.

        Parameters
        ----------
        trials, yes
            (n,) trials and successes of each row; fractions and weights are fine.
        start
            Coefficients to start from.
        tolerance
            Stop when a step gains less than this a trial.
        fresh
            Steps that take new curvature; 0 reuses what an earlier fit left (for refits from
            a nearby start).

        Raises
        ------
        FitError
            No rest after ``steps`` steps.
        """
        b = np.zeros(self.design.shape[1]) if start is None else np.array(start, dtype=float)
        total = max(float(trials.sum()), 1.0)
        value, gradient, probability, broken = self._objective(b, trials, yes)
        gain = np.inf
        for step in range(steps):
            if step < fresh or self.curvature is None:
                self._curve(probability, trials, broken)
            assert self.curvature is not None
            direction = -scipy.linalg.cho_solve(self.curvature, gradient, check_finite=False)
            slope = float(gradient @ direction)
            length = 1.0
            while True:
                new = self._objective(b + length * direction, trials, yes)
                if new[0] <= value + 1e-4 * length * slope or length < 1e-4:
                    break
                length /= 2
            if new[0] > value:  # rounding: nothing left to gain along this direction
                return self._finish(b, trials, yes, step)
            b, gain = b + length * direction, value - new[0]
            value, gradient, probability, broken = new
            if gain / total < tolerance:
                return self._finish(b, trials, yes, step + 1)
        raise FitError(
            f"no rest after {steps} steps ({self.design.shape[0]} rows, "
            f"{self.design.shape[1]} coefficients, last gain a trial {gain / total:.1e}). Look "
            "at: a column that separates the outcomes, a term without rows, too little "
            "stiffness, weights that are all zero"
        )

    def _finish(self, b: Array, trials: Array, yes: Array, steps: int) -> LogitFit:
        loss, _ = self._loss(b, trials, yes)
        return LogitFit(b, loss / max(float(trials.sum()), 1.0), steps)


def expit(x: Array) -> Array:
    """Logistic function, safe for large arguments; keeps the precision it is given."""
    return np.asarray(scipy.special.expit(x))


def logit(p: Array) -> Array:
    """Log odds."""
    return np.log(p) - np.log1p(-p)
