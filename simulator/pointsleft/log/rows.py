"""Rows of a sheet with every cell read by its column, faults and warnings gathered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

from pointsleft.log.cells import FORMULA, CellError
from pointsleft.log.faults import Fault
from pointsleft.log.parse import Ambiguous, read_cell
from pointsleft.log.schema import Column, by_name, plain
from pointsleft.log.sheets import RawSheet

#: How alike a header must be to one of ours to be taken for a slip of the pen, 0 to 1.
NEARLY = 0.8


@dataclass(slots=True)
class Findings:
    """What reading a log has found so far."""

    faults: list[Fault] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)

    def fault(self, row: Row, name: str, expected: str) -> None:
        """A fault in a cell of a row, by the name of its value in the record."""
        self.faults.append(Fault(row.sheet, row.number, row.header(name), row.text(name), expected))


@dataclass(frozen=True, slots=True)
class Row:
    """One row.

    Attributes
    ----------
    values
        What was read, by the name of the value in the record; blanks and faults are absent.
    texts
        Cells that are not blank, by the same names.
    bad
        Names whose cell could not be read.
    extra
        Cells of columns that are not ours, by header as written.
    """

    sheet: str
    number: int
    values: Mapping[str, object]
    texts: Mapping[str, str]
    bad: frozenset[str]
    extra: Mapping[str, str]
    headers: Mapping[str, str]

    def header(self, name: str) -> str:
        """The column of a value as the sheet writes it."""
        return self.headers.get(name, name)

    def text(self, name: str) -> str:
        return self.texts.get(name, "")

    def has(self, name: str) -> bool:
        """Whether the cell is not blank, readable or not."""
        return name in self.texts


def column_names(sheet: str) -> dict[str, str]:
    """Column of each value of the record."""
    return {c.field: c.name for c in by_name(sheet).values()}


def read_rows(sheet: RawSheet, findings: Findings) -> list[Row]:
    """Every row of a sheet; cells that cannot be read become faults."""
    known = by_name(sheet.key)
    columns = [(header, known.get(plain(header))) for header in sheet.header]
    headers = column_names(sheet.key) | {c.field: header for header, c in columns if c is not None}
    findings.warnings += _misspelt(sheet)
    return [
        _row(sheet, number, cells, columns, headers, findings)
        for number, cells in zip(sheet.numbers, sheet.rows, strict=True)
    ]


def _misspelt(sheet: RawSheet) -> list[str]:
    """Headers that are not ours but nearly so: kept as written, and named."""
    known = by_name(sheet.key)
    absent = [name for name in known if name not in map(plain, sheet.header)]
    found = []
    for header in sheet.header:
        near = get_close_matches(plain(header), absent, 1, NEARLY)
        if near and plain(header) not in known:
            found.append(
                f"{sheet.name}, row 1: {header!r} is kept as a column of your own and not read; "
                f"if {known[near[0]].name!r} is meant, write it so"
            )
    return found


def _row(
    sheet: RawSheet,
    number: int,
    cells: tuple[str, ...],
    columns: list[tuple[str, Column | None]],
    headers: Mapping[str, str],
    findings: Findings,
) -> Row:
    values: dict[str, object] = {}
    texts: dict[str, str] = {}
    extra: dict[str, str] = {}
    bad: set[str] = set()
    for cell, (header, column) in zip(cells, columns, strict=True):
        if not cell.strip():
            continue
        if column is None:
            extra[header] = cell
            continue
        texts[column.field] = cell
        if cell.startswith(FORMULA):
            # Reported with the sheet; never read.
            bad.add(column.field)
            continue
        try:
            value, warning = read_cell(column, cell)
        except Ambiguous as error:
            # The row above may tell whose side it is on.
            values[column.field] = error
            continue
        except CellError as error:
            bad.add(column.field)
            findings.faults.append(Fault(sheet.name, number, header, cell, str(error)))
            continue
        values[column.field] = value
        if warning:
            findings.warnings.append(f"{sheet.name}, row {number}, {header}: {warning}")
    return Row(sheet.name, number, values, texts, frozenset(bad), extra, headers)


def missing_required(row: Row, findings: Findings) -> None:
    """Faults for blanks in columns that must be filled."""
    for column in by_name(plain(row.sheet)).values():
        if column.required and not row.has(column.field):
            findings.fault(row, column.field, column.accepts or "a value; it may not be blank")
