"""Look-ups for a logit over whole numbers and a few continuous variables.

Whole-number axes are tabulated; along a continuous axis the two hats around a value are
blended.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pointsleft_models.fitting.basis import Axis, Bends, Line, Term
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.tabulated import MOST_MERGED, Range
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
        self._point = _merged(logit, whole)

    def eta(self, columns: Mapping[str, Array]) -> Array:
        """Log odds (n,) of the point fit."""
        index = {}
        for v, (first, size) in self._whole.items():
            if v in columns:
                index[v] = within(columns[v].astype(np.int64) - first, 0, size - 1)
        hats: dict[Axis, tuple[Array, Array]] = {}
        total: Array | float = 0.0
        for table in self._point:
            total = total + table.look(index, columns, hats)
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


@dataclass(frozen=True, slots=True)
class _Table:
    """Terms of one fit that bend along the same continuous variables, as one table.

    Attributes
    ----------
    whole
        Whole-number variables, the first axes of the table.
    continuous
        The axes after them: bends, whose knots are those of all terms, and lines.
    """

    whole: tuple[str, ...]
    continuous: tuple[Axis, ...]
    values: Array

    def look(
        self, index: Mapping[str, Array], columns: Mapping[str, Array],
        hats: dict[Axis, tuple[Array, Array]],
    ) -> Array:  # fmt: skip
        """(n,) log odds; ``hats`` keeps what tables share."""
        place: Array | int = 0
        for name, size in zip(self.whole, self.values.shape, strict=False):
            place = place * size + index[name]
        corners: list[tuple[Array | int, Array | float]] = [(place, 1.0)]
        for axis in self.continuous:
            x = columns[axis.variable]
            if isinstance(axis, Line):
                corners = [(at, w * x) for at, w in corners]
                continue
            if axis not in hats:
                hat, share = axis.weights(x)
                hats[axis] = np.ascontiguousarray(hat.T), np.ascontiguousarray(share.T)
            hat, share = hats[axis]
            corners = [
                (at * axis.size + hat[k], w * share[k])
                for at, w in corners
                for k in range(len(hat))
            ]
        flat = self.values.reshape(-1)
        total: Array | float = 0.0
        for at, w in corners:
            total = total + flat.take(at) * w
        return np.asarray(total)


def _merged(logit: FittedLogit, whole: Mapping[str, Range]) -> list[_Table]:
    """The point fit with terms added together where their table is small enough."""
    parts = list(zip(logit.basis.terms, logit.basis.split(logit.coefficients), strict=True))
    knots: dict[tuple[str, str | None], set[float]] = {}
    for term, _ in parts:
        for axis in term.axes:
            if isinstance(axis, Bends) and axis.variable not in whole:
                knots.setdefault((axis.variable, axis.transform), set()).update(axis.knots)

    def spread(axis: Axis) -> Axis:
        """An axis with the knots of all terms, on which every one of them is as it was."""
        if not isinstance(axis, Bends):
            return axis
        all_knots = sorted(knots[axis.variable, axis.transform])
        return Bends(axis.variable, tuple(all_knots), axis.transform)

    alike: dict[tuple[Axis, ...], list[tuple[Term, Array]]] = {}
    for term, own in parts:
        bent = sorted((a for a in term.axes if a.variable not in whole), key=lambda a: a.variable)
        alike.setdefault(tuple(spread(a) for a in bent), []).append((term, own))
    tables = []
    for continuous, terms in alike.items():
        together = _size(terms, continuous, whole) <= MOST_MERGED
        for group in [terms] if together else [[one] for one in terms]:
            tables.append(_added(group, continuous, whole))
    return tables


def _wholes(terms: list[tuple[Term, Array]], whole: Mapping[str, Range]) -> tuple[str, ...]:
    """The whole-number variables of some terms, in the order of their ranges."""
    used = {axis.variable for term, _ in terms for axis in term.axes}
    return tuple(v for v in whole if v in used)


def _size(
    terms: list[tuple[Term, Array]], continuous: tuple[Axis, ...], whole: Mapping[str, Range]
) -> int:
    """Numbers in the table of some terms."""
    return math.prod(whole[v][1] for v in _wholes(terms, whole)) * math.prod(
        axis.size for axis in continuous
    )


def _added(
    terms: list[tuple[Term, Array]], continuous: tuple[Axis, ...], whole: Mapping[str, Range]
) -> _Table:
    """One table of some terms that bend along the same continuous variables."""
    names = _wholes(terms, whole)
    order = (*names, *(axis.variable for axis in continuous))
    shape = (*(whole[v][1] for v in names), *(axis.size for axis in continuous))
    grid: dict[str, Array] = {v: np.arange(whole[v][0], sum(whole[v])) for v in names}
    for axis in continuous:
        grid[axis.variable] = np.asarray(axis.knots) if isinstance(axis, Bends) else np.ones(1)
    values = np.zeros(shape)
    for term, own in terms:
        own_axes = [axis.variable for axis in term.axes]
        wide = tuple(n if v in own_axes else 1 for v, n in zip(order, shape, strict=True))
        kept = [own_axes.index(v) for v in order if v in own_axes]
        values += term.table(own, grid).transpose(kept).reshape(wide)
    return _Table(names, continuous, values)


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
