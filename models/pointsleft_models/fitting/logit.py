"""Penalised binary logit with ordered coefficients, and its refits on resampled games.

Newton's method; the curvature of a large table is taken from a random part of its rows, which
changes the path and not the end point: gradients are exact. Order constraints are held by a
steep penalty on what breaks them (found again at every step, its curvature too: a resample of
games breaks other orders than all of them do); what is left of a break is of rounding size and
mended by :meth:`~pointsleft_models.fitting.basis.Basis.ordered`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy.linalg
import scipy.sparse as sp
import scipy.special

Array = np.ndarray

#: Curvature (p, p) of data and penalty, without that of broken orders.
Curvature = Array

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
        #: The curvature last taken; can be handed to a solver of a nearby problem.
        self.curvature: Curvature | None = None
        self._factor: tuple[Array, Curvature, tuple[Array, bool]] | None = None

    def _loss(self, b: Array, trials: Array, yes: Array) -> tuple[float, Array]:
        eta = self.design @ b
        if self.offset is not None:
            eta = eta + self.offset
        return float((trials * np.logaddexp(0, eta) - yes * eta).sum()), expit(eta)

    def _objective(self, b: Array, trials: Array, yes: Array) -> tuple[float, Array, Array, Array]:
        """Value, gradient (p,), probability (n,), and which orders (q,) are broken."""
        value, probability = self._loss(b, trials, yes)
        stiff = self.penalty @ b
        value += 0.5 * float(b @ stiff)
        gradient = self._transposed @ (trials * probability - yes) + stiff
        gap = self.orders @ b
        broken = gap < 0
        if broken.any():
            heavy = self._order_weight(trials)
            value += 0.5 * heavy * float(gap[broken] @ gap[broken])
            gradient = gradient + heavy * (self.orders[broken].T @ gap[broken])
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

    def _curve(self, probability: Array, trials: Array) -> None:
        rows, part = self._curvature_rows(trials)
        q = probability[rows]
        if len(rows) < self.design.shape[0]:
            w = np.maximum(q * (1 - q), 1e-6) * float(trials.sum()) / len(rows)
        else:
            w = np.maximum(q * (1 - q), 1e-6) * trials
        exact = part.size < 5_000_000
        scaled = part * np.sqrt(w).astype(float if exact else part.dtype)[:, None]
        self.curvature = (scaled.T @ scaled).astype(float) + self.penalty

    def _direction(self, gradient: Array, trials: Array, broken: Array) -> Array:
        """Newton's step (p,) with the orders that are broken now."""
        assert self.curvature is not None
        known = self._factor
        if known is None or known[1] is not self.curvature or (known[0] != broken).any():
            hessian = self.curvature
            if broken.any():
                own = self.orders[broken]
                hessian = hessian + self._order_weight(trials) * (own.T @ own)
            self._factor = broken, self.curvature, _factored(hessian)
        assert self._factor is not None
        return -np.asarray(scipy.linalg.cho_solve(self._factor[2], gradient, check_finite=False))

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
            Stop when a step gains less than this a trial and promised no more.
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
                self._curve(probability, trials)
            direction = self._direction(gradient, trials, broken)
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
            if max(gain, -0.5 * slope) / total < tolerance:
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


def _factored(hessian: Array) -> tuple[Array, bool]:
    """Cholesky factor; single-precision products can leave tiny negative directions, and lifting
    them bends the path only."""
    lift, least = 0.0, 1e-9 * float(hessian.diagonal().max())
    while True:
        try:
            lifted = hessian + lift * np.eye(len(hessian)) if lift else hessian
            factor, lower = scipy.linalg.cho_factor(lifted, check_finite=False)
            return factor, bool(lower)
        except np.linalg.LinAlgError:
            lift = max(10 * lift, least)


def expit(x: Array) -> Array:
    """Logistic function, safe for large arguments; keeps the precision it is given."""
    return np.asarray(scipy.special.expit(x))


def logit(p: Array) -> Array:
    """Log odds."""
    return np.log(p) - np.log1p(-p)
