"""Additive bases of tensor products: what a fit may bend, and how stiffly.

A basis is settings only (frozen, written to a fit's card as JSON). It turns columns into a
sparse design, gives the penalty that keeps a fit smooth, and tabulates a fitted term on a grid
of whole numbers, so that using a fit costs a few look-ups.

Axes
----
``Bends``   piecewise-linear in a transformed variable, flat beyond the outer knots
``Levels``  one coefficient a level 0..n-1
``Line``    a straight line through the origin of the transformed variable
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import scipy.sparse as sp

from pointsleft_models.fitting.within import within

Array = np.ndarray

#: Weight of the squared first differences beside the squared second differences: keeps a
#: stretch without data from drifting.
FIRST_DIFFERENCE = 0.05

#: Weight of what is not the same, but for its sign, on either side of zero, in a term whose
#: variables say that it should be.
ODD = 1000.0

#: Ridge on the levels of a factor and, tiny, on everything.
LEVEL_RIDGE = 0.02
RIDGE = 1e-3


def _transform(name: str | None, x: Array) -> Array:
    if name is None:
        return x
    kind, _, constant = name.partition("+")
    if kind == "log":
        return np.log(x + float(constant))
    raise ValueError(f"no transform {name!r}; there is log+<constant>")


@dataclass(frozen=True, slots=True)
class Bends:
    """Hat functions at ``knots`` (given on the variable's own scale)."""

    variable: str
    knots: tuple[float, ...]
    transform: str | None = None  # "log+c": hats are spaced in log(x + c)

    @property
    def size(self) -> int:
        return len(self.knots)

    def weights(self, x: Array) -> tuple[Array, Array]:
        """Index (n, 2) and weight (n, 2) of the two hats that each value touches."""
        knots = _transform(self.transform, np.asarray(self.knots, dtype=float))
        z = within(_transform(self.transform, np.asarray(x, dtype=float)), knots[0], knots[-1])
        left = within(np.searchsorted(knots, z, side="right") - 1, 0, len(knots) - 2)
        share = (z - knots[left]) / (knots[left + 1] - knots[left])
        index = np.empty((len(z), 2), dtype=np.int64)
        weight = np.empty((len(z), 2))
        index[:, 0], index[:, 1] = left, left + 1
        weight[:, 0], weight[:, 1] = 1 - share, share
        return index, weight

    def penalty(self) -> Array:
        eye = np.eye(self.size)
        first = np.diff(eye, axis=0)
        second = np.diff(eye, 2, axis=0)
        return second.T @ second + FIRST_DIFFERENCE * first.T @ first


@dataclass(frozen=True, slots=True)
class Levels:
    """One coefficient a level; the variable holds whole numbers from 0 to ``size`` - 1."""

    variable: str
    size: int

    def weights(self, x: Array) -> tuple[Array, Array]:
        level = within(np.asarray(x).astype(np.int64), 0, self.size - 1)
        return level[:, None], np.ones((len(level), 1))

    def penalty(self) -> Array:
        return LEVEL_RIDGE * np.eye(self.size)


@dataclass(frozen=True, slots=True)
class Line:
    """One coefficient times the (transformed) variable."""

    variable: str
    transform: str | None = None
    size: int = 1

    def weights(self, x: Array) -> tuple[Array, Array]:
        z = _transform(self.transform, np.asarray(x, dtype=float))
        return np.zeros((len(z), 1), dtype=np.int64), z[:, None]

    def penalty(self) -> Array:
        return np.zeros((1, 1))


Axis = Bends | Levels | Line


@dataclass(frozen=True, slots=True)
class Term:
    """A tensor product of axes.

    ``stiffness`` scales the penalty of the term against the others. ``rises`` and ``falls`` name
    variables (``Bends`` or ``Line`` axes) in which the term must not fall, or not rise. ``free``
    names pairs of such a variable and a level of the term's ``Levels`` axis in which its order
    is not held. ``odd`` names a ``Bends`` variable with knots on both sides of zero: the term at
    minus x is kept at minus the term at x.
    """

    axes: tuple[Axis, ...]
    stiffness: float = 1.0
    rises: tuple[str, ...] = ()
    falls: tuple[str, ...] = ()
    free: tuple[tuple[str, int], ...] = ()
    odd: str = ""

    def held(self, variable: str) -> Array:
        """Whether (shape) the order of a variable is held for each coefficient."""
        out = np.ones(self.shape, dtype=bool)
        for name, level in self.free:
            if name == variable:
                at = next(i for i, axis in enumerate(self.axes) if isinstance(axis, Levels))
                out[(slice(None),) * at + (level,)] = False
        return out

    @property
    def shape(self) -> tuple[int, ...]:
        return tuple(axis.size for axis in self.axes)

    @property
    def size(self) -> int:
        return int(np.prod(self.shape))

    def sparse(
        self, columns: Mapping[str, Array], touched: dict[Axis, tuple[Array, Array]] | None = None
    ) -> tuple[Array, Array]:
        """Index and weight, both (n, k), of the coefficients that each row touches.

        ``touched`` keeps what is found of each axis, for the next term that has it too.
        """
        touched = {} if touched is None else touched
        index: Array | None = None
        value: Array | None = None
        for axis in self.axes:
            if axis not in touched:
                touched[axis] = axis.weights(columns[axis.variable])
            i, v = touched[axis]
            if index is None or value is None:
                index, value = i, v
                continue
            width = index.shape[1] * i.shape[1]  # spelled out: there may be no rows
            index = (index[:, :, None] * axis.size + i[:, None, :]).reshape(len(i), width)
            value = (value[:, :, None] * v[:, None, :]).reshape(len(v), width)
        assert index is not None
        assert value is not None
        return index, value

    def penalty(self) -> Array:
        total = RIDGE * np.eye(self.size)
        for at, axis in enumerate(self.axes):
            product = np.eye(1)
            for other, neighbour in enumerate(self.axes):
                factor = axis.penalty() if other == at else np.eye(neighbour.size)
                product = np.kron(product, factor)
            total += self.stiffness * product
        if self.odd:
            uneven: Array = np.eye(1)
            for axis in self.axes:
                both: Array = np.eye(axis.size)
                if axis.variable == self.odd:
                    both = both + both[::-1]
                    both = ODD * both.T @ both
                uneven = np.kron(uneven, both)
            total += uneven
        return total

    def orders(self) -> Array:
        """Rows d with d @ coefficients >= 0 wherever the term goes the way it must."""
        rows = []
        cells = np.arange(self.size).reshape(self.shape)
        for sign, names in ((1.0, self.rises), (-1.0, self.falls)):
            for name in names:
                at = [axis.variable for axis in self.axes].index(name)
                if isinstance(self.axes[at], Line):  # a line goes the way of its sign
                    rows.append(sign * np.eye(self.size))
                    continue
                kept = np.take(self.held(name), 0, axis=at).ravel()
                low = np.take(cells, range(self.shape[at] - 1), axis=at)
                high = np.take(cells, range(1, self.shape[at]), axis=at)
                low, high = (np.moveaxis(x, at, -1).reshape(len(kept), -1) for x in (low, high))
                low, high = low[kept].ravel(), high[kept].ravel()
                row = np.zeros((len(low), self.size))
                row[np.arange(len(low)), high] = sign
                row[np.arange(len(low)), low] = -sign
                rows.append(row)
        return np.concatenate(rows) if rows else np.zeros((0, self.size))

    def table(self, coefficients: Array, grid: Mapping[str, Array]) -> Array:
        """The fitted term on a grid: one array axis for each axis of the term.

        Parameters
        ----------
        coefficients
            (size,) or (size, m) for m fits at once.
        grid
            Values of every variable of the term.

        Returns
        -------
        Array
            (len(grid[first]), ..., [m]).
        """
        out = coefficients.reshape(*self.shape, *coefficients.shape[1:])
        for at, axis in enumerate(self.axes):
            i, v = axis.weights(grid[axis.variable])
            taken = np.take(out, i, axis=at)  # (..., n, k, ...)
            weight = v.reshape((1,) * at + v.shape + (1,) * (taken.ndim - at - 2))
            out = (taken * weight).sum(at + 1)
        return out


@dataclass(frozen=True, slots=True)
class Basis:
    """A sum of terms."""

    terms: tuple[Term, ...]

    @property
    def size(self) -> int:
        return sum(term.size for term in self.terms)

    @property
    def variables(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(a.variable for t in self.terms for a in t.axes))

    def design(self, columns: Mapping[str, Array], dtype: Any = np.float32) -> sp.csr_matrix:
        """Sparse design (n, size)."""
        touched: dict[Axis, tuple[Array, Array]] = {}
        parts = [term.sparse(columns, touched) for term in self.terms]
        n, width = len(parts[0][0]), sum(i.shape[1] for i, _ in parts)
        index, value = np.empty((n, width), dtype=np.int32), np.empty((n, width), dtype=dtype)
        at = offset = 0
        for term, (i, v) in zip(self.terms, parts, strict=True):
            to = at + i.shape[1]
            np.add(i, offset, out=index[:, at:to], casting="unsafe")
            value[:, at:to] = v
            at, offset = to, offset + term.size
        design = sp.csr_matrix(
            (value.ravel(), index.ravel(), np.arange(0, n * width + 1, width)),
            shape=(n, self.size),
        )
        design.eliminate_zeros()  # at knots and of lines at zero, often half of all
        return design

    def penalty(self) -> Array:
        """Penalty matrix (size, size), block by term."""
        return _blocks([term.penalty() for term in self.terms])

    def orders(self) -> Array:
        """Every row d that must satisfy d @ coefficients >= 0."""
        rows, offset = [], 0
        for term in self.terms:
            own = term.orders()
            wide = np.zeros((len(own), self.size))
            wide[:, offset : offset + term.size] = own
            rows.append(wide)
            offset += term.size
        return np.concatenate(rows)

    def split(self, coefficients: Array) -> list[Array]:
        """The coefficients of each term."""
        edges = np.cumsum([term.size for term in self.terms])[:-1]
        return np.split(coefficients, edges)

    def ordered(self, coefficients: Array) -> Array:
        """The coefficients with every broken order mended by running maxima.

        The solver leaves breaks of rounding size; this makes the orders exact.
        """
        out = []
        for term, own in zip(self.terms, self.split(coefficients), strict=True):
            cube = own.reshape(term.shape)
            names = [axis.variable for axis in term.axes]
            for name in term.rises:
                at = names.index(name)
                line = isinstance(term.axes[at], Line)
                done = np.maximum(cube, 0) if line else np.maximum.accumulate(cube, axis=at)
                cube = np.where(term.held(name), done, cube)
            for name in term.falls:
                at = names.index(name)
                line = isinstance(term.axes[at], Line)
                done = np.minimum(cube, 0) if line else np.minimum.accumulate(cube, axis=at)
                cube = np.where(term.held(name), done, cube)
            out.append(cube.ravel())
        return np.concatenate(out)

    def settings(self) -> list[dict[str, Any]]:
        """The basis as plain values, for a card."""
        return [
            {
                "axes": [
                    {"axis": type(a).__name__, **{k: getattr(a, k) for k in a.__slots__}}
                    for a in term.axes
                ],
                "stiffness": term.stiffness,
                "rises": list(term.rises),
                "falls": list(term.falls),
                **({"free": [list(pair) for pair in term.free]} if term.free else {}),
                **({"odd": term.odd} if term.odd else {}),
            }
            for term in self.terms
        ]

    @classmethod
    def from_settings(cls, settings: Sequence[Mapping[str, Any]]) -> Basis:
        """The basis that :meth:`settings` wrote."""
        kinds: dict[str, Any] = {"Bends": Bends, "Levels": Levels, "Line": Line}
        terms = []
        for entry in settings:
            axes = []
            for axis in entry["axes"]:
                values: dict[str, Any] = {
                    k: tuple(v) if isinstance(v, list) else v for k, v in axis.items()
                }
                axes.append(kinds[values.pop("axis")](**values))
            free = tuple((str(v), int(level)) for v, level in entry.get("free", []))
            orders = tuple(entry["rises"]), tuple(entry["falls"])
            odd = str(entry.get("odd", ""))
            terms.append(Term(tuple(axes), entry["stiffness"], *orders, free, odd))
        return cls(tuple(terms))


def _blocks(blocks: list[Array]) -> Array:
    out = np.zeros((sum(len(b) for b in blocks),) * 2)
    at = 0
    for block in blocks:
        out[at : at + len(block), at : at + len(block)] = block
        at += len(block)
    return out
