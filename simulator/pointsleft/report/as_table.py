"""The decisions as a table: one row a decision, for a spreadsheet or a data frame."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from pointsleft.pricing.result import Currency, Decision, Ledger, PricedGame
from pointsleft.report import figures, sheets
from pointsleft.report.sheets import Cell

Column = sheets.Column[Decision]


def _fact(name: str) -> Callable[[Decision], Cell]:
    def cell(decision: Decision) -> Cell:
        value = decision.facts.get(name)
        return value if isinstance(value, (str, int, float, bool)) else None

    return cell


def _of(currency: Currency, pick: Callable[[Decision, Ledger], Cell]) -> Callable[[Decision], Cell]:
    def cell(decision: Decision) -> Cell:
        entry = figures.ledger_of(decision, currency)
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
    Column("situation", "situation", "text", lambda d: d.situation, wide=True),
    Column("quarter", "quarter", "whole", _fact("period")),
    Column("seconds", "time left in the quarter (seconds)", "whole", _fact("seconds")),
    Column("down", "down", "whole", _fact("down")),
    Column("distance", "to go (yards)", "whole", _fact("distance")),
    Column("yards_to_goal", "to the goal line (yards)", "whole", _fact("yards_to_goal")),
    Column("lead", "lead (points)", "whole", _fact("lead")),
    Column("concept", "concept", "text", lambda d: d.concept),
    Column("options", "options priced", "whole", lambda d: len(d.options)),
    Column("chosen", "chosen", "text", lambda d: d.chosen),
    Column("result", "result", "text", lambda d: d.result, wide=True),
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
        wide=True,
    ),
    Column("note", "note", "text", lambda d: d.note, wide=True),
)  # fmt: skip


def decisions_csv(game: PricedGame) -> str:
    """``decisions.csv`` as text: headings in words with units, one row a decision.

    Cells that a spreadsheet would execute begin with an apostrophe; unknown is empty.
    """
    return sheets.csv_text(COLUMNS, game.decisions)


def decisions_frame(game: PricedGame, library: str = "polars") -> Any:
    """The decisions as a data frame of ``polars`` or ``pandas``, one row a decision.

    pandas must be installed where it is asked for; pointsleft does not bring it.

    Raises
    ------
    ValueError
        Any other library is asked for.
    """
    return sheets.frame(COLUMNS, game.decisions, library)


def write_xlsx(game: PricedGame, path: Path) -> None:
    """Write the decisions as a workbook with one sheet, ``decisions``.

    Text cells are stored as text, so nothing in them is executed. An existing file is replaced.
    """
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "decisions"
    sheets.fill(sheet, COLUMNS, game.decisions)
    book.save(path)
