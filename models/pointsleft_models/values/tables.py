"""Fitted logits tabulated on whole numbers, so that a situation costs a few look-ups.

The variables of the value models are whole numbers of known range; terms over the same variables,
or over variables of another term, are added into one table. A term with a straight line in one
more variable has a table of its own, which that variable multiplies.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

import numpy as np

from pointsleft_models.fitting.basis import Line
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.within import within

Array = np.ndarray

#: Range of every whole-number variable: first value, number of values.
RANGES: dict[str, tuple[int, int]] = {
    "down": (0, 4),
    "distance": (1, 40),
    "yards_to_goal": (1, 99),
    "half": (0, 2),
    "half_seconds": (0, 1801),
    "lead": (-45, 91),
    "own_timeouts": (0, 4),
    "opponent_timeouts": (0, 4),
}

#: The tables kept; a term goes into the first that has all its variables.
LAYOUT: tuple[tuple[str, ...], ...] = (
    ("down", "yards_to_goal", "distance"),
    ("half_seconds", "yards_to_goal"),
    ("half", "half_seconds", "down", "own_timeouts"),
    ("half_seconds", "opponent_timeouts"),
    ("half", "half_seconds", "lead"),
)


class LogitTables:
    """Log odds of several logits at once, on the same variables.

    Parameters
    ----------
    logits
        Fitted logits whose variables are all in :data:`RANGES`, but for those of lines.
    """

    def __init__(self, logits: Sequence[FittedLogit]) -> None:
        self._many = len(logits)
        tables: dict[tuple[str, tuple[str, ...]], Array] = {}
        for at, logit in enumerate(logits):
            for term, own in zip(
                logit.basis.terms, logit.basis.split(logit.coefficients), strict=True
            ):
                line = next((a.variable for a in term.axes if isinstance(a, Line)), "")
                names = [axis.variable for axis in term.axes if axis.variable != line]
                home = next(v for v in LAYOUT if set(names) <= set(v))
                shape = tuple(RANGES[v][1] for v in home)
                table = tables.setdefault(
                    (line, home), np.zeros((*shape, self._many), dtype=np.float32)
                )
                grid = {v: np.arange(RANGES[v][0], sum(RANGES[v])) for v in names}
                if line:
                    grid[line] = np.ones(1, dtype=np.int64)
                values = term.table(own, grid)
                if line:
                    values = values.squeeze([a.variable for a in term.axes].index(line))
                order = [names.index(v) for v in home if v in names]
                wide = tuple(RANGES[v][1] if v in names else 1 for v in home)
                table[..., at] += values.transpose(order).reshape(wide)
        self._tables = [(line, v, t) for (line, v), t in tables.items() if t.any()]

    def eta(
        self,
        columns: Mapping[str, Array],
        *,
        only: Collection[str] = (),
        without: Collection[str] = (),
    ) -> Array:
        """Log odds (n, logits).

        Parameters
        ----------
        only, without
            Variables: just the tables that hold one of them, or all but those.
        """
        tables = [
            (line, v, t)
            for line, v, t in self._tables
            if (not only or any(name in (line, *v) for name in only))
            and not any(name in (line, *v) for name in without)
        ]
        index = {}
        for _, variables, _ in tables:
            for v in variables:
                if v not in index:
                    first, size = RANGES[v]
                    raw = np.asarray(columns[v]).astype(np.int64) - first
                    index[v] = within(raw, 0, size - 1)
        total: Array | None = None
        for line, variables, table in tables:
            if line and not columns[line].any():
                continue
            flat = np.ravel_multi_index(tuple(index[v] for v in variables), table.shape[:-1])
            part = table.reshape(-1, table.shape[-1]).take(flat, axis=0)
            if line:
                part = part * columns[line].astype(np.float32)[:, None]
            total = part if total is None else total + part
        if total is None:
            return np.zeros((len(next(iter(columns.values()))), self._many), dtype=np.float32)
        return total
