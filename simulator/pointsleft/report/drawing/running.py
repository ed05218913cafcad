"""The running bar: from a value before, entry by entry, to the value after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from pointsleft.pricing.result import Currency
from pointsleft.report.drawing import svg
from pointsleft.report.drawing.axis import value_axis
from pointsleft.report.drawing.scale import Scale, widen
from pointsleft.report.numbers import FACTOR, amount
from pointsleft.report.palette import INK, OCHRE, PAPER, STONE

WIDTH = 400.0
_ROW = 25.0
_BAR = 12.0
_LABELS = 84.0
_FIGURES = 92.0


@dataclass(frozen=True, slots=True)
class Entry:
    """One row: a signed change of the value (``left`` comes in with its minus sign)."""

    name: str
    change: float


def _bar(entry: Entry, start: float, end: float, y: float) -> Markup:
    """Rises are full, falls are hollow; what was left on the field is ochre with a dark rim."""
    left = entry.name == "left"
    return svg.box(
        start, y - _BAR / 2, end - start, _BAR,
        fill=OCHRE if left else STONE if end >= start else PAPER,
        stroke=INK if left else STONE, stroke_width=1.2,
    )  # fmt: skip


def running_bar(
    before: tuple[str, float], entries: Sequence[Entry], after: tuple[str, float],
    currency: Currency, title: str,
) -> Markup:  # fmt: skip
    """Draw how a value runs from ``before`` through the entries to ``after``.

    Values are in the units of the data; what is printed carries its unit.
    """
    factor = FACTOR[currency]
    running = [before[1]]
    for entry in entries:
        running.append(running[-1] + entry.change)
    seen = [v * factor for v in (*running, after[1])]
    low, high = widen(min(seen), max(seen), 0.06, 0.4 if currency == "points" else 4.0)
    plot = Scale(low, high, _LABELS + 6, WIDTH - _FIGURES - 6)
    rows = len(entries) + 2
    bottom = rows * _ROW + 2
    parts = value_axis(plot, 4, bottom, currency, wanted=3)

    def words(row: int, name: str, figure: str, *, heavy: bool) -> list[Markup]:
        base = row * _ROW + _ROW / 2 + 4.5
        weight = 700 if heavy else None
        return [
            svg.text(0, base, name, size=12.5, fill=INK, weight=weight),
            svg.text(WIDTH, base, figure, size=12.5, fill=INK, anchor="end", weight=weight),
        ]

    def standing(row: int, value: float) -> Markup:
        return svg.element(
            "circle", cx=plot(value * factor), cy=row * _ROW + _ROW / 2, r=4.4, fill=INK
        )

    for row in range(rows - 1):
        x = plot((running[row] if row < len(running) else after[1]) * factor)
        y = row * _ROW + _ROW / 2
        parts.append(svg.line(x, y, x, y + _ROW, stroke=INK, stroke_width=0.8))
    parts += [
        *words(0, before[0], amount(before[1], currency), heavy=False),
        standing(0, before[1]),
    ]
    for row, entry in enumerate(entries, start=1):
        start, end = plot(running[row - 1] * factor), plot(running[row] * factor)
        parts.append(_bar(entry, start, end, row * _ROW + _ROW / 2))
        figure = amount(entry.change, currency, plus=True)
        parts += words(row, entry.name, figure, heavy=entry.name == "left")
    parts += [
        *words(rows - 1, after[0], amount(after[1], currency), heavy=False),
        standing(rows - 1, after[1]),
    ]
    return svg.picture(WIDTH, bottom + 20, title, *parts, class_="running")
