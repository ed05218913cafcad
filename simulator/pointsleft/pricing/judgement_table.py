"""The one table of judgements: every figure of the pricing that is not a fit.

``judgements.csv`` is the truth; docs/judgements.md is written from it and the output names the
codes it used.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True)
class Judgement:
    """One row: a value with its range, what it is, why, and where it comes from."""

    code: str
    text: str
    low_text: str
    high_text: str
    unit: str
    what: str
    why: str
    source: str

    @property
    def value(self) -> float:
        return float(self.text)

    @property
    def low(self) -> float:
        return float(self.low_text)

    @property
    def high(self) -> float:
        return float(self.high_text)


@cache
def judgements() -> dict[str, Judgement]:
    """Every judgement by its code."""
    text = files(__package__).joinpath("judgements.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(text.splitlines())
    return {
        row["code"]: Judgement(
            row["code"], row["value"], row["low"], row["high"], row["unit"], row["what"],
            row["why"], row["source"],
        )
        for row in rows
    }  # fmt: skip


_OTHERWISE: ContextVar[Mapping[str, Judgement] | None] = ContextVar("_OTHERWISE", default=None)


def judged(code: str) -> Judgement:
    """One judgement.

    >>> judged("rush.reaction").value
    0.2
    """
    otherwise = _OTHERWISE.get()
    if otherwise is not None and code in otherwise:
        return otherwise[code]
    return judgements()[code]


@contextmanager
def judged_otherwise(rows: Mapping[str, Judgement]) -> Iterator[None]:
    """Other rows in place of those of the table, to see what hangs on them.

    Parameters
    ----------
    rows
        Code -> row.

    Raises
    ------
    KeyError
        A code that the table does not have.
    """
    unknown = sorted(set(rows) - set(judgements()))
    if unknown:
        raise KeyError(f"no judgement {', '.join(unknown)} in judgements.csv")
    before = _OTHERWISE.set(rows)
    try:
        yield
    finally:
        _OTHERWISE.reset(before)
