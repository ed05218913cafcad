"""The quadratic model of a penalised loss, and its lowest point among coefficients in order.

A step to that point solves a nonnegative least squares problem in the multipliers of the orders.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import scipy.linalg
import scipy.sparse as sp

from pointsleft_models.fitting.pivoting import multipliers

Array = np.ndarray

#: Ridge on the multipliers' problem, relative: dependent orders make it singular.
MULTIPLIER_RIDGE = 1e-9


class Curvature:
    """A quadratic model of a penalised loss, ready to be stepped on under orders.

    Parameters
    ----------
    hessian
        (p, p), positive definite up to rounding.
    orders
        (q, p): rows d with d @ coefficients >= 0.
    bound
        Numbers of orders that may bind, found faster than without.
    """

    def __init__(self, hessian: Array, orders: Array, bound: Sequence[int] | Array = ()) -> None:
        self._factor = _factored(hessian)
        self._orders = sp.csr_matrix(orders)
        #: Orders that bound the last step: likely to bind the next one too.
        self.bound = np.asarray(bound, dtype=np.int64)
        if len(orders):
            self._moves = scipy.linalg.cho_solve(self._factor, orders.T, check_finite=False)
            self._inner = self._orders @ self._moves
            ridge = MULTIPLIER_RIDGE * self._inner.diagonal().max()
            self._inner[np.diag_indices_from(self._inner)] += ridge

    def step(self, at: Array, gradient: Array) -> Array:
        """The step (p,) to the minimum of the model among points in order."""
        free = -np.asarray(scipy.linalg.cho_solve(self._factor, gradient, check_finite=False))
        if not self._orders.shape[0]:
            return free
        slack = self._orders @ (at + free)
        found = multipliers(self._inner, -slack, self.bound)
        self.bound = np.flatnonzero(found)
        return free + self._moves[:, self.bound] @ found[self.bound]


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
