"""How much typing a log takes, counted on the log as it was typed.

A cell costs its characters and one key to leave it. Counted are the cells that a price needs:
those in the columns of a new log, without the note. What a charter adds besides (placement,
timing, why the better one was missed, blame, a note) is counted apart, as are the keys that
step over the blank cells between.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from pointsleft.log.reader import read_log
from pointsleft.log.record import Snap
from pointsleft.log.schema import columns, plain
from pointsleft.log.source import read_sheets

#: Columns of a new log that a price does not need.
TALK = frozenset({"note"})


@dataclass(frozen=True, slots=True)
class Typing:
    """Keys for one snap.

    Attributes
    ----------
    cells, keys
        Cells typed in the columns of a new log but the note; characters in them and one key to
        leave each.
    with_blanks
        ``keys`` and one for every blank cell between the first and the last cell typed, in a
        sheet with the columns of a new log.
    more_cells, more_keys
        Cells and keys in all other columns, the note included.
    """

    snap: str
    cells: int
    keys: int
    with_blanks: int
    more_cells: int
    more_keys: int


def count(snap: str, row: Mapping[str, str]) -> Typing:
    """Keys for one row of the snaps sheet, cells by header."""
    core = [plain(c.name) for c in columns("snaps") if c.core and c.name not in TALK]
    typed = {plain(h): c for h, c in row.items() if c.strip()}
    needed = {name: cell for name, cell in typed.items() if name in core}
    more = [cell for name, cell in typed.items() if name not in core]
    keys = sum(map(len, needed.values())) + len(needed)
    places = [core.index(name) for name in needed]
    blanks = max(places) - min(places) + 1 - len(places) if places else 0
    return Typing(
        snap, len(needed), keys, keys + blanks, len(more), sum(map(len, more)) + len(more)
    )


def is_quick_dropback(snap: Snap) -> bool:
    """A drop-back with three options typed in one cell, its situation carried forward."""
    return (
        snap.call.family == "drop-back"
        and len(snap.options) == 3
        and all(option.row is None for option in snap.options)
        and "yards_to_goal" in snap.derived
    )


def count_log(
    path: str | Path, wanted: Callable[[Snap], bool] = is_quick_dropback
) -> tuple[Typing, ...]:
    """Keys for each snap of a log that is wanted, as the log was typed."""
    sheet = read_sheets(path).sheet("snaps")
    if sheet is None:
        return ()
    rows = dict(sheet.numbered())
    snaps = [s for s in read_log(path).snaps if s.row is not None and wanted(s)]
    return tuple(count(s.number, rows[s.row]) for s in snaps if s.row is not None)


def summary(path: str | Path) -> str:
    """The figure in a sentence, for a log."""
    counted = count_log(path)
    if not counted:
        return "no drop-back with three options typed in one cell"
    return (
        f"{len(counted)} drop-backs with three options typed in one cell: at most "
        f"{max(t.cells for t in counted)} cells and {max(t.keys for t in counted)} keys "
        f"({max(t.with_blanks for t in counted)} with the blank cells stepped over); in the "
        f"middle {median(t.cells for t in counted):g} cells and "
        f"{median(t.keys for t in counted):g} keys"
    )


if __name__ == "__main__":
    print(summary(sys.argv[1]))
