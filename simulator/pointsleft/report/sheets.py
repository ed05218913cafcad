"""Tables of any rows: for a CSV file, a data frame, a sheet of a workbook.

One list of columns serves all three. A spreadsheet gets headings in words with units, win
probability in percent, figures rounded to four decimals, and text that no spreadsheet executes. A
data frame gets short names, win probability from 0 to 1 and full floats.
"""

from __future__ import annotations

import csv
import importlib
import io
import textwrap
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, Literal, TypeVar

from pointsleft.report.safe_text import clean, neutral_cell

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

#: Height of a line of headings, points.
LINE = 13.5

Cell = str | int | float | bool | None
Row = TypeVar("Row", contravariant=True)


@dataclass(frozen=True)  # no slots: they do not go with a class that takes a type
class Column(Generic[Row]):
    """A column: its name in a frame, its heading in a spreadsheet, how a cell is found, and the
    factor between the two (100 for what a spreadsheet shows in percent)."""

    name: str
    heading: str
    kind: Literal["text", "whole", "number", "yes-no"]
    cell: Callable[[Row], Cell]
    factor: float = 1.0
    wide: bool = False
    digits: int | None = None  # decimals shown in a workbook; 2, or 1 of a percentage


def shown(column: Column[Row], row: Row) -> Cell:
    """A cell as a spreadsheet shows it, text not yet neutralised."""
    value = column.cell(row)
    if column.kind == "yes-no" and value is not None:
        return "yes" if value else "no"
    if column.kind == "number" and isinstance(value, (int, float)):
        return round(float(value) * column.factor, 4) + 0.0
    if column.kind == "text" and value is not None:
        return clean(str(value))
    return value


def csv_text(columns: Sequence[Column[Row]], rows: Sequence[Row]) -> str:
    """The rows as CSV: headings in words with units.

    Cells that a spreadsheet would execute begin with an apostrophe; unknown is empty.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([c.heading for c in columns])
    for row in rows:
        cells = (shown(c, row) for c in columns)
        writer.writerow(
            ["" if v is None else neutral_cell(v) if isinstance(v, str) else v for v in cells]
        )
    return out.getvalue()


def frame(columns: Sequence[Column[Row]], rows: Sequence[Row], library: str) -> Any:
    """The rows as a data frame of ``polars`` or ``pandas``.

    pandas must be installed where it is asked for; pointsleft does not bring it.

    Raises
    ------
    ValueError
        Any other library is asked for.
    """
    data = {c.name: [c.cell(r) for r in rows] for c in columns}
    if library == "pandas":
        return importlib.import_module("pandas").DataFrame(data)
    if library == "polars":
        import polars

        kinds: dict[str, Any] = {
            "text": polars.String,
            "whole": polars.Int64,
            "number": polars.Float64,
            "yes-no": polars.Boolean,
        }
        return polars.DataFrame(data, schema={c.name: kinds[c.kind] for c in columns}, strict=False)
    raise ValueError(f"{library!r} makes no data frame here; there is polars and pandas")


def fill(sheet: Worksheet, columns: Sequence[Column[Row]], rows: Sequence[Row]) -> None:
    """Write the rows into an empty sheet of a workbook.

    Text cells are stored as text, so nothing in them is executed.
    """
    from openpyxl.styles import Alignment, Font
    from openpyxl.utils import get_column_letter

    for place, column in enumerate(columns, start=1):
        head = sheet.cell(1, place, column.heading)
        head.font = Font(bold=True)
        side = "right" if column.kind in ("number", "whole") else "left"
        head.alignment = Alignment(wrap_text=True, vertical="top", horizontal=side)
        sheet.column_dimensions[get_column_letter(place)].width = _width(column)
        for at, row in enumerate(rows, start=2):
            value = shown(column, row)
            cell = sheet.cell(at, place)
            if isinstance(value, str):
                # A workbook holds no control characters; the type keeps "=1+1" from running.
                cell.value = value
                cell.data_type = "s"
                cell.quotePrefix = value != neutral_cell(value)
            else:
                cell.value = value
                if column.kind == "number":
                    usual = 2 if column.factor == 1 else 1
                    digits = usual if column.digits is None else column.digits
                    cell.number_format = "0." + "0" * digits
    # not every program makes a row as high as its wrapped headings
    sheet.row_dimensions[1].height = LINE * max(_lines(c) for c in columns)
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = sheet.dimensions


def _width(column: Column[Row]) -> int:
    """Of a column, in letters."""
    return 34 if column.wide else 14


def _lines(column: Column[Row]) -> int:
    """Lines of a heading, bold letters being wide."""
    return len(textwrap.wrap(column.heading, _width(column) - 3)) or 1
