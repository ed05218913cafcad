"""Small logs for the tests, written as a charter's spreadsheet would leave them."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from pathlib import Path

from pointsleft.log import LogFaults, read_log
from pointsleft.log.faults import Fault
from pointsleft.log.record import LoggedGame, Snap

GAME = {
    "level": "professional",
    "season": "2019",
    "us": "Larks",
    "them": "Moles",
    "quarterback": "Pim Ostrey",
}

#: A first row that says everything; later rows may lean on it.
FIRST = {
    "snap": "1",
    "clip": "1:00",
    "quarter": "1",
    "clock": "10:00",
    "us": "0",
    "them": "0",
    "down": "1",
    "distance": "10",
    "ball": "own 25",
    "result": "run",
    "yards": "4",
}


def csv_of(rows: Sequence[Mapping[str, str]], mark: str = ",") -> str:
    """Rows as CSV text; headers are every key in order of appearance."""
    headers = list(dict.fromkeys(key for row in rows for key in row))
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=mark, lineterminator="\n")
    writer.writerow(headers)
    writer.writerows([row.get(h, "") for h in headers] for row in rows)
    return out.getvalue()


def write_folder(
    folder: Path,
    snaps: Sequence[Mapping[str, str]],
    options: Sequence[Mapping[str, str]] = (),
    game: Mapping[str, str] = GAME,
    concepts: Sequence[Mapping[str, str]] = (),
) -> Path:
    """A log of these rows."""
    folder.mkdir(parents=True, exist_ok=True)
    items = [{"item": item, "value": value} for item, value in game.items()]
    for name, rows in (("game", items), ("snaps", snaps), ("options", options),
                       ("concepts", concepts)):  # fmt: skip
        if rows:
            (folder / f"{name}.csv").write_text(csv_of(rows), encoding="utf-8")
    return folder


def read(folder: Path, *args: Sequence[Mapping[str, str]], **more: object) -> LoggedGame:
    """Write the rows and read them."""
    return read_log(write_folder(folder, *args, **more))  # type: ignore[arg-type]


def snaps(folder: Path, *rows: Mapping[str, str]) -> tuple[Snap, ...]:
    """Snaps of rows that follow the first row."""
    return read(folder, [FIRST, *rows]).snaps


def faults(folder: Path, *args: Sequence[Mapping[str, str]], **more: object) -> tuple[Fault, ...]:
    """Faults of the rows; empty when there is none."""
    try:
        read(folder, *args, **more)
    except LogFaults as error:
        return error.faults
    return ()


def places(found: Sequence[Fault]) -> list[tuple[str, int | None, str | None]]:
    """Where faults stand."""
    return [(f.sheet, f.row, f.column) for f in found]
