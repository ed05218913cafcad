"""The decisions as a table: one row a decision, for a spreadsheet or a data frame.

One list of columns serves both. A spreadsheet gets headings in words with units, win probability
in percent, figures rounded to four decimals, and text that no spreadsheet executes. A data frame
gets short names, win probability from 0 to 1 and full floats.
"""

from __future__ import annotations

import csv
import importlib
import io
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pointsleft.pricing.result import Currency, Decision, Ledger, PricedGame
from pointsleft.report import figures
from pointsleft.report.safe_text import clean, neutral_cell

Cell = str | int | float | bool | None


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name in a frame, its heading in a spreadsheet, how a cell is found, and the
    factor between the two (100 for what a spreadsheet shows in percent)."""

    name: str
    heading: str
    kind: Literal["text", "whole", "number", "yes-no"]
    cell: Callable[[Decision], Cell]
    factor: float = 1.0


def _fact(name: str) -> Callable[[Decision], Cell]:
    def cell(decision: Decision) -> Cell:
        value = decision.facts.get(name)
        return value if isinstance(value, (str, int, float, bool)) else None

    return cell


def _of(currency: Currency, pick: Callable[[Decision, Ledger], Cell]) -> Callable[[Decision], Cell]:
    def cell(decision: Decision) -> Cell:
        entry = figures.ledger(decision, currency)
        return None if entry is None else pick(decision, entry)

    return cell


def _value(currency: Currency, which: str) -> Callable[[Decision, Ledger], Cell]:
    def cell(decision: Decision, entry: Ledger) -> Cell:
        identity = decision.chosen if which == "chosen" else entry.best
        return figures.worth(figures.option(decision, identity), currency)

    return cell


def _tie(decision: Decision, entry: Ledger) -> Cell:
    return next((t.chance for t in entry.break_even if t.option == entry.best), None)


def _money(currency: Currency) -> list[Column]:
    unit, factor = ("points", 1.0) if currency == "points" else ("% WP", 100.0)
    goal = "points" if currency == "points" else "winning"

    def number(name: str, words: str, pick: Callable[[Decision, Ledger], Cell]) -> Column:
        return Column(
            f"{currency}_{name}", f"{words} ({unit})", "number", _of(currency, pick), factor
        )

    def share(name: str, words: str, pick: Callable[[Decision, Ledger], Cell]) -> Column:
        return Column(
            f"{currency}_{name}", f"{words} for {goal} (%)", "number", _of(currency, pick), 100.0
        )

    def text(name: str, words: str, pick: Callable[[Decision, Ledger], Cell]) -> Column:
        return Column(f"{currency}_{name}", f"{words} for {goal}", "text", _of(currency, pick))

    return [
        text("best", "best", lambda d, e: e.best),
        number("before", "before", lambda d, e: e.before),
        number("offered", "offered", lambda d, e: e.offered),
        number("left", "left", lambda d, e: e.left),
        number("delivered", "delivered", lambda d, e: e.delivered),
        number("breaks", "breaks", lambda d, e: e.breaks),
        number("after", "after", lambda d, e: e.after),
        number("left_model_low", "left, models, low", lambda d, e: e.interval_model.low),
        number("left_model_high", "left, models, high", lambda d, e: e.interval_model.high),
        number("left_judgement_low", "left, judgement, low", lambda d, e: e.interval_judgement.low),
        number(
            "left_judgement_high", "left, judgement, high", lambda d, e: e.interval_judgement.high
        ),
        number("left_if_certain", "left if surely in the read", lambda d, e: e.if_certain),
        number("left_crossfit", "left, corrected for choosing", lambda d, e: e.crossfit_left),
        number("value_chosen", "value of chosen", _value(currency, "chosen")),
        number("value_best", "value of best", _value(currency, "best")),
        text("verdict", "verdict", lambda d, e: e.verdict),
        share("settled", "refits that put the best first", lambda d, e: e.settled_share),
        share("break_even", "break-even chance of the best", _tie),
    ]


COLUMNS: tuple[Column, ...] = (
    Column("snap", "snap", "text", lambda d: d.snap),
    Column("clip", "clip", "text", lambda d: d.clip),
    Column("situation", "situation", "text", lambda d: d.situation),
    Column("quarter", "quarter", "whole", _fact("period")),
    Column("seconds", "time left in the quarter (seconds)", "whole", _fact("seconds")),
    Column("down", "down", "whole", _fact("down")),
    Column("distance", "to go (yards)", "whole", _fact("distance")),
    Column("yards_to_goal", "to the goal line (yards)", "whole", _fact("yards_to_goal")),
    Column("lead", "lead (points)", "whole", _fact("lead")),
    Column("concept", "concept", "text", lambda d: d.concept),
    Column("options", "options priced", "whole", lambda d: len(d.options)),
    Column("chosen", "chosen", "text", lambda d: d.chosen),
    Column("result", "result", "text", lambda d: d.result),
    Column("right_by_rule", "right by rule", "yes-no", lambda d: d.right_by_rule),
    Column("hit_taken", "hit taken", "yes-no", lambda d: d.hit_taken),
    Column(
        "hits_asked", "hits asked for (expected)", "number",
        lambda d: figures.option(d, d.chosen).hit,
    ),
    *_money("points"),
    *_money("wins"),
    Column(
        "assumed", "assumed", "text",
        lambda d: "; ".join(
            f"{a.subject}: {a.text}" if a.subject else a.text for a in d.assumptions
        ) or None,
    ),
    Column("note", "note", "text", lambda d: d.note),
)  # fmt: skip


def _shown(column: Column, decision: Decision) -> Cell:
    """A cell as a spreadsheet shows it, text not yet neutralised."""
    value = column.cell(decision)
    if column.kind == "yes-no" and value is not None:
        return "yes" if value else "no"
    if column.kind == "number" and isinstance(value, (int, float)):
        return round(float(value) * column.factor, 4) + 0.0
    if column.kind == "text" and value is not None:
        return clean(str(value))
    return value


def decisions_csv(game: PricedGame) -> str:
    """``decisions.csv`` as text: headings in words with units, one row a decision.

    Cells that a spreadsheet would execute begin with an apostrophe; unknown is empty.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([c.heading for c in COLUMNS])
    for decision in game.decisions:
        cells = (_shown(c, decision) for c in COLUMNS)
        writer.writerow(
            ["" if v is None else neutral_cell(v) if isinstance(v, str) else v for v in cells]
        )
    return out.getvalue()


