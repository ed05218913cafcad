"""A log as a folder of CSV files, whatever a spreadsheet made of them."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from pointsleft.log.cells import FORMULA, is_formula, unguard
from pointsleft.log.faults import Fault
from pointsleft.log.sheets import (
    LONGEST_CELL,
    MOST_BYTES,
    MOST_COLUMNS,
    MOST_ROWS,
    RawSheet,
    tidy,
)

#: Marks of print that office programs put into text.
_PRINT_MARKS = "‘’“”–—…€´°½¼¾×·•«»¿¡ß"


class Unreadable(ValueError):
    """A file that cannot be read at all; the message says what to do."""


def decode(data: bytes) -> tuple[str, str]:
    """Text of a file and the encoding it was in.

    UTF-8 (with or without its mark) and UTF-16 are certain. Anything else is taken as the
    Western office code page only when every odd character is then a letter beside letters or a
    mark of print.

    Raises
    ------
    Unreadable
        The encoding cannot be told.
    """
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return data.decode("utf-16"), "utf-16"
        except UnicodeDecodeError:
            raise Unreadable(
                "the whole file; it begins as UTF-16 but breaks off. Save it again as CSV UTF-8"
            ) from None
    if b"\x00" in data:
        for encoding, first in (("utf-16-le", 1), ("utf-16-be", 0)):
            if data[first:400:2].count(0) > len(data[first:400:2]) * 0.6 and len(data) % 2 == 0:
                return data.decode(encoding, errors="strict"), encoding
        raise Unreadable("a text file; this one holds zero bytes. Save the sheet as CSV UTF-8")
    try:
        return data.decode("utf-8-sig"), "utf-8"
    except UnicodeDecodeError:
        pass
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError:
        text = ""
    if text and all(_western(text, i) for i, c in enumerate(text) if ord(c) > 127):
        return text, "cp1252"
    raise Unreadable("UTF-8 text; the encoding of this file cannot be told. Save it as CSV UTF-8")


def _western(text: str, place: int) -> bool:
    character = text[place]
    if character in _PRINT_MARKS or character == "\u00a0":
        return True
    beside = text[max(0, place - 1) : place] + text[place + 1 : place + 2]
    if not character.isalpha():
        return False
    lower_before = text[max(0, place - 1) : place].islower()
    return not (character.isupper() and lower_before) and any(c.isalpha() for c in beside)


def separator(text: str) -> str:
    """The separator of a CSV text: the one its header is made with."""
    line = text.lstrip("\r\n").split("\n", 1)[0]
    if line.lower().startswith("sep=") and len(line.strip()) == 5:
        return line.strip()[4]
    outside = "".join(piece for i, piece in enumerate(line.split('"')) if i % 2 == 0)
    counts = {mark: outside.count(mark) for mark in (",", ";", "\t")}
    best = max(counts, key=lambda mark: counts[mark])
    return best if counts[best] else ","


def parse(name: str, text: str) -> tuple[RawSheet, list[Fault]]:
    """A sheet from the text of its file, with the faults of its shape."""
    mark = separator(text)
    body = text.split("\n", 1)[1] if text.lower().startswith("sep=") else text
    faults: list[Fault] = []
    csv.field_size_limit(10 * MOST_BYTES)
    reader = csv.reader(io.StringIO(body, newline=""), delimiter=mark, strict=True)
    rows: list[list[str]] = []
    numbers: list[int] = []
    try:
        for place, row in enumerate(reader, start=1):
            if place > MOST_ROWS:
                faults.append(Fault(name, place, None, "", f"at most {MOST_ROWS} rows"))
                break
            if len(row) > MOST_COLUMNS:
                faults.append(
                    Fault(name, place, None, f"{len(row)} cells", f"at most {MOST_COLUMNS} columns")
                )
                break
            rows.append([FORMULA + c if is_formula(c) else unguard(c) for c in row])
            numbers.append(place)
    except csv.Error:
        faults.append(
            Fault(
                name,
                (numbers[-1] if numbers else 0) + 1,
                None,
                "",
                "quotation marks in pairs; the row breaks off inside a quoted cell "
                "(was the file cut short?)",
            )
        )
    header = rows[0] if rows else []
    faults += _cut_short(name, body, rows, numbers)
    for number, row in zip(numbers, rows, strict=True):
        for column, cell in zip([*header, *[""] * len(row)], row, strict=False):
            if len(cell) > LONGEST_CELL:
                faults.append(
                    Fault(name, number, column, cell, f"at most {LONGEST_CELL} characters")
                )
    return tidy(name, header, rows[1:], numbers[1:]), faults


def _cut_short(name: str, body: str, rows: list[list[str]], numbers: list[int]) -> list[Fault]:
    """A last row that breaks off before its last cell, where no other row does."""
    if len(rows) < 3 or body.endswith(("\n", "\r")):
        return []
    width = len(rows[0])
    if len(rows[-1]) >= width or any(len(row) < width for row in rows[1:-1]):
        return []
    expected = (
        f"{width} cells, as in every other row; the file breaks off here (was it cut short?). "
        "If this row is whole, end it with an empty line"
    )
    return [Fault(name, numbers[-1], None, f"{len(rows[-1])} cells", expected)]


def read_folder(folder: Path) -> tuple[list[RawSheet], list[Fault], list[str]]:
    """Every CSV file of a folder as a sheet, with faults and warnings."""
    sheets: list[RawSheet] = []
    faults: list[Fault] = []
    warnings: list[str] = []
    for path in sorted(folder.iterdir()):
        if path.suffix.lower() != ".csv" or not path.is_file() or path.name.startswith((".", "~")):
            continue
        size = path.stat().st_size
        if size > MOST_BYTES:
            faults.append(too_large(path.stem, size))
            continue
        try:
            text, encoding = decode(path.read_bytes())
        except Unreadable as error:
            faults.append(Fault(path.stem, None, None, path.name, str(error)))
            continue
        if encoding == "cp1252":
            warnings.append(f"{path.name} is not UTF-8; read as Western office text")
        sheet, found = parse(path.stem, text)
        sheets.append(sheet)
        faults += found
    return sheets, faults, warnings


def too_large(name: str, size: int) -> Fault:
    """The fault of a file over the limit, found without reading it."""
    return Fault(
        name,
        None,
        None,
        f"{size / 1e6:.0f} MB",
        f"a file of at most {MOST_BYTES / 1e6:.0f} MB (a logged game takes well under one; "
        "is this the right file?)",
    )
