"""Bringing a table to the schema, and everything in it that the schema does not allow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import polars as pl

from pointsleft_models.plays.cells import TYPES
from pointsleft_models.plays.schema import BY_NAME, COLUMNS, REQUIRED, Column


class PlayTableError(ValueError):
    """A table that does not fit the schema; the message lists every fault."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a table, and the games in which it is."""

    text: str
    games: frozenset[str]

    @classmethod
    def at(cls, text: str, bad: pl.DataFrame) -> Fault:
        """A fault of the games of some rows."""
        return cls(text, frozenset(bad["game"].drop_nulls()))


def conform(table: pl.DataFrame) -> pl.DataFrame:
    """The table with every column of the schema, in order, absent ones empty.

    Raises
    ------
    PlayTableError
        A column cannot be read as its type.
    """
    unread = []
    out: list[pl.Expr | pl.Series] = []
    for column in COLUMNS:
        dtype = TYPES[column.kind]
        if column.name not in table.columns:
            out.append(pl.lit(None, dtype=dtype).alias(column.name))
            continue
        series = table.get_column(column.name)
        try:
            out.append(series.cast(dtype).alias(column.name))
        except pl.exceptions.PolarsError:
            bad = series.filter(series.cast(dtype, strict=False).is_null() & series.is_not_null())
            example = bad[0] if len(bad) else series.dtype
            unread.append(
                f"column {column.name}: {len(bad)} cells are no {column.kind}, e.g. {example!r}"
            )
    if unread:
        raise PlayTableError("the play table cannot be read:\n  " + "\n  ".join(unread))
    return table.select(out)


#: What every row must have.
ALWAYS = ("game", "season", "home", "away", "play", "kind", "period")

#: Start of the name of a column that marks cells of another which were told of already: they could
#: not be read, and are empty.
TOLD = "_told "


def faults(table: pl.DataFrame) -> list[Fault]:
    """Everything in a conformed table that the schema does not allow, one line a fault.

    Each line names the column, how many rows, and an example with game and play number. Cells
    marked in a column ``TOLD`` and their name are passed over.
    """
    found: list[Fault] = []

    def report(column: Column, bad: pl.DataFrame, expected: str) -> None:
        if len(bad):
            row = bad.row(0, named=True)
            text = (
                f"column {column.name}: {len(bad)} rows, e.g. {row[column.name]!r} in game "
                f"{row['game']!r} play {row['play']}; expected {expected}"
            )
            found.append(Fault.at(text, bad))

    for column in COLUMNS:
        if column.name not in table.columns:
            continue
        value = pl.col(column.name)
        if column.words:
            bad = table.filter(value.is_not_null() & ~value.is_in(column.words))
            report(column, bad, "one of " + ", ".join(column.words))
        if column.low is not None:
            bad = table.filter(value < column.low)
            report(column, bad, f"at least {column.low:g} {column.unit}".rstrip())
        if column.high is not None:
            bad = table.filter(value > column.high)
            report(column, bad, f"at most {column.high:g} {column.unit}".rstrip())
    for name in ALWAYS:
        told = pl.col(TOLD + name) if TOLD + name in table.columns else pl.lit(False)
        report(BY_NAME[name], table.filter(pl.col(name).is_null() & ~told), "a value")
    twice = table.filter(pl.struct("game", "play").is_duplicated())
    report(BY_NAME["play"], twice, "each play number once a game")
    beyond = table.filter(pl.col("distance") > pl.col("yards_to_goal"))
    report(BY_NAME["distance"], beyond, "no more than yards_to_goal")
    return found


def listed(found: Sequence[Fault], what: str = "the play table") -> str:
    """One message with every fault."""
    return f"{what} has faults:\n  " + "\n  ".join(fault.text for fault in found)


def refuse(found: Sequence[Fault], what: str = "the play table") -> None:
    """Raise one :class:`PlayTableError` with every fault found; nothing found, nothing done."""
    if found:
        raise PlayTableError(listed(found, what))


def validate(table: pl.DataFrame) -> pl.DataFrame:
    """Check a conformed table against the schema and give it back unchanged.

    Raises
    ------
    PlayTableError
        Names every column at fault, how many rows, and an example with game and play number.
    """
    missing = [name for name in REQUIRED if name not in table.columns]
    if missing:
        raise PlayTableError(
            f"the play table lacks the columns {', '.join(missing)}; see docs/play-table.md"
        )
    if len(table) == 0:
        raise PlayTableError("the play table has no rows")
    refuse(faults(table))
    return table