def decisions_columns(game: PricedGame) -> dict[str, list[Cell]]:
    """The decisions by column, full floats, win probability from 0 to 1, ``None`` unknown."""
    return {c.name: [c.cell(d) for d in game.decisions] for c in COLUMNS}


def decisions_frame(game: PricedGame, library: str = "polars") -> Any:
    """The decisions as a data frame of ``polars`` or ``pandas``, one row a decision.

    pandas must be installed where it is asked for; pointsleft does not bring it.

    Raises
    ------
    ValueError
        Any other library is asked for.
    """
    columns = decisions_columns(game)
    if library == "pandas":
        return importlib.import_module("pandas").DataFrame(columns)
    if library == "polars":
        import polars

        kinds: dict[str, Any] = {
            "text": polars.String,
            "whole": polars.Int64,
            "number": polars.Float64,
            "yes-no": polars.Boolean,
        }
        schema = {c.name: kinds[c.kind] for c in COLUMNS}
        return polars.DataFrame(columns, schema=schema, strict=False)
    raise ValueError(f"{library!r} makes no data frame here; there is polars and pandas")


def write_xlsx(game: PricedGame, path: Path) -> None:
    """Write the decisions as a workbook with one sheet, ``decisions``.

    Text cells are stored as text, so nothing in them is executed. An existing file is replaced.
    """
    import openpyxl
    from openpyxl.styles import Alignment, Font
    from openpyxl.utils import get_column_letter

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "decisions"
    for place, column in enumerate(COLUMNS, start=1):
        head = sheet.cell(1, place, column.heading)
        head.font = Font(bold=True)
        head.alignment = Alignment(wrap_text=True, vertical="top")
        wide = 34 if column.name in ("situation", "result", "assumed", "note") else 14
        sheet.column_dimensions[get_column_letter(place)].width = wide
        for row, decision in enumerate(game.decisions, start=2):
            value = _shown(column, decision)
            cell = sheet.cell(row, place)
            if isinstance(value, str):
                # A workbook holds no control characters; the type keeps "=1+1" from running.
                cell.value = value
                cell.data_type = "s"
                cell.quotePrefix = value != neutral_cell(value)
            else:
                cell.value = value
                if column.kind == "number":
                    cell.number_format = "0.00" if column.factor == 1 else "0.0"
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = sheet.dimensions
    book.save(path)
