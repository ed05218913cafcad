"""Look-ups for a logit over whole numbers and a few continuous variables.

Whole-number axes are tabulated; along a continuous axis the two hats around a value are
blended.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from pointsleft_models.fitting.basis import Axis, Bends, Line, Term
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.tabulated import Range
from pointsleft_models.fitting.within import within

Array = np.ndarray


class MixedTables:
    """Log odds of one fitted logit.

    Parameters
    ----------
    logit
        The fit.
    whole
        Range of the whole-number variables; all others are continuous.
    """

    def __init__(self, logit: FittedLogit, whole: Mapping[str, Range]) -> None:
        self._logit = logit
        self._whole = whole
        terms = logit.basis.terms
        grids = {v: np.arange(first, first + size) for v, (first, size) in whole.items()}
        self._point = [
            (term, np.ascontiguousarray(_table(term, own[:, None], grids)[0]))
            for term, own in zip(terms, logit.basis.split(logit.coefficients), strict=True)
        ]

    def eta(self, columns: Mapping[str, Array]) -> Array:
        """Log odds (n,) of the point fit."""
        index = {}
        for v, (first, size) in self._whole.items():
            if v in columns:
                index[v] = within(columns[v].astype(np.int64) - first, 0, size - 1)
        hats: dict[Axis, tuple[Array, Array]] = {}
        total: Array | float = 0.0
        for term, table in self._point:
            total = total + _look_one(term, table, index, columns, hats)
        return np.asarray(total)

    def eta_all(self, columns: Mapping[str, Array]) -> Array:
        """Log odds (1 + refits, n); continuous columns may differ by fit, (1 + refits, n)."""
        stacked = self._logit.stacked().T.astype(np.float32)
        index, grids = {}, {}
        for v in self._whole:
            if v in columns:
                grids[v], index[v] = np.unique(columns[v], return_inverse=True)
        edges = np.cumsum([term.size for term in self._logit.basis.terms])[:-1]
        hats: dict[Axis, tuple[Array, Array]] = {}
        total: Array | float = 0.0
        for term, own in zip(self._logit.basis.terms, np.split(stacked, edges), strict=True):
            table = np.ascontiguousarray(_table(term, own, grids), dtype=np.float32)
            total = total + _look(term, table, index, columns, hats)
        return np.asarray(total)


def _is_whole(axis: Axis, known: Mapping[str, Array]) -> bool:
    return axis.variable in known


def _table(term: Term, coefficients: Array, grids: Mapping[str, Array]) -> Array:
    """(fits, axis...) with whole axes on their grid and continuous ones on their knots."""
    grid = {}
    for axis in term.axes:
        if axis.variable in grids:
            grid[axis.variable] = grids[axis.variable]
        elif isinstance(axis, Bends):
            grid[axis.variable] = np.asarray(axis.knots, dtype=float)
        else:
            grid[axis.variable] = np.ones(1)
    return np.moveaxis(term.table(coefficients, grid), -1, 0)


def _look_one(
    term: Term, table: Array, index: Mapping[str, Array], columns: Mapping[str, Array],
    hats: dict[Axis, tuple[Array, Array]],
) -> Array:  # fmt: skip
    """(n,) of one term under one fit; ``hats`` keeps what terms share."""
    whole: Array | int = 0
    shares: list[tuple[Array | int, Array | float]] = [(0, 1.0)]
    step = table.size
    for axis, length in zip(term.axes, table.shape, strict=True):
        step //= length
        if axis.variable in index:
            whole = whole + index[axis.variable] * step
            continue
        x = columns[axis.variable]
        if isinstance(axis, Line):
            shares = [(at, w * x) for at, w in shares]
            continue
        if axis not in hats:
            hats[axis] = axis.weights(x)
        i, v = hats[axis]
        shares = [(at + i[:, k] * step, w * v[:, k]) for at, w in shares for k in range(i.shape[1])]
    flat = table.reshape(-1)
    total: Array | float = 0.0
    for at, w in shares:
        total = total + flat.take(whole + at) * w
    return np.asarray(total)


def _look(
    term: Term, table: Array, index: Mapping[str, Array], columns: Mapping[str, Array],
    hats: dict[Axis, tuple[Array, Array]],
) -> Array:  # fmt: skip
    """(fits, n) of one term under every fit; ``hats`` keeps what terms share."""
    fits = len(table)
    step = table[0].size
    rows = np.arange(fits)[:, None] * step
    whole: Array | int = 0
    shares: list[tuple[Array | int, Array | float]] = [(0, 1.0)]
    for axis, length in zip(term.axes, table.shape[1:], strict=True):
        step //= length
        if axis.variable in index:
            whole = whole + index[axis.variable] * step
            continue
        x = columns[axis.variable]
        if isinstance(axis, Line):
            single = x.astype(np.float32)
            shares = [(at, w * single) for at, w in shares]
            continue
        if axis not in hats:
            i, v = axis.weights(x.reshape(-1))
            hats[axis] = (
                np.ascontiguousarray(i.T).reshape(-1, *x.shape),
                np.ascontiguousarray(v.T, dtype=np.float32).reshape(-1, *x.shape),
            )
        i, v = hats[axis]
        shares = [(at + i[k] * step, w * v[k]) for at, w in shares for k in range(len(i))]
    flat = table.reshape(-1)
    total: Array | float = 0.0
    for at, w in shares:
        total = total + flat.take(rows + (whole + at)) * w
    return np.asarray(total)
