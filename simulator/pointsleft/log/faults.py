"""What is wrong with a log: every fault with its place, what was found, what would be right."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from dataclasses import asdict, dataclass

#: Columns of the terminal that a message may take.
WIDTH = 80

#: How many faults of one column with one answer are told together.
TOGETHER = 4

#: Longest piece of a cell that a message repeats.
SHOWN = 60


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault.

    Attributes
    ----------
    sheet
        Sheet (or file) in which it stands.
    row, column
        Row as the spreadsheet numbers it (headers are row 1) and column by its name; ``None``
        where the fault is of the whole sheet or row.
    value
        What was found there, as text.
    expected
        What would be accepted, or what to do.
    """

    sheet: str
    row: int | None
    column: str | None
    value: str
    expected: str

    @property
    def place(self) -> str:
        """``snaps, row 12, down``."""
        parts = [self.sheet]
        if self.row is not None:
            parts.append(f"row {self.row}")
        if self.column:
            parts.append(self.column)
        return ", ".join(parts)


class LogFaults(Exception):
    """A log that cannot be used as it stands; ``faults`` holds everything wrong with it."""

    def __init__(self, faults: Iterable[Fault], source: str = "the log") -> None:
        self.faults = in_order(faults)
        self.source = source
        super().__init__(self.faults, source)

    def __str__(self) -> str:
        return render(self.faults, self.source)


def _order(fault: Fault) -> tuple[int, str, int, str, str]:
    sheets = {"game": 0, "snaps": 1, "options": 2, "concepts": 3}
    return (
        sheets.get(fault.sheet, 4),
        fault.sheet,
        fault.row or 0,
        fault.column or "",
        fault.expected,
    )


def in_order(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Each fault once, by sheet and row."""
    return tuple(sorted(set(faults), key=_order))


def shown(value: str) -> str:
    """A cell as a message repeats it: on one line, unprintable characters visible, cut."""
    line = "".join(c if c.isprintable() else "\ufffd" for c in " ".join(value.split()))
    return line if len(line) <= SHOWN else line[: SHOWN - 1] + "…"


def render(faults: Iterable[Fault], source: str = "the log") -> str:
    """All faults as one message of at most 80 columns.

    >>> print(render([Fault("snaps", 4, "down", "5", "1 to 4")], "my game"))
    my game has 1 fault; nothing was changed or half read.
    <BLANKLINE>
      snaps, row 4, down
        found    5
        expected 1 to 4
    """
    listed = list(faults)
    count = f"{len(listed)} fault{'s' if len(listed) != 1 else ''}"
    lines = textwrap.wrap(f"{source} has {count}; nothing was changed or half read.", WIDTH)
    for group in _alike(listed):
        first, *others = group
        place = first.place
        found = _found(first)
        if others:
            place = f"{first.sheet}, {first.column}, in {len(group)} rows"
            found = "; ".join(f"row {f.row}: {_found(f)}" for f in group)
        lines += ["", *wrap(place, "  ", "  ")]
        lines += wrap(found, "    found    ", " " * 13)
        lines += wrap(first.expected, "    expected ", " " * 13)
    return "\n".join(lines)


def _found(fault: Fault) -> str:
    return shown(fault.value) if fault.value.strip() else "(blank)"


def _alike(faults: list[Fault]) -> list[list[Fault]]:
    """Faults with one answer for one column told together from :data:`TOGETHER` on, each group
    where its first fault stands: a column in the wrong place is then one thing to read."""
    groups: dict[tuple[str, str | None, str], list[Fault]] = {}
    for fault in faults:
        groups.setdefault((fault.sheet, fault.column, fault.expected), []).append(fault)
    told: list[list[Fault]] = []
    for fault in faults:
        group = groups[fault.sheet, fault.column, fault.expected]
        if len(group) < TOGETHER or fault.row is None or fault.column is None:
            told.append([fault])
        elif fault is group[0]:
            told.append(group)
    return told


def wrap(text: str, first: str, later: str) -> list[str]:
    """Lines of at most 80 columns; ``first`` and ``later`` stand before them."""
    return textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=later, break_on_hyphens=False
    ) or [first.rstrip()]


def as_data(faults: Iterable[Fault]) -> list[dict[str, object]]:
    """The faults as plain values, ready for JSON."""
    return [asdict(fault) for fault in faults]
