"""Players side by side: an interval each, the estimate on it, the plain figure beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from pointsleft.report.drawing import svg
from pointsleft.report.drawing.scale import Scale, ticks, ticks_decimals
from pointsleft.report.numbers import fixed
from pointsleft.report.palette import HAIR, INK, OCHRE, PAPER, SAND, STONE

ROW = 36.0
SMALL = 11.0


@dataclass(frozen=True, slots=True)
class Line:
    """One player (or one group): figures as shown, ``note`` in small letters under the name.

    ``faint`` sets a line back: it has no place among the others.
    """

    name: str
    note: str
    low: float
    value: float
    high: float
    raw: float | None = None
    faint: bool = False


def intervals(
    lines: Sequence[Line],
    middle: float,
    unit: str,
    title: str,
    *,
    width: float = 1000.0,
    label: float = 230.0,
    wanted: int = 6,
) -> Markup:
    """One row a line: a bar from the low to the high end, a full dot for the estimate, a small
    ring for the plain figure, and a broken line down the page for the middle of the class.

    On a narrow drawing (``label`` 0) the name stands above its bar.
    """
    above = label == 0
    row = ROW + (16 if above else 0)
    shown = [v for x in lines for v in (x.low, x.high, x.value, x.raw) if v is not None]
    low, high = min([*shown, middle]), max([*shown, middle])
    room = 0.04 * max(high - low, 1e-6)
    x = Scale(low - room, high + room, label + 8, width - 12)
    bottom = row * len(lines) + 6
    found = ticks(x.low, x.high, wanted)
    decimals = ticks_decimals(found)
    parts: list[Markup] = []
    for at, line in enumerate(lines):
        if line.faint:
            parts.append(svg.box(0, 4 + at * row, width, row, fill=SAND, fill_opacity=0.55))
    spans = [(4.0, bottom)]
    if above:  # upright lines leave the names alone
        spans = [(4 + at * row + 22, 4 + (at + 1) * row - 2) for at in range(len(lines))]
    for value in found:
        zero = value == 0
        for top, end in spans:
            parts.append(
                svg.line(x(value), top, x(value), end, stroke=STONE if zero else HAIR,
                         stroke_width=1)
            )  # fmt: skip
        parts.append(
            svg.text(
                x(value), bottom + 16, fixed(value, decimals), size=SMALL, fill=STONE,
                anchor="middle",
            )
        )  # fmt: skip
    parts.append(svg.text(0, bottom + (32 if above else 16), unit, size=SMALL, fill=STONE))
    for top, end in spans:
        parts.append(
            svg.line(x(middle), top, x(middle), end, stroke=INK, stroke_width=1.2,
                     stroke_dasharray="3 4")
        )  # fmt: skip
    for at, line in enumerate(lines):
        y = 4 + at * row + row / 2 + (8 if above else 0)
        parts += _name(line, at * row + 4, y, above)
        parts += _bar(line, x, y)
    return svg.picture(width, bottom + (38 if above else 24), title, *parts, class_="standing")


def _name(line: Line, top: float, y: float, above: bool) -> list[Markup]:
    if above:
        words = f"{line.name}, {line.note}" if line.note else line.name
        return [svg.text(0, top + 14, words, size=12.5, fill=INK, weight=600)]
    if not line.note:
        return [svg.text(0, y + 4.5, line.name, size=13, fill=INK)]
    return [
        svg.text(0, y - 1.5, line.name, size=13, fill=INK, weight=600),
        svg.text(0, y + 12.5, line.note, size=SMALL, fill=STONE),
    ]


def _bar(line: Line, x: Scale, y: float) -> list[Markup]:
    stroke = STONE if line.faint else INK
    parts = [
        svg.line(x(line.low), y, x(line.high), y, stroke=stroke, stroke_width=3.4),
        svg.line(x(line.low), y - 6, x(line.low), y + 6, stroke=stroke, stroke_width=1.6),
        svg.line(x(line.high), y - 6, x(line.high), y + 6, stroke=stroke, stroke_width=1.6),
    ]
    if line.raw is not None:
        parts.append(
            svg.element(
                "circle", cx=x(line.raw), cy=y, r=4, fill=PAPER, stroke=stroke, stroke_width=1.5
            )
        )
    parts.append(
        svg.element(
            "circle", cx=x(line.value), cy=y, r=6.4, fill=OCHRE, stroke=stroke, stroke_width=1.5
        )
    )
    return parts


def small_interval(
    low: float, value: float, high: float, middle: float, ends: tuple[float, float], title: str
) -> Markup:
    """An interval in a line of a table, on a scale that all lines of the table share."""
    x = Scale(ends[0], max(ends[1], ends[0] + 1e-9), 5, 215)
    parts = [
        svg.line(5, 11, 215, 11, stroke=HAIR, stroke_width=1),
        svg.line(x(middle), 2, x(middle), 20, stroke=STONE, stroke_width=1.4,
                 stroke_dasharray="2 2"),
        svg.line(x(low), 11, x(high), 11, stroke=INK, stroke_width=2.6),
        svg.element("circle", cx=x(value), cy=11, r=4.6, fill=OCHRE, stroke=INK, stroke_width=1.2),
    ]  # fmt: skip
    return svg.picture(220, 22, title, *parts, class_="mark")


def places_strip(chances: Sequence[float], title: str) -> Markup:
    """The chance of each place, first on the left: the taller the bar, the likelier."""
    step, high = 26.0, 34.0
    width = step * max(len(chances), 1)
    parts = [svg.line(0, high, width, high, stroke=STONE, stroke_width=1)]
    for at, chance in enumerate(chances):
        tall = (high - 4) * chance
        if tall > 0.3:
            parts.append(
                svg.box(at * step + 3, high - tall, step - 6, tall, fill=STONE, stroke=INK,
                        stroke_width=0.6)
            )  # fmt: skip
        parts.append(
            svg.text(at * step + step / 2, high + 12, str(at + 1), size=10, fill=STONE,
                     anchor="middle")
        )  # fmt: skip
    return svg.element(
        "svg", svg.element("title", title), *parts,
        xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 {svg.number(width)} 48",
        width=width, height=48, role="img", class_="strip",
    )  # fmt: skip
