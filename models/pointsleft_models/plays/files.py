"""Opening a CSV or Parquet file lazily, whatever a spreadsheet did to it.

Undone here: byte-order mark, UTF-16, semicolons or tabs for commas, headers in any case with
blanks, dashes or underscores. Nothing but the header is read until the frame is collected.
"""

from __future__ import annotations

import codecs
import csv
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import polars as pl

TEXT_SUFFIXES = (".csv", ".tsv", ".txt")
SUFFIXES = (*TEXT_SUFFIXES, ".parquet")

#: Row of the file, the header being row 1 (Parquet: the first row of data is 1).
ROW = "_row"

_SEPARATORS = (",", ";", "\t", "|")
_HEAD_BYTES = 1 << 16


class FileError(ValueError):
    """A file that cannot be read as a table; the message says why and what to do."""


@dataclass(frozen=True)
class Opened:
    """A file's columns, still unread: until :attr:`frame` is asked for, only the header is known.

    Attributes
    ----------
    scan
        Starts reading.
    columns
        Plain names (lower case, underscores).
    decimal_comma
        Numbers may be written with a comma.
    """

    path: Path
    scan: Callable[[], pl.LazyFrame]
    columns: tuple[str, ...]
    decimal_comma: bool

    @cached_property
    def frame(self) -> pl.LazyFrame:
        """The columns and :data:`ROW`."""
        try:
            return self.scan()
        except (OSError, pl.exceptions.PolarsError) as error:
            raise FileError(_diagnosis(self.path, error)) from None

    def collect(self, frame: pl.LazyFrame) -> pl.DataFrame:
        """Read what ``frame``, made from :attr:`frame`, asks for; in pieces, to spare memory.

        Raises
        ------
        FileError
            Bytes that are no UTF-8, lines with more cells than the header, damage.
        """
        try:
            return frame.collect(engine="streaming")
        except (OSError, pl.exceptions.PolarsError) as error:
            raise FileError(_diagnosis(self.path, error)) from None


def plain(name: str) -> str:
    """A header as it is compared: lower case, underscores for blanks and dashes."""
    name = "".join(c if c.isprintable() else " " for c in name)
    return "_".join(name.strip().lower().replace("-", " ").replace("_", " ").split())


@contextmanager
def opened(path: str | Path) -> Iterator[Opened]:
    """Open a table file; use it inside the ``with``.

    Raises
    ------
    FileError
        Not there, empty, of another kind, or with a column twice.
    """
    path = Path(path)
    if not path.is_file():
        raise FileError(f"{path}: no such file")
    if path.suffix.lower() not in SUFFIXES:
        raise FileError(f"{path}: not {', '.join(SUFFIXES[:-1])} or {SUFFIXES[-1]}")
    if path.stat().st_size == 0:
        raise FileError(f"{path}: the file is empty")
    if path.suffix.lower() == ".parquet":
        yield _parquet(path)
        return
    with _utf8(path) as readable:
        yield _text(path, readable)


def _parquet(path: Path) -> Opened:
    try:
        frame = pl.scan_parquet(path)
        names = frame.collect_schema().names()
    except (OSError, pl.exceptions.PolarsError) as error:
        raise FileError(f"{path} is no readable Parquet file: {_first_line(error)}") from None
    renamed = _plain_names(path, names)
    renamed_frame = frame.rename(renamed).with_row_index(ROW, 1)
    return Opened(path, lambda: renamed_frame, tuple(renamed.values()), False)


def _text(path: Path, readable: Path) -> Opened:
    with readable.open("rb") as file:
        head = file.read(_HEAD_BYTES).removeprefix(codecs.BOM_UTF8)
    line = head.split(b"\n", 1)[0].decode("utf-8", errors="replace").rstrip("\r")
    separator = max(_SEPARATORS, key=line.count)
    names = next(csv.reader([line], delimiter=separator), [])
    if not any(name.strip() for name in names):
        raise FileError(f"{path}: the first line must name the columns; it is blank")
    # columns without a header carry nothing we know
    headers = [name if name.strip() else f"_blank_{at}" for at, name in enumerate(names)]
    renamed = _plain_names(path, headers)
    columns = tuple(renamed.values())

    def scan() -> pl.LazyFrame:
        return pl.scan_csv(
            readable,
            separator=separator,
            infer_schema=False,
            with_column_names=lambda found: list(columns),
            row_index_name=ROW,
            row_index_offset=2,
        )

    return Opened(path, scan, columns, separator != ",")


def _plain_names(path: Path, names: list[str]) -> dict[str, str]:
    renamed: dict[str, str] = {}
    twice = []
    for name in names:
        if name in renamed or plain(name) in renamed.values():
            twice.append(name)
        renamed[name] = plain(name)
    if twice:
        raise FileError(f"{path}: the file has the column {', '.join(twice)} more than once")
    return renamed


@contextmanager
def _utf8(path: Path) -> Iterator[Path]:
    """The file itself, or a copy in UTF-8 of one in UTF-16 (spreadsheets' "Unicode text")."""
    with path.open("rb") as file:
        start = file.read(2)
    if start not in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE):
        yield path
        return
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "utf8.csv"
        try:
            with (
                path.open(encoding="utf-16", newline="") as source,
                copy.open("w", encoding="utf-8", newline="") as target,
            ):
                shutil.copyfileobj(source, target, 1 << 20)
        except UnicodeError as error:
            raise FileError(f"{path}: begins as UTF-16 but cannot be read so: {error}") from None
        yield copy


def _first_line(error: BaseException) -> str:
    return str(error).strip().splitlines()[0] if str(error).strip() else type(error).__name__


def _diagnosis(path: Path, error: BaseException) -> str:
    """Why a text file could not be read, with the line at fault where there is one."""
    line = None
    if path.suffix.lower() in TEXT_SUFFIXES:
        line = _not_utf8(path) or _too_long(path)
    return line or f"{path} cannot be read: {_first_line(error)}"


def _not_utf8(path: Path) -> str | None:
    with path.open("rb") as file:
        for number, line in enumerate(file, start=1):
            try:
                line.decode("utf-8")
            except UnicodeDecodeError as wrong:
                return (
                    f"{path}: line {number} is not UTF-8 (byte 0x{line[wrong.start]:02x}); "
                    "save the file as CSV UTF-8"
                )
    return None


def _too_long(path: Path) -> str | None:
    with path.open(encoding="utf-8-sig", newline="") as file:
        separator = max(_SEPARATORS, key=file.readline().count)
        file.seek(0)
        reader = csv.reader(file, delimiter=separator)
        try:
            wanted = len(next(reader))
            for cells in reader:
                if len(cells) > wanted:
                    return (
                        f"{path}: line {reader.line_num} has {len(cells)} cells, the header "
                        f"{wanted}; a cell that holds a {separator!r} must stand in quotes"
                    )
        except csv.Error as wrong:
            return f"{path}: line {reader.line_num} is no CSV: {wrong}"
    return None
