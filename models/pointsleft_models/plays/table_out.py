"""Writing a play table to a file that :mod:`~pointsleft_models.plays.own` reads back the same."""

from __future__ import annotations

import io
from pathlib import Path

import polars as pl

from pointsleft_models.plays.cache import put_whole
from pointsleft_models.plays.cells import FORMULA

SUFFIXES = (".parquet", ".csv")


def write_plays(plays: pl.DataFrame, path: str | Path) -> None:
    """Write a table as Parquet or CSV, by the suffix; whole or not at all.

    In CSV, text that a spreadsheet would run as a formula gets an apostrophe in front, which
    reading takes off.

    Raises
    ------
    ValueError
        Another suffix.
    OSError
        The folder is not there or cannot be written to.
    """
    path = Path(path)
    suffix = path.suffix.lower()
    if suffix not in SUFFIXES:
        raise ValueError(f"{path}: a play table is written as {' or '.join(SUFFIXES)}")
    buffer = io.BytesIO()
    if suffix == ".parquet":
        plays.write_parquet(buffer)
    else:
        guarded = pl.col(pl.String).str.replace(FORMULA, "'$1$2")
        plays.with_columns(guarded).write_csv(buffer)
    put_whole(path, buffer.getvalue())
