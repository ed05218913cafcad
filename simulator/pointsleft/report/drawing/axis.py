"""A value axis under a figure: hairlines, ticks, figures and one unit."""

from __future__ import annotations

from markupsafe import Markup

from pointsleft.pricing.result import Currency
from pointsleft.report.drawing import svg
from pointsleft.report.drawing.scale import Scale, ticks, ticks_decimals
from pointsleft.report.numbers import UNIT, fixed
from pointsleft.report.palette import HAIR, STONE

SIZE = 11.0


def value_axis(
    scale: Scale, top: float, bottom: float, currency: Currency, *, plus: bool = False,
    wanted: int = 4,
) -> list[Markup]:  # fmt: skip
    """Hairlines from ``top`` to ``bottom`` at round values, figures below them, the unit last.

    The scale is in units shown (points, or percent of win probability).
    """
    found = ticks(scale.low, scale.high, wanted)
    decimals = ticks_decimals(found)
    parts = []
    for index, value in enumerate(found):
        x = scale(value)
        zero = value == 0
        parts.append(svg.line(x, top, x, bottom, stroke=STONE if zero else HAIR, stroke_width=1))
        words = fixed(value, decimals, plus=plus)
        if index == len(found) - 1:
            words += ("" if currency == "wins" else " ") + UNIT[currency]
        parts.append(svg.text(x, bottom + 14, words, size=SIZE, fill=STONE, anchor="middle"))
    return parts
