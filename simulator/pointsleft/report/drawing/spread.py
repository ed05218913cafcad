"""How the chosen and the best option can end: two distributions on one axis."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from pointsleft.pricing.result import Currency, Spread
from pointsleft.report.drawing import svg
from pointsleft.report.drawing.axis import value_axis
from pointsleft.report.drawing.lettering import shorten, text_width
from pointsleft.report.drawing.scale import Scale, widen
from pointsleft.report.numbers import FACTOR, amount
from pointsleft.report.palette import INK, MIST, PAPER, STONE, VIOLET

WIDTH = 400.0
BINS = 32
_HEAD, _TALL, _FOOT = 20.0, 40.0, 16.0


@dataclass(frozen=True, slots=True)
class Choice:
    """One distribution to draw; ``done`` tells what was chosen from what was best."""

    name: str
    spread: Spread
    done: bool


def binned(spread: Spread, low: float, high: float, bins: int = BINS) -> list[float]:
    """Probability in each of ``bins`` equal cells of ``low``..``high``; sums to that of the law.

    What lies outside the span is counted in the cell at its edge.
    """
    cells = [0.0] * bins
    for value, probability in zip(spread.values, spread.probabilities, strict=True):
        cell = int((value - low) / (high - low) * bins)
        cells[min(max(cell, 0), bins - 1)] += probability
    return cells


def _row(
    choice: Choice, heights: list[float], top: float, plot: Scale, currency: Currency
) -> list[Markup]:
    factor = FACTOR[currency]
    base = top + _HEAD + _TALL
    cell = (plot.end - plot.start) / len(heights)
    colour = INK if choice.done else VIOLET
    figure = "average " + amount(choice.spread.mean, currency, plus=True)
    room = WIDTH - text_width(figure, 12) - 8
    name = shorten(choice.name, 12.5, room, bold=True)
    parts = [
        svg.text(0, top + 11, name, size=12.5, fill=colour, weight=700),
        svg.text(WIDTH, top + 11, figure, size=12, fill=colour, anchor="end"),
    ]
    for index, height in enumerate(heights):
        if height <= 0:
            continue
        tall = max(height * _TALL, 0.8)
        parts.append(
            svg.box(
                plot.start + index * cell + 0.6, base - tall, cell - 1.2, tall,
                fill=INK if choice.done else MIST,
                stroke=None if choice.done else VIOLET, stroke_width=None if choice.done else 1,
            )
        )  # fmt: skip
    low, high, mean = (
        plot(v * factor) for v in (choice.spread.p10, choice.spread.p90, choice.spread.mean)
    )
    wedge = (
        svg.move(mean, base + 1.5) + svg.draw(mean - 5, base + 10) + svg.draw(mean + 5, base + 10)
    )
    parts += [
        svg.line(plot.start, base, plot.end, base, stroke=STONE, stroke_width=0.8),
        svg.line(low, base + 5.5, high, base + 5.5, stroke=colour, stroke_width=1.6),
        svg.element("path", d=wedge + "Z", fill=colour, stroke=PAPER, stroke_width=1),
    ]
    return parts


def two_spreads(choices: tuple[Choice, ...], currency: Currency, title: str) -> Markup:
    """Draw one distribution a row on one axis: change of value by the snap.

    Bars of both rows share one height scale; under each row a line holds the middle eight tenths
    of the endings and a wedge marks the average.
    """
    values = [v for c in choices for v in (*c.spread.values, c.spread.p10, c.spread.p90)]
    low, high = widen(min(values), max(values), 0.02, 0.2 if currency == "points" else 0.02)
    laws = [binned(c.spread, low, high) for c in choices]
    most = max(max(law) for law in laws)
    factor = FACTOR[currency]
    plot = Scale(low * factor, high * factor, 14, WIDTH - 22)
    each = _HEAD + _TALL + _FOOT
    bottom = each * len(choices) + 4
    parts = value_axis(plot, 18, bottom, currency, plus=True, wanted=5)
    for index, (choice, law) in enumerate(zip(choices, laws, strict=True)):
        parts += _row(choice, [share / most for share in law], index * each, plot, currency)
    return svg.picture(WIDTH, bottom + 20, title, *parts, class_="spread")
