"""The reference page of the play table, made from the schema.

``python -m pointsleft_models.plays.reference > docs/play-table.md`` writes it.
"""

from __future__ import annotations

from collections.abc import Iterable

from pointsleft_models.plays.complete import DERIVED
from pointsleft_models.plays.schema import COLUMNS, SCHEMA_VERSION, Column

_HEAD = f"""# The play table, column by column

<!-- Made by `python -m pointsleft_models.plays.reference`; edit schema.py. -->

Every source of play-by-play becomes this one table (version {SCHEMA_VERSION}). One row is one
line of the game book: a snap, a kick, a try, a penalty without a play, a time-out. Yards are
signed from the view of the offense; scores are those before the row. An empty cell always means
"not known" or "does not apply".

```
pointsleft plays archive                     the archive, 2009 to 2019
pointsleft plays archive:2014-2016           some of its seasons
pointsleft plays seasons:2023                professional seasons by nflreadpy
pointsleft plays college:season.parquet      a college season by its feed's own columns
pointsleft plays our-season.csv              a table of your own, CSV or Parquet
```

`--out FILE` writes the table (`.parquet` or `.csv`), `--participation FILE` joins participation
data, `--games FILE` joins spread, roof and weather and holds a table of your own against the
final scores.

## A table of your own

Only the columns marked *required* must be there. Columns marked *derived* are worked out where
your table lacks them; what it brings is kept, except that columns which follow from required
ones alone (half, seconds left, defense, lead) must agree with them. Other columns are ignored.

- Headers may be in any case, with blanks or dashes for underscores. Commas, semicolons or tabs;
  UTF-8 or UTF-16; a decimal comma where the separator is no comma.
- Missing: an empty cell, `NA`, `N/A`, `null`, `none`, `nan`, `-`. Yes and no: `yes` `no`, `true`
  `false`, `1` `0`. Seconds may be typed `12:34`.
- The final score of a game is that of its last row and what that row scored, so end a game with
  a row after its last score, or bring `points_offense` and `points_defense` (or `touchdown` and
  `kick_result`). A games file (`game`, `home_points`, `away_points`, and as far as known
  `home_spread`, `roof`, `temperature`, `wind`) says the final from outside.
- A game whose rows do not add up to its final score is left out by name, with the reason. Faults
  in the cells (down 5, a score that falls, a play number twice) are listed all at once with game
  and play, and nothing is read until they are mended, or `--leave-out` leaves their games out.
- Time-outs left need `timeout_by` on the rows of the time-outs, or the two columns themselves.
- Who receives the second half follows from the kickoff row of the first quarter.
"""


def reference_page() -> str:
    """The whole page as Markdown."""
    parts = [_HEAD]
    groups = dict.fromkeys(column.group for column in COLUMNS)
    for group in groups:
        rows = (_row(column) for column in COLUMNS if column.group == group)
        parts.append(
            f"## {group[0].upper()}{group[1:]}\n\n"
            + _table(("column", "type", "unit", "allowed", "", "meaning"), rows)
        )
    return "\n".join(parts)


_TYPES = {"text": "text", "int": "whole number", "float": "number", "bool": "yes or no"}


def _row(column: Column) -> tuple[str, ...]:
    need = "required" if column.required else "derived" if column.name in DERIVED else ""
    return (
        f"`{column.name}`",
        _TYPES[column.kind],
        column.unit,
        _allowed(column),
        need,
        column.meaning,
    )


def _allowed(column: Column) -> str:
    if column.words:
        return ", ".join(f"`{word}`" for word in column.words)
    if column.low is None:
        return ""
    low = f"{column.low:g}".replace("-", "−")
    return f"{low} to {column.high:g}" if column.high is not None else f"from {low}"


def _table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = ["| " + " | ".join(head) + " |", "| " + " | ".join("---" for _ in head) + " |"]
    lines += ["| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |" for row in rows]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    print(reference_page(), end="")
