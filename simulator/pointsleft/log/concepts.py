"""Concept templates: a named concept expands into its options. A log may bring its own."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files

from pointsleft.log.cells import FORMULA, CellError
from pointsleft.log.drafts import Draft
from pointsleft.log.faults import Fault
from pointsleft.log.parse import read_cell
from pointsleft.log.schema import by_name, plain
from pointsleft.log.sheets import RawSheet, tidy

Templates = Mapping[str, tuple[Draft, ...]]


def read_concepts(sheet: RawSheet) -> tuple[Templates, list[Fault]]:
    """Templates of a concepts sheet by the plain form of their name, with faults."""
    faults: list[Fault] = []
    found: dict[str, list[Draft]] = {}
    name = ""
    known = by_name("concepts")
    for number, row in sheet.numbered():
        values: dict[str, object] = {}
        for header, cell in row.items():
            column = known.get(plain(header))
            if column is None or not cell.strip() or cell.startswith(FORMULA):
                continue
            if column.name == "concept":
                name = plain(cell)
                continue
            try:
                value, _ = read_cell(column, cell)
            except CellError as error:
                faults.append(Fault(sheet.name, number, header, cell, str(error)))
                continue
            values[column.field] = int(str(value)) if column.name == "drop" else value
        if not name:
            faults.append(Fault(sheet.name, number, "concept", "", "the name of the concept"))
        elif values:
            values.setdefault("kind", "throw")
            found.setdefault(name, []).append(Draft(values, frozenset(values) - {"id"}))
    return {name: tuple(drafts) for name, drafts in found.items()}, faults


@cache
def shipped() -> Templates:
    """The templates that come with the package."""
    text = files(__package__).joinpath("concepts.csv").read_text(encoding="utf-8")
    rows = list(csv.reader(text.splitlines()))
    templates, faults = read_concepts(tidy("concepts", rows[0], rows[1:]))
    if faults:
        raise ValueError(f"the shipped concept templates are damaged: {faults}")
    return templates


def template(name: str | None, own: Templates, *, flipped: bool) -> tuple[Draft, ...]:
    """The options of a concept, the log's own templates first; empty when there is none."""
    if not name:
        return ()
    drafts = own.get(plain(name)) or shipped().get(plain(name)) or ()
    return tuple(d.turned() for d in drafts) if flipped else drafts


def names(own: Iterable[str] = ()) -> tuple[str, ...]:
    """Names of every template."""
    return tuple(sorted({*own, *shipped()}))
