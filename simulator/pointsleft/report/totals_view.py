"""Ledger totals by situation and by concept, as the page shows them."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from pointsleft.pricing.result import Currency, PricedGame, Total
from pointsleft.report import figures
from pointsleft.report.drawing.strips import run_strip
from pointsleft.report.numbers import bare, percent

#: Groups that have an order of their own; the others stand by how often they came up.
ORDER = {
    name: place
    for place, name in enumerate(
        (
            "first down", "second down", "third down", "fourth down",
            "own 10 and in", "own half", "opponent's half", "opponent's 20 and in", "goal to go",
            "first half", "second half", "overtime",
        )
    )
}  # fmt: skip

#: Play families in full, where the word of the log is short.
FAMILIES = {
    "rpo": "run-pass option",
    "option": "option run",
    "qb-run": "designed quarterback run",
    "quick": "quick game",
}


@dataclass(frozen=True, slots=True)
class GroupRow:
    name: str
    decisions: int
    offered: str
    left: str
    crossfit: str
    delivered: str
    breaks: str
    taken: str
    best: str
    strip: Markup | None


@dataclass(frozen=True, slots=True)
class GroupTable:
    title: str
    dimension: str
    rows: tuple[GroupRow, ...]


def _group_row(total: Total, name: str, currency: Currency, strip: Markup | None) -> GroupRow:
    return GroupRow(
        name=name,
        decisions=total.decisions,
        offered=bare(total.offered, currency, plus=True),
        left=bare(-total.left, currency, plus=True),
        crossfit=bare(-total.crossfit_left, currency, plus=True),
        delivered=bare(total.delivered, currency, plus=True),
        breaks=bare(total.breaks, currency, plus=True),
        taken="" if total.taken is None else percent(total.taken),
        best=f"{total.best_taken} of {total.decisions}",
        strip=strip,
    )


def _strips(game: PricedGame, currency: Currency) -> dict[str, Markup]:
    runs = figures.concept_runs(game)
    lefts = {
        name: [
            (d.chosen == e.best, e.left)
            for d in run
            if (e := figures.ledger_of(d, currency)) is not None
        ]
        for name, run in runs.items()
    }
    most = max((left for run in lefts.values() for _, left in run), default=0.0)
    return {
        name: run_strip(run, most, f"{name}: {sum(t for t, _ in run)} of {len(run)} took the best")
        for name, run in lefts.items()
        if run
    }


def group_tables(
    game: PricedGame, currency: Currency
) -> tuple[list[GroupTable], GroupTable | None]:
    """The tables by situation, and the one by concept, where the game has them."""
    strips = _strips(game, currency)
    situations: list[GroupTable] = []
    concepts: GroupTable | None = None
    for dimension, totals in game.totals.get(currency, {}).items():
        is_concept = dimension == "concept"
        shown = sorted(totals, key=lambda t: (ORDER.get(t.group, -1), -t.decisions, t.group))
        names = FAMILIES if dimension == "play family" else {}
        table = GroupTable(
            "All priced decisions" if dimension == "all" else f"By {dimension}",
            "" if dimension == "all" else dimension,
            tuple(
                _group_row(
                    t,
                    names.get(t.group, t.group),
                    currency,
                    strips.get(t.group) if is_concept else None,
                )
                for t in shown
            ),
        )
        if is_concept:
            concepts = table
        else:
            situations.append(table)
    return situations, concepts
