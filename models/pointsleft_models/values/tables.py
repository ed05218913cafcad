"""Fitted logits tabulated on whole numbers, so that a situation costs a few look-ups.

Every variable of the value models is a whole number of known range; terms over the same
variables, or over variables of another term, are added into one table.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

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
        Fitted logits whose variables are all in :data:`RANGES`.
    """

    def __init__(self, logits: Sequence[FittedLogit]) -> None:
        many = len(logits)
        self._many = many
        self._tables: list[tuple[tuple[str, ...], Array]] = []
        for variables in LAYOUT:
            shape = tuple(RANGES[v][1] for v in variables)
            self._tables.append((variables, np.zeros((*shape, many), dtype=np.float32)))
        for at, logit in enumerate(logits):
            for term, own in zip(
                logit.basis.terms, logit.basis.split(logit.coefficients), strict=True
            ):
                names = [axis.variable for axis in term.axes]
                home = next(t for t in self._tables if set(names) <= set(t[0]))
                grid = {v: np.arange(RANGES[v][0], sum(RANGES[v])) for v in names}
                values = term.table(own, grid)
                order = [names.index(v) for v in home[0] if v in names]
                shape = tuple(RANGES[v][1] if v in names else 1 for v in home[0])
                home[1][..., at] += values.transpose(order).reshape(shape)
        self._tables = [(v, t) for v, t in self._tables if t.any()]

    def eta(self, columns: Mapping[str, Array], *, only: str = "", without: str = "") -> Array:
        """Log odds (n, logits).

        Parameters
        ----------
        only, without
            A variable: just the tables that hold it, or all but those.
        """
        tables = [
            (v, t)
            for v, t in self._tables
            if (not only or only in v) and (not without or without not in v)
        ]
        index = {}
        for variables, _ in tables:
            for v in variables:
                if v not in index:
                    first, size = RANGES[v]
                    raw = np.asarray(columns[v]).astype(np.int64) - first
                    index[v] = within(raw, 0, size - 1)
        total: Array | None = None
        for variables, table in tables:
            flat = np.ravel_multi_index(tuple(index[v] for v in variables), table.shape[:-1])
            part = table.reshape(-1, table.shape[-1]).take(flat, axis=0)
            total = part if total is None else total + part
        if total is None:
            return np.zeros((len(next(iter(columns.values()))), self._many), dtype=np.float32)
        return total
