"""A log as it lies on disk: sheets of text cells, nothing read into them yet.

This is the lossless form: unknown columns and unknown sheets are in it like any other.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pointsleft.log.schema import plain

#: Limits of a log. A game takes some hundred kilobytes; a season fits as well.
MOST_BYTES = 20_000_000
MOST_ROWS = 20_000
MOST_COLUMNS = 400
LONGEST_CELL = 20_000


@dataclass(frozen=True, slots=True)
class RawSheet:
    """One sheet: its header and its rows, all of equal width, every cell text.

    ``numbers`` are the rows as the spreadsheet counts them (the header is row 1); rows that are
    blank throughout are left out.
    """

    name: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        if not self.numbers:
            object.__setattr__(self, "numbers", tuple(range(2, len(self.rows) + 2)))

    @property
    def key(self) -> str:
        return plain(self.name)

    def numbered(self) -> Iterator[tuple[int, dict[str, str]]]:
        """Every row with its number, cells by header as written."""
        for number, row in zip(self.numbers, self.rows, strict=True):
            yield number, dict(zip(self.header, row, strict=True))


@dataclass(frozen=True, slots=True)
class RawLog:
    """All sheets of a log in their order. ``source`` is where they were read from."""

    sheets: tuple[RawSheet, ...]
    source: str | None = None
    warnings: tuple[str, ...] = ()

    def sheet(self, name: str) -> RawSheet | None:
        """The sheet of that name, however it is written."""
        return next((s for s in self.sheets if s.key == plain(name)), None)


def tidy(
    name: str, header: list[str], rows: list[list[str]], numbers: list[int] | None = None
) -> RawSheet:
    """A sheet from ragged rows: trailing blank columns and blank rows left out."""
    width = max([len(header), *map(len, rows)], default=0)
    square = [[*r, *[""] * (width - len(r))] for r in ([*rows] or [])]
    head = [*header, *[""] * (width - len(header))]
    while width and not head[width - 1].strip() and not any(r[width - 1].strip() for r in square):
        width -= 1
    counted = numbers if numbers is not None else list(range(2, len(rows) + 2))
    kept = [
        (n, tuple(r[:width]))
        for n, r in zip(counted, square, strict=True)
        if any(c.strip() for c in r)
    ]
    return RawSheet(name, tuple(head[:width]), tuple(r for _, r in kept), tuple(n for n, _ in kept))
