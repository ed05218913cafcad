"""Writing a log, whole or not at all, never over what was read.

Cells that a spreadsheet would execute get a leading apostrophe, which reading takes off again.
"""

from __future__ import annotations

import csv
import io
import os
import re
import tempfile
from collections.abc import Callable
from pathlib import Path

from pointsleft.log.cells import guard
from pointsleft.log.record import LoggedGame
from pointsleft.log.schema import plain
from pointsleft.log.sheets import RawLog, RawSheet
from pointsleft.log.spelling import sheets_of

#: Least widths of workbook columns in which much is typed, in characters.
WIDE = {"options": 28, "note": 40, "value": 36, "concept": 14, "family": 12}

_WHOLE = re.compile(r"^(0|-?[1-9]\d{0,8})$")

#: Characters that XML cannot hold.
_NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")

#: What a workbook does not allow in the name of a sheet.
_NOT_IN_NAMES = re.compile(r"[\[\]:*?/\\]")


class WriteError(ValueError):
    """A log that cannot be written there; the message says why and what to do."""


def write_log(log: RawLog | LoggedGame, path: str | Path) -> Path:
    """Write a log as a workbook (a path ending in ``.xlsx``) or as a folder of CSV files.

    Sheets as read are written unchanged, unknown columns and sheets included; a logged game is
    spelt out in full.

    Raises
    ------
    WriteError
        Something lies there already: nothing is ever overwritten.
    """
    raw = log if isinstance(log, RawLog) else sheets_of(log)
    target = Path(path)
    if target.suffix.lower() == ".xlsx":
        refuse_existing(target)
        atomically(target, lambda place: _save_workbook(raw, place))
        return target
    if target.suffix:
        raise WriteError(f"{target.name}: give a folder, or a file that ends in .xlsx")
    files = [(target / f"{file_name(sheet.name)}.csv", sheet) for sheet in raw.sheets]
    for file, _ in files:
        refuse_existing(file)
    target.mkdir(parents=True, exist_ok=True)
    made: list[Path] = []
    try:
        for file, sheet in files:
            data = csv_text(sheet).encode("utf-8")
            atomically(file, lambda place, data=data: place.write_bytes(data))  # type: ignore[misc]
            made.append(file)
    except BaseException:
        for file in made:
            file.unlink(missing_ok=True)
        raise
    return target


def refuse_existing(path: Path) -> None:
    """Never overwrite.

    Raises
    ------
    WriteError
        The path exists.
    """
    if path.exists():
        raise WriteError(
            f"{path} is there already and is not overwritten; give another name or move it away"
        )


def file_name(name: str) -> str:
    """A sheet's name as a file name."""
    cleaned = re.sub(r"[^\w .()-]", "_", name).strip(" .")
    return cleaned or "sheet"


def csv_text(sheet: RawSheet) -> str:
    """A sheet as CSV text; rows that were blank stay where they were."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([guard(h) for h in sheet.header])
    line = 1
    for number, row in zip(sheet.numbers, sheet.rows, strict=True):
        for _ in range(number - line - 1):
            writer.writerow([""] * len(sheet.header))
        writer.writerow([guard(cell) for cell in row])
        line = number
    return out.getvalue()


def atomically(target: Path, save: Callable[[Path], object]) -> None:
    """Write beside the target and move into place, so that no half file is ever there."""
    target.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=".", suffix=target.suffix or ".part")
    os.close(handle)
    place = Path(name)
    try:
        save(place)
        place.chmod(0o644)
        # A hard link fails where the target has appeared meanwhile; a rename would replace it.
        try:
            os.link(place, target)
        except FileExistsError:
            refuse_existing(target)
        except OSError:
            os.replace(place, target)
    finally:
        place.unlink(missing_ok=True)


def _save_workbook(raw: RawLog, place: Path) -> None:
    from openpyxl import Workbook
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.properties import PageSetupProperties

    book = Workbook()
    book.remove(book.active)
    for sheet in raw.sheets:
        page = book.create_sheet(_NOT_IN_NAMES.sub("_", sheet.name)[:31] or "sheet")
        lines = [(1, sheet.header), *zip(sheet.numbers, sheet.rows, strict=True)]
        for number, row in lines:
            for column, text in enumerate(row, start=1):
                if text:
                    _put(page.cell(number, column), text)
        for cell in page[1] if sheet.header else ():
            cell.font = Font(bold=True)
        page.freeze_panes = "B2" if sheet.key in ("snaps", "options", "concepts") else "A2"
        for column, title in enumerate(sheet.header, start=1):
            letter = get_column_letter(column)
            page.column_dimensions[letter].width = _room(
                title, [row[column - 1] for _, row in lines]
            )
        page.page_setup.orientation = "landscape"
        page.page_setup.fitToHeight = 0
        page.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    book.save(place)


def _room(title: str, cells: list[str]) -> int:
    """Width of a column: its longest cell, a cell of options wider, none out of all measure."""
    least = WIDE.get(plain(title), 8)
    return max(least, len(title) + 3, min(60, max(map(len, cells), default=0) + 2))


def _put(cell: object, text: str) -> None:
    """Whole numbers as numbers, everything else as text that nothing turns into another."""
    from openpyxl.cell import Cell

    if not isinstance(cell, Cell):
        raise TypeError("not a cell of a workbook")
    if _WHOLE.match(text):
        cell.value = int(text)
        return
    cell.value = _NOT_XML.sub("\ufffd", guard(text))
    cell.data_type = "s"
    cell.number_format = "@"
