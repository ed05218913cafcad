"""Participation data (who was where, and how long it took) joined to a play table.

The only place that knows that table's own column names. It comes from ``nflreadpy`` or from a
Parquet or CSV file of the same shape. Credit asked for by its licence: see :data:`CREDIT`.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import polars as pl

from pointsleft_models.plays import cells
from pointsleft_models.plays.files import FileError, opened
from pointsleft_models.plays.schema import Column

CREDIT = "Participation data: NFL NextGenStats via nflverse, CC BY-SA 4.0"

_SHELLS = {
    "COVER_0": "zero",
    "COVER_1": "one-deep man",
    "COVER_2": "two-deep",
    "2_MAN": "two-deep man",
    "COVER_3": "three-deep",
    "COVER_4": "quarters",
    "COVER_6": "quarter-quarter-half",
    "PREVENT": "prevent",
}

_WANTED = {
    "old_game_id": "text", "play_id": "int", "defenders_in_box": "int",
    "number_of_pass_rushers": "int", "time_to_throw": "float", "was_pressure": "bool",
    "route": "text", "defense_man_zone_type": "text", "defense_coverage_type": "text",
}  # fmt: skip

#: First season that has such data.
FIRST_SEASON = 2016

#: Columns of the neutral table that this source fills.
FILLED = ("pressured", "ball_out_seconds", "route", "shell", "man", "box", "rushers")


class ParticipationError(ValueError):
    """A participation table that cannot be used; the message says what is missing."""


def wanted_columns() -> tuple[str, ...]:
    """The source's columns that are read."""
    return tuple(_WANTED)


def read_participation_file(path: str | Path) -> pl.DataFrame:
    """Read a participation table from Parquet or CSV.

    Raises
    ------
    ParticipationError
        Not there, not readable, or without the columns wanted.
    """
    try:
        with opened(path) as file:
            lacking = _lacking(file.columns)
            if lacking:
                raise ParticipationError(f"participation file {path}: {lacking}")
            return file.collect(file.frame.select(*_WANTED))
    except FileError as error:
        raise ParticipationError(f"participation file {error}") from None


def _lacking(columns: Sequence[str]) -> str:
    missing = [name for name in _WANTED if name not in columns]
    if not missing:
        return ""
    return f"the participation table lacks {', '.join(missing)}; it has {', '.join(columns[:40])}"


def _typed(frame: pl.DataFrame) -> pl.DataFrame:
    """The wanted columns, each of its kind.

    Raises
    ------
    ParticipationError
        Names the columns that are missing or hold something else.
    """
    lacking = _lacking(frame.columns)
    if lacking:
        raise ParticipationError(lacking)
    columns = [Column(name, kind, "") for name, kind in _WANTED.items()]
    typed = frame.select(
        cells.value(column, frame.schema[column.name]).alias(column.name) for column in columns
    )
    faults = []
    for column in columns:
        raw = frame.select(cells.cleaned(column.name, frame.schema[column.name])).to_series()
        bad = raw.filter(raw.is_not_null() & typed[column.name].is_null())
        if len(bad):
            faults.append(
                f"column {column.name}: {len(bad)} cells, e.g. {bad[0]!r}; expected "
                f"{cells.ACCEPTED[column.kind]}"
            )
    if faults:
        raise ParticipationError("the participation table has faults:\n  " + "\n  ".join(faults))
    return typed


def neutral_participation(frame: pl.DataFrame) -> pl.DataFrame:
    """The source's table with our names: ``game``, ``play`` and :data:`FILLED`.

    Raises
    ------
    ParticipationError
        Columns are missing or hold something else.
    """
    seconds = pl.col("time_to_throw")
    return (
        _typed(frame)
        .select(
            game="old_game_id",
            play="play_id",
            pressured="was_pressure",
            ball_out_seconds=pl.when(seconds > 0).then(seconds),
            route=pl.col("route").str.to_lowercase(),
            shell=pl.col("defense_coverage_type").replace_strict(
                _SHELLS, default=None, return_dtype=pl.String
            ),
            man=pl.col("defense_man_zone_type") == "MAN_COVERAGE",
            box="defenders_in_box",
            rushers="number_of_pass_rushers",
        )
        .unique(["game", "play"], keep="first", maintain_order=True)
    )


def join_participation(plays: pl.DataFrame, participation: pl.DataFrame) -> pl.DataFrame:
    """Fill the participation columns of a play table where game and play number meet."""
    kept = [name for name in plays.columns if name not in FILLED]
    joined = plays.select(kept).join(
        neutral_participation(participation),
        on=["game", "play"],
        how="left",
        maintain_order="left",
    )
    return joined.select(plays.columns)
