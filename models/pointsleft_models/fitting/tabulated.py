"""A fitted logit tabulated on whole numbers, point fit and refits alike.

Laws condition on whole numbers, so every term becomes a small table and the log odds of an
option a few look-ups. A term whose table under all refits would be large is kept as it is and
worked out at the values asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np

from pointsleft_models.fitting.basis import Term
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import expit

Array = np.ndarray

#: Tables of one fit are added into one of at most so many entries.
MOST_MERGED = 2_000_000

#: A term with more values than this is not tabulated under the refits.
MOST_TABULATED = 20_000

#: First value and number of values of a variable.
Range = tuple[int, int]


class Part(Protocol):
    """What one term adds: its variables, and (fits, ...) at places in their ranges."""

    @property
    def names(self) -> tuple[str, ...]: ...

    def at(self, index: tuple[Any, ...]) -> Array: ...


@dataclass(frozen=True, slots=True)
class Table:
    """A term at all values of its variables: (fits, sizes...)."""

    names: tuple[str, ...]
    values: Array

    def at(self, index: tuple[Any, ...]) -> Array:
        return np.asarray(self.values[(slice(None), *index)])


@dataclass(frozen=True, slots=True)
class Mixed:
    """A term as its coefficients (fits, size), worked out at the values of its variables."""

    names: tuple[str, ...]
    term: Term
    coefficients: Array
    ranges: Mapping[str, Range]

    def at(self, index: tuple[Any, ...]) -> Array:
        places = np.broadcast_arrays(*index)
        columns = {
            v: self.ranges[v][0] + place.ravel()
            for v, place in zip(self.names, places, strict=True)
        }
        which, weights = self.term.sparse(columns)
        weights = weights.astype(np.float32)
        total: Any = 0.0
        for i, weight in zip(which.T, weights.T, strict=True):
            total = total + self.coefficients.take(i, axis=1) * weight
        return np.asarray(total).reshape(-1, *places[0].shape)


class Tabulated:
    """Look-ups for one fitted logit.

    Parameters
    ----------
    logit
        The fit.
    ranges
        Range of every variable; values beyond it are clipped to it. One whose range is a single
        value is held there and need not be given.
    """

    def __init__(self, logit: FittedLogit, ranges: Mapping[str, Range]) -> None:
        self._ranges = {v: ranges[v] for v in logit.basis.variables}
        self._logit = logit
        point = self._parts(logit.coefficients[:, None], most=MOST_MERGED)
        self._point = _merged(point, self._ranges)
        self._all: list[Part] | None = None

    @property
    def fits(self) -> int:
        """Point fit and refits."""
        return 1 + len(self._logit.refits)

    def _parts(self, columns: Array, most: int) -> list[Part]:
        """Every term (size, fits), those of at most so many values as a table."""
        out: list[Part] = []
        basis = self._logit.basis
        edges = np.cumsum([term.size for term in basis.terms])[:-1]
        for term, own in zip(basis.terms, np.split(columns, edges), strict=True):
            names = tuple(axis.variable for axis in term.axes)
            grid = {v: np.arange(self._ranges[v][0], sum(self._ranges[v])) for v in names}
            if np.prod([len(values) for values in grid.values()]) > most:
                out.append(Mixed(names, term, np.ascontiguousarray(own.T), self._ranges))
            else:
                out.append(Table(names, np.moveaxis(term.table(own, grid), -1, 0)))
        return out

    def eta(self, values: Mapping[str, Any], *, refits: bool = False) -> Array:
        """Log odds.

        Parameters
        ----------
        values
            Whole numbers or arrays of them, one for each variable that is not held; they
            broadcast.

        Returns
        -------
        Array
            (1, ...) or (1 + refits, ...).
        """
        if refits and self._all is None:
            self._all = self._parts(self._logit.stacked().T, most=MOST_TABULATED)
        parts = self._all if refits else self._point
        assert parts is not None
        index = {}
        for v, (first, size) in self._ranges.items():
            value = first if size == 1 else values[v]
            if isinstance(value, np.ndarray):
                index[v] = np.minimum(np.maximum(value - first, 0), size - 1)
            else:
                index[v] = min(max(int(value) - first, 0), size - 1)
        if len(parts) == 1:
            # parts are kept in single precision, laws add up in double
            return np.asarray(parts[0].at(tuple(index[v] for v in parts[0].names)), dtype=float)
        deep = max(np.ndim(i) for i in index.values())
        total: Any = 0.0
        for part in parts:
            found = part.at(tuple(index[v] for v in part.names))
            ones = (1,) * (deep + 1 - found.ndim)
            total = total + found.reshape(found.shape[:1] + ones + found.shape[1:])
        return np.asarray(total, dtype=float)

    def probability(self, values: Mapping[str, Any], *, refits: bool = False) -> Array:
        """Probability, shaped like :meth:`eta`."""
        return expit(self.eta(values, refits=refits))


def _merged(parts: list[Part], ranges: Mapping[str, Range]) -> list[Part]:
    """All tables of the point fit as one, the longest axis last, where that is small enough."""
    names = sorted(ranges, key=lambda v: ranges[v][1])
    shape = tuple(ranges[v][1] for v in names)
    tables = [part for part in parts if isinstance(part, Table)]
    if int(np.prod(shape)) > MOST_MERGED or len(parts) == 1 or len(tables) < len(parts):
        return parts
    total = np.zeros((1, *shape), dtype=np.float32)
    for table in tables:
        order = [0, *(1 + table.names.index(v) for v in names if v in table.names)]
        wide = tuple(ranges[v][1] if v in table.names else 1 for v in names)
        total += table.values.transpose(order).reshape(1, *wide)
    return [Table(tuple(names), total)]
