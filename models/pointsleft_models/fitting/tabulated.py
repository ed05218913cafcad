"""A fitted logit tabulated on whole numbers, point fit and refits alike.

Laws condition on whole numbers, so every term becomes a small table and the log odds of an
option a few look-ups.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import expit

Array = np.ndarray

#: Tables of one fit are added into one of at most so many entries.
MOST_MERGED = 2_000_000

#: First value and number of values of a variable.
Range = tuple[int, int]


class Tabulated:
    """Look-ups for one fitted logit.

    Parameters
    ----------
    logit
        The fit.
    ranges
        Range of every variable; values beyond it are clipped to it.
    """

    def __init__(self, logit: FittedLogit, ranges: Mapping[str, Range]) -> None:
        self._ranges = {v: ranges[v] for v in logit.basis.variables}
        self._logit = logit
        self._point = _merged(self._tables(logit.coefficients[:, None]), self._ranges)
        self._all: list[tuple[tuple[str, ...], Array]] | None = None

    @property
    def fits(self) -> int:
        """Point fit and refits."""
        return 1 + len(self._logit.refits)

    def _tables(self, columns: Array) -> list[tuple[tuple[str, ...], Array]]:
        """Variables and table (fits, sizes...) of every term."""
        out = []
        basis = self._logit.basis
        edges = np.cumsum([term.size for term in basis.terms])[:-1]
        for term, own in zip(basis.terms, np.split(columns, edges), strict=True):
            names = tuple(axis.variable for axis in term.axes)
            grid = {v: np.arange(self._ranges[v][0], sum(self._ranges[v])) for v in names}
            out.append((names, np.moveaxis(term.table(own, grid), -1, 0)))
        return out

    def eta(self, values: Mapping[str, Any], *, refits: bool = False) -> Array:
        """Log odds.

        Parameters
        ----------
        values
            Whole numbers or arrays of them, one for each variable; they broadcast.

        Returns
        -------
        Array
            (1, ...) or (1 + refits, ...).
        """
        if refits and self._all is None:
            self._all = self._tables(self._logit.stacked().T)
        tables = self._all if refits else self._point
        assert tables is not None
        index = {}
        for v, (first, size) in self._ranges.items():
            value = values[v]
            if isinstance(value, np.ndarray):
                index[v] = np.minimum(np.maximum(value - first, 0), size - 1)
            else:
                index[v] = min(max(int(value) - first, 0), size - 1)
        if len(tables) == 1:
            names, table = tables[0]
            # tables are kept in single precision, laws add up in double
            return np.asarray(table[(slice(None), *(index[v] for v in names))], dtype=float)
        deep = max(np.ndim(i) for i in index.values())
        total: Any = 0.0
        for names, table in tables:
            part = table[(slice(None), *(index[v] for v in names))]
            ones = (1,) * (deep + 1 - part.ndim)
            total = total + part.reshape(part.shape[:1] + ones + part.shape[1:])
        return np.asarray(total, dtype=float)

    def probability(self, values: Mapping[str, Any], *, refits: bool = False) -> Array:
        """Probability, shaped like :meth:`eta`."""
        return expit(self.eta(values, refits=refits))


def _merged(
    tables: list[tuple[tuple[str, ...], Array]], ranges: Mapping[str, Range]
) -> list[tuple[tuple[str, ...], Array]]:
    """All tables of the point fit as one, the longest axis last, where that is small enough."""
    names = sorted(ranges, key=lambda v: ranges[v][1])
    shape = tuple(ranges[v][1] for v in names)
    if int(np.prod(shape)) > MOST_MERGED or len(tables) == 1:
        return tables
    total = np.zeros((1, *shape), dtype=np.float32)
    for variables, table in tables:
        order = [0, *(1 + variables.index(v) for v in names if v in variables)]
        wide = tuple(ranges[v][1] if v in variables else 1 for v in names)
        total += table.transpose(order).reshape(1, *wide)
    return [(tuple(names), total)]
