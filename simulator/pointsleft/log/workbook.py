"""A log as one spreadsheet workbook (XLSX). Formulas are never evaluated."""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Any

from pointsleft.log.cells import FORMULA, text_of, unguard
from pointsleft.log.csv_folder import too_large
from pointsleft.log.faults import Fault
from pointsleft.log.sheets import (
    LONGEST_CELL,
    MOST_BYTES,
    MOST_COLUMNS,
    MOST_ROWS,
    RawSheet,
    tidy,
)

#: Largest size of a workbook once unpacked, and how much it may grow.
MOST_UNPACKED = 150_000_000
MOST_GROWTH = 200
MOST_PARTS = 2_000

_BROKEN = (
    "a whole workbook; this one is damaged or cut short. Open it, save it again, or send it anew"
)


def read_workbook(path: Path) -> tuple[list[RawSheet], list[Fault], list[str]]:
    """Every sheet of a workbook as text cells, with faults and warnings.

    A cell with a formula comes back as its text behind the mark :data:`FORMULA`.
    """
    size = path.stat().st_size
    if size > MOST_BYTES:
        return [], [too_large(path.name, size)], []
    fault = _unsafe(path)
    if fault is not None:
        return [], [fault], []
    from openpyxl import load_workbook

    try:
        book = load_workbook(path, read_only=True, data_only=False, keep_links=False)
    except Exception:  # whatever a damaged part makes the library raise
        return [], [Fault(path.name, None, None, "", _BROKEN)], []
    sheets: list[RawSheet] = []
    faults: list[Fault] = []
    try:
        for page in book.worksheets:
            sheet, found = _page(page)
            sheets.append(sheet)
            faults += found
    except Exception:  # whatever a damaged part makes the library raise
        faults.append(Fault(path.name, None, None, "", _BROKEN))
    finally:
        book.close()
    return sheets, faults, []


def _unsafe(path: Path) -> Fault | None:
    """What makes a workbook unfit to open at all."""
    try:
        with zipfile.ZipFile(path) as packed:
            parts = packed.infolist()
    except (zipfile.BadZipFile, OSError, EOFError, ValueError):
        return Fault(path.name, None, None, "", _BROKEN)
    unpacked = sum(part.file_size for part in parts)
    packed_size = max(1, path.stat().st_size)
    if unpacked > MOST_UNPACKED or len(parts) > MOST_PARTS or (
        unpacked > 10_000_000 and unpacked > MOST_GROWTH * packed_size
    ):  # fmt: skip
        return Fault(
            path.name,
            None,
            None,
            f"{unpacked / 1e6:.0f} MB once unpacked",
            f"at most {MOST_UNPACKED / 1e6:.0f} MB unpacked, and not {MOST_GROWTH} times the file",
        )
    return None


def _page(page: Any) -> tuple[RawSheet, list[Fault]]:
    faults: list[Fault] = []
    rows: list[list[str]] = []
    numbers: list[int] = []
    header: list[str] = []
    page.reset_dimensions()
    for number, cells in enumerate(page.iter_rows(), start=1):
        if number > MOST_ROWS:
            if any(cell.value is not None for cell in cells):
                faults.append(Fault(page.title, number, None, "", f"at most {MOST_ROWS} rows"))
            break
        texts = [_text(cell) for cell in cells]
        while texts and not texts[-1]:
            texts.pop()
        if len(texts) > MOST_COLUMNS:
            faults.append(
                Fault(page.title, number, None, f"{len(texts)} cells",
                      f"at most {MOST_COLUMNS} columns")
            )  # fmt: skip
            break
        for place, text in enumerate(texts):
            if len(text) > LONGEST_CELL:
                column = header[place] if place < len(header) else ""
                faults.append(
                    Fault(page.title, number, column, text, f"at most {LONGEST_CELL} characters")
                )
        if number == 1:
            header = texts
        else:
            rows.append(texts)
            numbers.append(number)
    return tidy(page.title, header, rows, numbers), faults


def _text(cell: Any) -> str:
    if cell.value is None:
        return ""
    if cell.data_type == "f":
        return FORMULA + str(cell.value)
    return unguard(text_of(cell.value, cell.number_format or ""))
