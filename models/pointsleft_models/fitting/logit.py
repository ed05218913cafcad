"""Penalised binary logit with ordered coefficients, and its refits on resampled games.

Newton's method; the curvature of a large table is taken from a random part of its rows, which
changes the path and not the end point: gradients are exact. Orders between coefficients are
held exactly (``curvature.py``), so every point along the way is in order.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import scipy.sparse as sp
import scipy.special

from pointsleft_models.fitting.curvature import Curvature

Array = np.ndarray

#: Rows from which curvature is taken.
CURVATURE_ROWS = 60_000

#: A step that gains less than the first share of what it promised, or more than the second,
#: asks for new curvature: there was more of it than thought, or hardly any (gains are at most
#: twice the promise).
POOR_STEP, RICH_STEP = 0.2, 1.7

#: Steps taken with one curvature; a fit that has not come to rest by then does better with new.
STALE_STEPS = 8

#: A step that gains less than this share of its promise went too far along its direction.
FAR_STEP = 0.5

#: Products up to which the curvature of many rows is taken from all of them.
EXACT_PRODUCTS = 3e7

#: With fewer rows in play than this share, the others are left out of the work.
FEW_ROWS = 0.7


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
    prior
        (p,) coefficients from which departure is penalised; zeros when absent.
    """

    def __init__(
        self,
        design: sp.csr_matrix,
        penalty: Array,
        orders: Array,
        rng: np.random.Generator,
        offset: Array | None = None,
        prior: Array | None = None,
    ) -> None:
        self.design = design
        self.penalty = penalty
        self.orders = orders
        self.offset = offset
        self.prior = prior
        self._rng = rng
        self._sample: tuple[Array, sp.csr_matrix, Array] | None = None
        #: The curvature last taken; can be handed to a solver of a nearby problem.
        self.curvature: Curvature | None = None

    @cached_property
    def _transposed(self) -> sp.csr_matrix:
        return self.design.T.tocsr()

    def _eta(self, b: Array) -> Array:
        eta = self.design @ b
        return eta if self.offset is None else eta + self.offset

    def _loss(self, b: Array, trials: Array, yes: Array) -> tuple[float, Array]:
        eta = self._eta(b)
        return float((trials * np.logaddexp(0, eta) - yes * eta).sum()), expit(eta)

    def _objective(self, b: Array, trials: Array, yes: Array) -> tuple[float, Array, Array]:
        """Value, gradient (p,) and probability (n,)."""
        value, probability = self._loss(b, trials, yes)
        away = b if self.prior is None else b - self.prior
        stiff = self.penalty @ away
        gradient = self._transposed @ (trials * probability - yes) + stiff
        return value + 0.5 * float(away @ stiff), gradient, probability

    def _curvature_rows(self, trials: Array) -> tuple[Array, sp.csr_matrix, Array]:
        """Rows from which curvature is taken, their design, and their chance to be among them.

        Of many rows, half are drawn by their trials and half alike, so that a rare situation
        has a say in its own direction.
        """
        n = self.design.shape[0]
        if self._sample is None:
            if n <= CURVATURE_ROWS or self.design.nnz**2 / n <= EXACT_PRODUCTS:
                self._sample = np.arange(n), self.design.astype(float), np.ones(n)
            else:
                share = 0.5 * trials / trials.sum() + 0.5 / n
                rows = np.sort(self._rng.choice(n, CURVATURE_ROWS, p=share / share.sum()))
                chance = CURVATURE_ROWS * share[rows]
                self._sample = rows, self.design[rows].astype(float), chance
        return self._sample

    def _curve(self, probability: Array, trials: Array) -> None:
        rows, part, chance = self._curvature_rows(trials)
        q = probability[rows]
        w = np.maximum(q * (1 - q), 1e-6) * trials[rows] / chance
        product = (part.T @ part.multiply(w[:, None]).tocsr()).toarray()
        bound = () if self.curvature is None else self.curvature.bound
        self.curvature = Curvature(product + self.penalty, self.orders, bound)

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
            Coefficients to start from, in order (zeros are).
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
        kept = np.flatnonzero(trials > 0)
        if len(kept) < FEW_ROWS * len(trials):  # a resample of some of the games
            part = self._on(kept)
            return part.fit(
                trials[kept], yes[kept], start, tolerance=tolerance, steps=steps, fresh=fresh
            )
        b = np.zeros(self.design.shape[1]) if start is None else np.array(start, dtype=float)
        total = max(float(trials.sum()), 1.0)
        value, gradient, probability = self._objective(b, trials, yes)
        gain, promised, taken = 0.0, 0.0, 0
        for step in range(steps):
            # a step far from its promise says that the curvature is another one here
            share = gain / promised if promised > 0 else 1.0
            far = not POOR_STEP <= share <= RICH_STEP
            if self.curvature is None or step < fresh or far or taken >= STALE_STEPS:
                self._curve(probability, trials)
                taken = 0
            taken += 1
            assert self.curvature is not None
            direction = self.curvature.step(b, gradient)
            slope = float(gradient @ direction)
            length, new = self._along(b, direction, trials, yes, value, slope)
            if new[0] > value:  # rounding: nothing left to gain along this direction
                return self._finish(b, trials, yes, step)
            b, gain, promised = b + length * direction, value - new[0], -0.5 * slope
            value, gradient, probability = new
            if max(gain, promised) / total < tolerance:
                return self._finish(b, trials, yes, step + 1)
        raise FitError(
            f"no rest after {steps} steps ({self.design.shape[0]} rows, "
            f"{self.design.shape[1]} coefficients, last gain a trial {gain / total:.1e}). Look "
            "at: a column that separates the outcomes, a term without rows, too little "
            "stiffness, weights that are all zero"
        )

    def _along(
        self, b: Array, direction: Array, trials: Array, yes: Array, value: float, slope: float
    ) -> tuple[float, tuple[float, Array, Array]]:
        """Length of a step and the objective there: the full step, or where that went too far
        the bottom of the parabola through what is known.

        A sampled curvature can fall short in some direction; full steps would swing from one
        side of its bottom to the other.
        """
        length, new = 1.0, self._objective(b + direction, trials, yes)
        while value - new[0] < -0.5 * FAR_STEP * slope * length and length > 1e-4:
            bend = (new[0] - value - slope * length) / length**2
            shorter = max(-0.5 * slope / bend, 0.1 * length)
            nearer = self._objective(b + shorter * direction, trials, yes)
            if new[0] < value and nearer[0] >= new[0]:
                break
            length, new = shorter, nearer
        return length, new

    def curve_at(self, b: Array, trials: Array, yes: Array) -> Curvature:
        """Take the curvature at some coefficients, and keep it."""
        self._curve(self._loss(b, trials, yes)[1], trials)
        assert self.curvature is not None
        return self.curvature

    def one_step(self, trials: Array, yes: Array, start: Array) -> Array:
        """Coefficients (p,) one full step from a nearby start, with the curvature at hand."""
        if self.curvature is None:
            raise FitError("one step needs the curvature of a nearby fit; set solver.curvature")
        kept = np.flatnonzero(trials > 0)
        if len(kept) < FEW_ROWS * len(trials):
            return self._on(kept).one_step(trials[kept], yes[kept], start)
        away = start if self.prior is None else start - self.prior
        residual = trials * expit(self._eta(start)) - yes
        gradient = self.design.T @ residual + self.penalty @ away
        return start + self.curvature.step(start, gradient)

    def _on(self, rows: Array) -> LogitSolver:
        """The same problem on some of its rows, from the curvature found so far."""
        offset = None if self.offset is None else self.offset[rows]
        part = LogitSolver(
            self.design[rows], self.penalty, self.orders, self._rng, offset, self.prior
        )
        part.curvature = self.curvature
        return part

    def _finish(self, b: Array, trials: Array, yes: Array, steps: int) -> LogitFit:
        loss, _ = self._loss(b, trials, yes)
        return LogitFit(b, loss / max(float(trials.sum()), 1.0), steps)


#: From so many values on numpy's exponential is faster than the function that SciPy has for it.
MANY = 1000


def expit(x: Array) -> Array:
    """Logistic function, safe for large arguments; keeps the precision it is given."""
    if np.size(x) < MANY:
        return np.asarray(scipy.special.expit(x))
    # one over infinity is the nothing that is meant
    with np.errstate(over="ignore", under="ignore"):
        out = np.exp(-x)
    out += 1
    return np.reciprocal(out, out=out)


def logit(p: Array) -> Array:
    """Log odds."""
    return np.log(p) - np.log1p(-p)
