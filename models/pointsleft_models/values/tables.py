"""Fitted logits tabulated on whole numbers, so that a situation costs a few look-ups.

The variables of the value models are whole numbers of known range; terms over the same variables,
or over variables of another term, are added into one table. Everything is tabulated with the score
level and time left; what a score changes has tables of its own, which are left alone where it
changes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

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
    ("half", "half_seconds", "down", "own_timeouts", "opponent_timeouts"),
    ("half", "half_seconds", "lead"),
)

#: What a score changes, as it is with the score level and time left: the lead, and the variables
#: of lines.
LEVEL: dict[str, int] = {"lead": 0, "three_counts": 1, "three_enough": 0}

#: Numbers in a row of a table, of which the logits take the first: rows of 32 bytes are copied
#: fastest.
WIDTH = 8


class LogitTables:
    """Log odds of several logits at once, on the same variables.

    Parameters
    ----------
    logits
        Fitted logits whose variables are all in :data:`RANGES`, but for those of lines, which are
        in :data:`LEVEL`.
    """

    def __init__(self, logits: Sequence[FittedLogit]) -> None:
        self._many = len(logits)
        tables: dict[tuple[str, tuple[str, ...]], Array] = {}

        def add(score: str, names: list[str], logit: int, values: Array) -> None:
            home = next(v for v in LAYOUT if set(names) <= set(v))
            shape = tuple(RANGES[v][1] for v in home)
            table = tables.setdefault((score, home), np.zeros((WIDTH, *shape), dtype=np.float32))
            wide = tuple(RANGES[v][1] if v in names else 1 for v in home)
            table[logit] += values.transpose([names.index(v) for v in home if v in names]).reshape(
                wide
            )

        for at, logit in enumerate(logits):
            for term, own in zip(
                logit.basis.terms, logit.basis.split(logit.coefficients), strict=True
            ):
                line = next((a.variable for a in term.axes if isinstance(a, Line)), "")
                names = [axis.variable for axis in term.axes]
                grid = {v: np.arange(RANGES[v][0], sum(RANGES[v])) for v in names if v != line}
                if line:
                    grid[line] = np.ones(1, dtype=np.int64)
                values = term.table(own, grid)
                if line:
                    values = values.squeeze(names.index(line))
                    names.remove(line)
                    add(line, names, at, values)
                    values = LEVEL[line] * values
                elif "lead" in names:
                    axis = names.index("lead")
                    level = values.take([LEVEL["lead"] - RANGES["lead"][0]], axis)
                    add("lead", names, at, values - level)
                    values = level.squeeze(axis)
                    names.remove("lead")
                add("", names, at, values)
        self._tables = [
            (score, home, np.ascontiguousarray(table.reshape(WIDTH, -1).T))
            for (score, home), table in tables.items()
            if table.any()
        ]

    def eta(self, *scores: Mapping[str, Array]) -> list[Array]:
        """Log odds (n, logits) of the same rows at each of several scores.

        Parameters
        ----------
        scores
            Columns (n,) of the rows; they differ in the variables of :data:`LEVEL` alone.
        """
        places = {v: _place(v, scores[0]) for v in RANGES if v not in LEVEL}
        rows = {home: _row(home, places) for home in LAYOUT if not LEVEL.keys() & set(home)}
        level: Array = np.zeros((len(rows[LAYOUT[0]]), WIDTH), dtype=np.float32)
        part = np.empty_like(level)
        for score, home, table in self._tables:
            if not score:
                level += _taken(table, rows[home], part)
        out = []
        for columns in scores:
            total = level
            for score, home, table in self._tables:
                off = columns[score] - LEVEL[score] if score else None
                if off is None or not off.any():
                    continue
                if score == "lead":
                    row = _row(home, {**places, "lead": _place("lead", columns)})
                    total = total + _taken(table, row, part)
                else:
                    off = off.astype(np.float32)[:, None]
                    total = total + _taken(table, rows[home], part) * off
            # what uses a logit takes all rows of it, so they lie together in memory
            out.append(np.ascontiguousarray(total.T[: self._many]).T)
        return out


def _taken(table: Array, rows: Array, out: Array) -> Array:
    """Rows (n,), all of which the table has, of a table; ``out`` is written over."""
    return table.take(rows, axis=0, out=out, mode="clip")


def _place(variable: str, columns: Mapping[str, Array]) -> Array:
    """Places (n,) on the axis of a variable."""
    first, size = RANGES[variable]
    whole = columns[variable].astype(np.int64, copy=False)
    return np.asarray(within(whole - first, 0, size - 1))


def _row(home: Sequence[str], places: Mapping[str, Array]) -> Array:
    """Row (n,) in the table over these variables."""
    row: Array | int = 0
    for v in home:
        row = row * RANGES[v][1] + places[v]
    return np.asarray(row)
