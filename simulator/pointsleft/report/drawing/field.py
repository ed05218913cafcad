"""The field, plain and to scale: one unit of length a yard, the same across and along."""

from __future__ import annotations

import math
from dataclasses import dataclass

from markupsafe import Markup
from pointsleft_models.football.field import END_ZONE, WIDTH
from pointsleft_models.football.situation import FIELD

from pointsleft.report.drawing import svg
from pointsleft.report.drawing.lettering import Box, text_width
from pointsleft.report.drawing.placing import Scene
from pointsleft.report.palette import HAIR, INK, SAND, STONE

#: Paper units to a yard, in both directions.
YARD = 7.0

MARGIN = 3.0
_RULED = "#c9c1b3"  # yard lines: a shade darker than the ground


@dataclass(frozen=True, slots=True)
class View:
    """The part of the field that is drawn: from ``low`` to ``high``, yards along."""

    low: float
    high: float

    def x(self, across: float) -> float:
        return MARGIN + across * YARD

    def y(self, along: float) -> float:
        return MARGIN + (self.high - along) * YARD

    @property
    def width(self) -> float:
        return WIDTH * YARD + 2 * MARGIN

    @property
    def height(self) -> float:
        return (self.high - self.low) * YARD + 2 * MARGIN

    def ground_at(self, y: float) -> str:
        """Colour of the ground at a height on the paper: end zones are darker."""
        along = self.high - (y - MARGIN) / YARD
        return SAND if 0 <= along <= FIELD else HAIR

    @property
    def frame(self) -> Box:
        """Where lettering may stand."""
        return Box(MARGIN + 2, MARGIN + 2, WIDTH * YARD - 4, self.height - 2 * MARGIN - 4)


def view_of(scene: Scene, deepest: float, options: int) -> View:
    """The part of the field that shows the passer, the line to gain and the deepest option, with
    more room behind him for the lettering of many options."""
    low = max(math.floor(scene.passer[1] - 4.5 - 1.5 * max(0, options - 4)), -END_ZONE)
    high = max(scene.line + 14, scene.gain_line + 3, deepest + 5)
    return View(low, min(math.ceil(high), FIELD + END_ZONE))


def _yard_lines(view: View) -> list[Markup]:
    parts = []
    for yards in range(0, FIELD + 1, 5):
        if not view.low <= yards <= view.high:
            continue
        goal = yards in (0, FIELD)
        y = view.y(yards)
        parts.append(
            svg.line(
                view.x(0), y, view.x(WIDTH), y,
                stroke=STONE if goal else _RULED, stroke_width=2.2 if goal else 1,
            )
        )  # fmt: skip
    return parts


def _hashes(view: View, from_side: float) -> Markup:
    """Hash marks and side-line ticks, one a yard."""
    steps = []
    first, last = max(1, math.ceil(view.low)), min(FIELD - 1, math.floor(view.high))
    for yards in range(first, last + 1):
        if yards % 5 == 0:
            continue
        y = view.y(yards)
        for across in (0.5, from_side, WIDTH - from_side, WIDTH - 0.5):
            steps.append(svg.move(view.x(across) - 2.6, y) + f"h{svg.number(5.2)}")
    return svg.path(steps, stroke=_RULED, stroke_width=1)


def _numbers(view: View, kept_free: list[float]) -> tuple[list[Markup], list[Box]]:
    """Yard numbers on every tenth line, goal lines by name; and the room they take.

    A number stands above its line, or below it where one of the lines ``kept_free`` (yards
    along) would run through it, or nowhere.
    """
    parts, taken = [], []
    for yards in range(0, FIELD + 1, 10):
        words = "goal line" if yards in (0, FIELD) else str(min(yards, FIELD - yards))
        x = view.x(0) + 8
        for baseline in (view.y(yards) - 4, view.y(yards) + 13):
            room = Box(x - 2, baseline - 10, text_width(words, 11.5) + 4, 13)
            free = all(not room.y - 2 < view.y(a) < room.bottom + 2 for a in kept_free)
            if free and room.inside(view.frame):
                parts.append(svg.text(x, baseline, words, size=11.5, fill=STONE, halo=SAND))
                taken.append(room)
                break
    return parts, taken


def ground(view: View, scene: Scene) -> tuple[list[Markup], list[Box]]:
    """The field under the options: end zones, lines, hash marks, numbers, the line of scrimmage
    (solid) and the line to gain (long dashes between two wedges); and the room lettering takes."""
    x0, span = view.x(0), WIDTH * YARD
    parts = [svg.box(x0, view.y(view.high), span, (view.high - view.low) * YARD, fill=SAND)]
    for start, end in ((-END_ZONE, 0), (FIELD, FIELD + END_ZONE)):
        low, high = max(start, view.low), min(end, view.high)
        if low < high:
            parts.append(svg.box(x0, view.y(high), span, (high - low) * YARD, fill=HAIR))
    parts += _yard_lines(view)
    parts.append(_hashes(view, scene.hash_from_side))
    numbers, taken = _numbers(view, [scene.line, scene.gain_line])
    parts += numbers
    y = view.y(scene.line)
    parts.append(svg.line(x0, y, x0 + span, y, stroke=INK, stroke_width=1.6))
    words = [("line", y + 12.5)]
    if scene.gain_line < FIELD:
        y = view.y(scene.gain_line)
        parts.append(
            svg.line(x0, y, x0 + span, y, stroke=INK, stroke_width=1.3, stroke_dasharray="14 4 2 4")
        )
        for edge, inward in ((x0, 7), (x0 + span, -7)):
            wedge = (
                svg.move(edge, y - 4.5) + svg.draw(edge + inward, y) + svg.draw(edge, y + 4.5) + "Z"
            )
            parts.append(svg.element("path", d=wedge, fill=INK))
        words.append(("to gain", y - 4.5))
    for word, baseline in words:
        width = text_width(word, 11.5)
        x = x0 + span - 9
        parts.append(
            svg.text(x, baseline, word, size=11.5, fill=INK, anchor="end", italic=True, halo=SAND)
        )
        taken.append(Box(x - width, baseline - 10, width + 2, 13))
    low, high = view.y(view.low), view.y(view.high)
    edges = [svg.move(view.x(a), low) + svg.draw(view.x(a), high) for a in (0, WIDTH)]
    ends = ((-END_ZONE, view.low), (FIELD + END_ZONE, view.high))
    edges += [
        svg.move(x0, view.y(end)) + svg.draw(x0 + span, view.y(end))
        for end, seen in ends
        if end == seen
    ]
    parts.append(svg.path(edges, stroke=STONE, stroke_width=2.2))
    return parts, taken
