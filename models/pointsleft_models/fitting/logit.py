"""Penalised binary logit with ordered coefficients, and its refits on resampled games.

Newton's method; the curvature of a large table is taken from a random part of its rows, which
changes the path and not the end point: gradients are exact. Orders between coefficients are
held exactly: each step solves the quadratic model under them (a nonnegative least squares
problem in the multipliers), so every point along the way is in order.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy.linalg
import scipy.optimize
import scipy.sparse as sp
import scipy.special

Array = np.ndarray

#: Rows from which curvature is taken.
CURVATURE_ROWS = 60_000

#: A step that gains less than the first share of what it promised, or more than the second,
#: asks for new curvature: there was more of it than thought, or hardly any (gains are at most
#: twice the promise).
POOR_STEP, RICH_STEP = 0.2, 1.7

#: Products up to which the curvature of many rows is taken from all of them.
EXACT_PRODUCTS = 1e8

#: With fewer rows in play than this share, the others are left out of the work.
FEW_ROWS = 0.7

#: An order is broken when it is short by this share of the widest slack.
SLACK = 1e-11

#: Ridge on the multipliers' problem, relative: dependent orders make it singular.
MULTIPLIER_RIDGE = 1e-9


class FitError(RuntimeError):
    """A fit that did not come to rest; the message lists what to look at."""


@dataclass(frozen=True, slots=True)
class LogitFit:
    """Coefficients (p,), mean log loss a trial, and steps taken."""

    coefficients: Array
    loss: float
    steps: int


class Curvature:
    """A quadratic model of a penalised loss, ready to be stepped on under orders.

    Parameters
    ----------
    hessian
        (p, p), positive definite up to rounding.
    orders
        (q, p): rows d with d @ coefficients >= 0.
    """

    def __init__(self, hessian: Array, orders: Array) -> None:
        self._factor = _factored(hessian)
        self._orders = orders
        if len(orders):
            self._moves = scipy.linalg.cho_solve(self._factor, orders.T, check_finite=False)
            self._inner = orders @ self._moves
            ridge = MULTIPLIER_RIDGE * self._inner.diagonal().max()
            self._inner[np.diag_indices_from(self._inner)] += ridge

    def step(self, at: Array, gradient: Array) -> Array:
        """The step (p,) to the minimum of the model among points in order.

        Few orders bind, so the multipliers are found for those that are broken, and for those
        that break in turn, until none is.
        """
        free = -np.asarray(scipy.linalg.cho_solve(self._factor, gradient, check_finite=False))
        if not len(self._orders):
            return free
        slack = self._orders @ (at + free)
        allowed = SLACK * max(float(np.abs(slack).max()), 1.0)
        held = np.flatnonzero(slack < 0)
        step = free
        while len(held):
            root = scipy.linalg.cholesky(
                self._inner[np.ix_(held, held)], lower=True, check_finite=False
            )
            target = -scipy.linalg.solve_triangular(
                root, slack[held], lower=True, check_finite=False
            )
            multipliers, _ = scipy.optimize.nnls(root.T, target, maxiter=20 * len(held))
            step = free + self._moves[:, held] @ multipliers
            now = slack + self._inner[:, held] @ multipliers
            now[held] = 0.0
            broken = np.flatnonzero(now < -allowed)
            if not len(broken):
                return step
            held = np.union1d(held, broken)
        return step


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
        self._transposed = design.T.tocsr()
        self._sample: tuple[Array, Array, Array] | None = None
        #: The curvature last taken; can be handed to a solver of a nearby problem.
        self.curvature: Curvature | None = None

    def _loss(self, b: Array, trials: Array, yes: Array) -> tuple[float, Array]:
        eta = self.design @ b
        if self.offset is not None:
            eta = eta + self.offset
        return float((trials * np.logaddexp(0, eta) - yes * eta).sum()), expit(eta)

    def _objective(self, b: Array, trials: Array, yes: Array) -> tuple[float, Array, Array]:
        """Value, gradient (p,) and probability (n,)."""
        value, probability = self._loss(b, trials, yes)
        away = b if self.prior is None else b - self.prior
        stiff = self.penalty @ away
        gradient = self._transposed @ (trials * probability - yes) + stiff
        return value + 0.5 * float(away @ stiff), gradient, probability

    def _curvature_rows(self, trials: Array) -> tuple[Array, Array, Array]:
        """Rows from which curvature is taken, their design, and their chance to be among them.

        Of many rows, half are drawn by their trials and half alike, so that a rare situation
        has a say in its own direction.
        """
        n = self.design.shape[0]
        if self._sample is None:
            rows, chance = np.arange(n), np.ones(n)
            if n > CURVATURE_ROWS:
                share = 0.5 * trials / trials.sum() + 0.5 / n
                rows = np.sort(self._rng.choice(n, CURVATURE_ROWS, p=share / share.sum()))
                chance = CURVATURE_ROWS * share[rows]
            self._sample = rows, self.design[rows].toarray(), chance
        return self._sample

    def _curve(self, probability: Array, trials: Array) -> None:
        many = self.design.shape[0]
        if many > CURVATURE_ROWS and many * (self.design.nnz / many) ** 2 <= EXACT_PRODUCTS:
            w = np.maximum(probability * (1 - probability), 1e-6) * trials
            product = self._transposed @ self.design.multiply(w[:, None]).tocsr()
            self.curvature = Curvature(product.toarray().astype(float) + self.penalty, self.orders)
            return
        rows, part, chance = self._curvature_rows(trials)
        q = probability[rows]
        w = np.maximum(q * (1 - q), 1e-6) * trials[rows] / chance
        exact = part.size < 5_000_000
        scaled = part * np.sqrt(w).astype(float if exact else part.dtype)[:, None]
        hessian = (scaled.T @ scaled).astype(float) + self.penalty
        self.curvature = Curvature(hessian, self.orders)

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
        gain, promised = 0.0, 0.0
        for step in range(steps):
            # a step far from its promise says that the curvature is another one here
            share = gain / promised if promised > 0 else 1.0
            if step < fresh or self.curvature is None or not POOR_STEP <= share <= RICH_STEP:
                self._curve(probability, trials)
            assert self.curvature is not None
            direction = self.curvature.step(b, gradient)
            slope = float(gradient @ direction)
            length = 1.0
            while True:
                new = self._objective(b + length * direction, trials, yes)
                if new[0] <= value + 1e-4 * length * slope or length < 1e-4:
                    break
                length /= 2
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

    def curve_at(self, b: Array, trials: Array, yes: Array) -> Curvature:
        """Take the curvature at some coefficients, and keep it."""
        self._curve(self._loss(b, trials, yes)[1], trials)
        assert self.curvature is not None
        return self.curvature

    def one_step(self, trials: Array, yes: Array, start: Array) -> Array:
        """Coefficients (p,) one full step from a nearby start, with the curvature at hand."""
        if self.curvature is None:
            raise FitError("one step needs the curvature of a nearby fit; set solver.curvature")
        _, gradient, _ = self._objective(start, trials, yes)
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
