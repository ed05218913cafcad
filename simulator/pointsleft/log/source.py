"""Finding a log on disk: a folder of CSV files or a workbook, read into text cells."""

from __future__ import annotations

from pathlib import Path

from pointsleft.log.cells import FORMULA, is_error
from pointsleft.log.csv_folder import read_folder
from pointsleft.log.faults import Fault, LogFaults, shown
from pointsleft.log.schema import GAME_COLUMNS, REQUIRED_SHEETS, by_name, columns, plain
from pointsleft.log.sheets import RawLog, RawSheet
from pointsleft.log.workbook import read_workbook

WORKBOOKS = (".xlsx", ".xlsm")


def load(path: str | Path) -> tuple[RawLog, list[Fault]]:
    """The sheets of a log, and what is wrong with them as sheets.

    A log is a folder that holds ``game.csv`` and ``snaps.csv`` (and, when wanted,
    ``options.csv``, ``concepts.csv``), or an XLSX workbook with sheets of these names.
    """
    place = Path(path)
    faults: list[Fault]
    if not place.exists():
        what = "a folder with game.csv and snaps.csv, or an .xlsx workbook; there is nothing here"
        return RawLog((), str(place)), [Fault(place.name or str(place), None, None, "", what)]
    if place.is_dir():
        sheets, faults, warnings = read_folder(place)
    elif place.suffix.lower() in WORKBOOKS:
        sheets, faults, warnings = read_workbook(place)
    else:
        what = "a folder with game.csv and snaps.csv, or an .xlsx workbook"
        if place.suffix.lower() == ".csv":
            what += f"; give the folder that holds {place.name}"
        return RawLog((), str(place)), [Fault(place.name, None, None, place.suffix, what)]
    log = RawLog(tuple(sheets), str(place), tuple(warnings))
    unread = {plain(f.sheet) for f in faults}
    unread |= {plain(place.name)} if faults else set()
    if not (place.is_file() and faults):
        faults += _missing(log, place, unread)
    for sheet in log.sheets:
        faults += _headers(sheet) + _damaged(sheet)
    return log, faults


def read_sheets(path: str | Path) -> RawLog:
    """The sheets of a log as text, unknown columns and sheets included.

    Raises
    ------
    LogFaults
        The files cannot be read as sheets.
    """
    log, faults = load(path)
    if faults:
        raise LogFaults(faults, Path(path).name)
    return log


def _missing(log: RawLog, place: Path, unread: set[str]) -> list[Fault]:
    form = "a sheet named {}" if place.is_file() else "a file named {}.csv"
    have = ", ".join(s.name for s in log.sheets) or "none"
    faults = [
        Fault(name, None, None, f"only: {have}", form.format(name))
        for name in REQUIRED_SHEETS
        if log.sheet(name) is None and name not in unread
    ]
    for sheet in log.sheets:
        if sum(s.key == sheet.key for s in log.sheets) > 1:
            faults.append(Fault(sheet.name, None, None, sheet.name, "one sheet of this name"))
    return faults


def _headers(sheet: RawSheet) -> list[Fault]:
    if sheet.key not in (*REQUIRED_SHEETS, "options", "concepts"):
        return []
    faults = []
    names = [plain(h) for h in sheet.header]
    for place, name in enumerate(names):
        if not name and any(row[place].strip() for row in sheet.rows):
            faults.append(Fault(sheet.name, 1, f"column {place + 1}", "", "a header"))
        if name and name in names[:place]:
            faults.append(
                Fault(sheet.name, 1, sheet.header[place], sheet.header[place], "this column once")
            )
    usual = [plain(c.name) for c in columns(sheet.key) if c.core]
    listed = list(GAME_COLUMNS) if sheet.key == "game" else usual
    known = set(GAME_COLUMNS) if sheet.key == "game" else set(by_name(sheet.key))
    if not known & set(names):
        faults.append(
            Fault(
                sheet.name,
                1,
                None,
                ", ".join(sheet.header[:8]) or "",
                "headers in the first row, of which at least one is known: "
                + ", ".join(listed[:12]),
            )
        )
    return faults


def _damaged(sheet: RawSheet) -> list[Fault]:
    """Formulas and error marks, wherever they stand."""
    faults = []
    for number, row in sheet.numbered():
        for column, cell in row.items():
            if cell.startswith(FORMULA):
                found = cell.removeprefix(FORMULA)
                expected = (
                    "the value itself; a formula is never evaluated (to keep it as text, "
                    "write an apostrophe before it)"
                )
                faults.append(Fault(sheet.name, number, column, shown(found), expected))
            elif is_error(cell):
                expected = "the value itself; this is the error mark of a spreadsheet"
                faults.append(Fault(sheet.name, number, column, cell, expected))
    return faults
