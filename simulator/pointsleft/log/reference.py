"""The reference page of the log, made from the schema, the word lists and the templates."""

from __future__ import annotations

import inspect
from collections.abc import Iterable, Sequence

from pointsleft.log import concepts, shorthand, vocabulary
from pointsleft.log.drafts import Draft
from pointsleft.log.parse import accepted
from pointsleft.log.schema import SHEETS, Column, columns
from pointsleft.log.sheets import MOST_BYTES, MOST_ROWS

_SHEET_WORDS = {
    "game": "One item a row, in two columns: `item` and `value`. Items that are not ours are kept.",
    "snaps": "One row a snap of the offense being evaluated.",
    "options": "One row an option of a snap, for options that are not in one cell. A row that "
    "names an option of the cell or the template fills it in or corrects it.",
    "concepts": "Templates of the log's own; they come before the shipped ones.",
}

_HEAD = """# The log, column by column

<!-- Made by `python -m pointsleft.log.reference`; edit columns.csv, words.csv or concepts.csv. -->

A log is a folder of CSV files (`game.csv`, `snaps.csv` and, when wanted, `options.csv`,
`concepts.csv`) or one XLSX workbook with sheets of these names. Columns may stand in any order
and most may be missing; columns and sheets that are not ours are kept. Headers are read in any
case, with blanks, dashes or underscores. Every blank has a default, and what was filled in is
marked in the output. Columns of a new log are marked *; any other can be added by its header.
"""

_RULES = """## What a blank means

- `down`, `distance`, `ball`, `us`, `them` follow from the result of the row above while the
  possession goes on. A new possession starts on first down; where its ball lies and the score
  after the other side had the ball must be typed (a blank score stays unknown: then there are
  expected points but no win probability).
- `clock` stays unknown, except after a dead-ball foul, when no time has run.
- `our timeouts` and `their timeouts` stay as they were; they are full at the start of a half.
- A flag whose foul is not named may leave two states; then the down must be typed.
- Where snaps are left out, leave their numbers out too: a row whose number leaves room for others,
  and whose typed cells cannot follow from the row above, starts afresh. Its situation must be
  typed; from there on rows follow each other again.
- With the item `snaps logged` set to `some`, nothing is carried and no row is held against the
  one before.

## What is checked

Every row must follow from the result of the row above: down, distance, ball, score (never
backwards, never by a single point alone), clock (never up within a quarter), time-outs (never up
within a half). Snaps are named once and clip times rise. Every fault of a log is reported in one
message with sheet, row, column, the value found and what would be accepted; nothing is half
processed and the files are never written to.

## What a spreadsheet does to cells

| typed | becomes | read as |
| --- | --- | --- |
| `+40` | 40 | the side that follows from the row above; where none does, a fault |
| `12:34` | a time of day, or 0.5236 | 12:34, where it can have come from one clock only |
| `3-4` | a date | a fault: what was typed is lost |
| `007` | 7 | the same snap |
| `.6` | 0,6 | the same chance |
| anything | a byte-order mark, semicolons, tabs, CRLF, UTF-16 | the same sheet |

A formula is never evaluated: it is a fault. Text that begins like one is written with a leading
apostrophe, which is taken off again on reading. A file may have at most """

_WORD_HEAD = """## Words

Open lists: what is typed in the left or the right column is stored as on the left. A word that
no list has is kept as written, with a warning. Personnel is two digits, backs and tight ends
(`11`), or words (`1 back 2 tight ends`).
"""


def reference_page() -> str:
    """The whole page as Markdown."""
    parts = [_HEAD]
    for sheet in SHEETS:
        parts.append(f"## Sheet `{sheet}`\n\n{_SHEET_WORDS[sheet]}\n\n{_columns(columns(sheet))}")
    parts.append("## Options in one cell\n\n" + inspect.cleandoc(_notation()) + "\n")
    parts.append(f"{_RULES}{MOST_BYTES // 1_000_000} MB and {MOST_ROWS} rows.\n")
    parts.append(_WORD_HEAD)
    for listing in vocabulary.listings():
        rows = (
            (f"`{word}`", ", ".join(vocabulary.synonyms(listing, word)))
            for word in vocabulary.words(listing)
        )
        parts.append(f"### {listing}\n\n" + _table((listing, "also typed"), rows))
    parts.append(_templates())
    return "\n".join(parts)


def _notation() -> str:
    """The notation as its own module states it, in Markdown."""
    text = inspect.getdoc(shorthand) or ""
    before, drawing, after = text.split("\n\n", 3)[1:]
    words = (before.replace("::", "") + "\n\n\x00\n\n" + after).replace("``", "`")
    return words.replace("\x00", f"```text\n{inspect.cleandoc(drawing)}\n```")


def _columns(listed: Sequence[Column]) -> str:
    rows = (
        (
            f"`{c.name}`{' *' if c.core else ''}",
            c.group,
            c.meaning + (" (required)" if c.required else ""),
            _accepts(c),
            c.units,
            c.default or ("may not be blank" if c.required else ""),
        )
        for c in listed
    )
    return _table(("column", "group", "meaning", "accepted", "units", "blank means"), rows)


def _accepts(column: Column) -> str:
    if column.choices is None:
        if column.open_list is not None:
            return f"a word of the list {column.open_list}, or any other"
        return accepted(column)
    return ", ".join(
        f"`{word}`" + (f" ({', '.join(others)})" if others else "")
        for word, others in column.choices.items()
    )


def _templates() -> str:
    rows = (
        (f"`{name}`", "; ".join(_option(d) for d in drafts))
        for name, drafts in concepts.shipped().items()
    )
    head = (
        "## Concept templates\n\nOptions in the order of the read: route, air yards, third, then "
        "steps and hitches.\nThe strong side is right; `flip` turns left for right.\n\n"
    )
    return head + _table(("concept", "options"), rows)


def _option(draft: Draft) -> str:
    values = draft.values
    words = [draft.name]
    if "air_yards" in values:
        words.append(str(values["air_yards"]))
    if "third" in values:
        words.append(str(values["third"]))
    if "gap" in values:
        words.append(f"({values['gap']})")
    if "drop" in values:
        words.append(f"{values['drop']}+{values.get('hitches', 0)}")
    return " ".join(words)


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = ["| " + " | ".join(head) + " |", "| " + " | ".join("---" for _ in head) + " |"]
    lines += ["| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |" for row in rows]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    print(reference_page(), end="")
