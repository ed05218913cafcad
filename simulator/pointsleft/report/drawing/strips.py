"""Small marks set into a line of text or a table: an interval, a run of one concept, a bar."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from pointsleft.report.drawing import svg
from pointsleft.report.drawing.scale import Scale
from pointsleft.report.palette import HAIR, INK, OCHRE, PAPER, STONE


def interval_mark(low: float, value: float, high: float, most: float, title: str) -> Markup:
    """A value and its interval on an axis that starts at zero (or lower, if the interval does).

    ``most`` is the right end of the axis.
    """
    start = min(0.0, low)
    x = Scale(start, max(most, high, start + 1e-9), 6, 254)
    parts = [
        svg.line(6, 13, 254, 13, stroke=HAIR, stroke_width=1),
        svg.line(x(0), 5, x(0), 21, stroke=STONE, stroke_width=1),
        svg.line(x(low), 13, x(high), 13, stroke=INK, stroke_width=2),
        svg.line(x(low), 8, x(low), 18, stroke=INK, stroke_width=2),
        svg.line(x(high), 8, x(high), 18, stroke=INK, stroke_width=2),
        svg.element("circle", cx=x(value), cy=13, r=6, fill=OCHRE, stroke=INK, stroke_width=1.4),
    ]
    return svg.picture(260, 26, title, *parts, class_="mark")


def run_strip(lefts: Sequence[tuple[bool, float]], most: float, title: str) -> Markup:
    """Decisions of one concept in order: a full dot where the best was taken; otherwise a ring
    with a stem as long as what was left. ``most`` is the longest stem of the whole table."""
    step, base = 16.0, 8.0
    width = step * max(len(lefts), 1)
    parts = [svg.line(0, base, width, base, stroke=HAIR, stroke_width=1)]
    for index, (taken, left) in enumerate(lefts):
        x = step * (index + 0.5)
        stem = 22 * (left / most if most > 0 else 0)
        if stem > 0.4:
            parts.append(
                svg.box(x - 2.2, base, 4.4, stem + 3, fill=OCHRE, stroke=INK, stroke_width=0.6)
            )
        parts.append(
            svg.element(
                "circle", cx=x, cy=base, r=4.6, fill=INK if taken else PAPER,
                stroke=INK, stroke_width=1.4,
            )
        )  # fmt: skip
    return svg.element(
        "svg", svg.element("title", title), *parts,
        xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 {svg.number(width)} 36",
        width=width, height=36, role="img", class_="strip",
    )  # fmt: skip


def counted_bars(rows: Sequence[tuple[str, float, bool]], unit: str, title: str) -> Markup:
    """Plain bars from zero: name, figure, and whether the bar is full (counted on film) or
    hollow (expected)."""
    width, row, label = 400.0, 28.0, 150.0
    most = max([value for _, value, _ in rows] + [1e-9])
    x = Scale(0, most, label, width - 86)
    parts = [svg.line(label, 2, label, row * len(rows), stroke=STONE, stroke_width=1)]
    for index, (name, value, full) in enumerate(rows):
        y = index * row + row / 2
        parts += [
            svg.text(0, y + 4.5, name, size=12.5, fill=INK),
            svg.box(
                label, y - 6, x(value) - label, 12, fill=STONE if full else PAPER,
                stroke=STONE, stroke_width=1.2,
            ),
            svg.text(x(value) + 7, y + 4.5, f"{value:.1f} {unit}", size=12.5, fill=INK),
        ]  # fmt: skip
    return svg.picture(width, row * len(rows) + 4, title, *parts, class_="bars")
