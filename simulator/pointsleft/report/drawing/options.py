"""The options of a snap drawn on the field: what was chosen, what was best, what else was there.

Chosen is a heavy solid line that ends in a full dot; best is a heavy broken line that ends in a
ring; one that was both is solid and ends in a dot within a ring; the others are thin. Runs and
kicks end in an arrow head: they show a direction only.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup
from pointsleft_models.football.field import WIDTH
from pointsleft_models.football.situation import FIELD

from pointsleft.pricing.result import PricedOption
from pointsleft.report.drawing import svg
from pointsleft.report.drawing.field import View, ground, view_of
from pointsleft.report.drawing.lettering import (
    Box,
    Label,
    Line,
    place_labels,
    shorten,
    text_width,
)
from pointsleft.report.drawing.placing import Placed, Role, Scene, place
from pointsleft.report.palette import INK, PAPER, SAND, STONE, VIOLET

_NAME, _VALUE = 12.5, 11.5  # sizes of the lettering
_WIDEST = 108.0
_ORDER: tuple[Role, ...] = ("other", "best", "chosen", "both")


@dataclass(frozen=True, slots=True)
class Stroke:
    """How a line is drawn."""

    colour: str
    width: float
    dashes: str | None


STROKES: dict[Role, Stroke] = {
    "chosen": Stroke(INK, 3.2, None),
    "both": Stroke(INK, 3.2, None),
    "best": Stroke(VIOLET, 3.2, "9 5"),
    "other": Stroke(STONE, 1.2, None),
}


@dataclass(frozen=True, slots=True)
class FieldPicture:
    """The drawing, and the ids of options that have no place on the field."""

    markup: Markup
    undrawn: tuple[str, ...]


def _bend(view: View, item: Placed) -> tuple[tuple[float, float], ...]:
    """Start, bending point and end on the paper: a slight bow to the outside."""
    x1, y1 = view.x(item.start[0]), view.y(item.start[1])
    x2, y2 = view.x(item.end[0]), view.y(item.end[1])
    bow = {"kick": 0.0, "throw": 0.07, "away": 0.0, "run": 0.16}[item.shape]
    if item.shape == "run":
        bow *= min(1.0, abs(x2 - x1) / 40)
    side = 1 if x2 >= x1 else -1
    middle = (
        (x1 + x2) / 2 + side * bow * abs(y2 - y1),
        (y1 + y2) / 2 + (bow * abs(x2 - x1) if item.shape == "run" else 0),
    )
    return (x1, y1), middle, (x2, y2)


def _ending(item: Placed, bend: Sequence[tuple[float, float]]) -> list[Markup]:
    """What stands at the end of an option's line."""
    stroke = STROKES[item.role]
    (_, _), (mx, my), (x, y) = bend
    if item.shape != "throw":
        angle = math.atan2(y - my, x - mx)
        reach = 9.0 if item.role != "other" else 6.5
        wings = [
            (x - reach * math.cos(angle + turn), y - reach * math.sin(angle + turn))
            for turn in (0.5, -0.5)
        ]
        head = svg.move(x, y) + svg.draw(*wings[0]) + svg.draw(*wings[1]) + "Z"
        filled = item.role != "best"
        parts = [
            svg.element(
                "path", d=head, fill=stroke.colour if filled else PAPER,
                stroke=stroke.colour, stroke_width=1.6,
            )
        ]  # fmt: skip
        if item.role == "both":
            parts.append(
                svg.element("circle", cx=x, cy=y, r=9, fill="none", stroke=INK, stroke_width=1.4)
            )
        return parts
    if item.role == "other":
        return [svg.element("circle", cx=x, cy=y, r=2.9, fill=STONE)]
    if item.role == "best":
        return [
            svg.element("circle", cx=x, cy=y, r=5.4, fill=PAPER, stroke=VIOLET, stroke_width=2.6)
        ]
    dot = svg.element("circle", cx=x, cy=y, r=4.6, fill=INK)
    if item.role == "chosen":
        return [dot]
    ring = svg.element("circle", cx=x, cy=y, r=8, fill=PAPER, stroke=INK, stroke_width=1.8)
    return [ring, dot]


def _line(item: Placed, bend: Sequence[tuple[float, float]]) -> Markup:
    stroke = STROKES[item.role]
    start, middle, end = bend
    curve = svg.move(*start) + (
        f"Q{svg.number(middle[0])} {svg.number(middle[1])} "
        f"{svg.number(end[0])} {svg.number(end[1])}"
    )
    dashes = stroke.dashes or ("2 4" if item.shape == "away" else None)
    return svg.path(
        [curve], stroke=stroke.colour, stroke_width=stroke.width, stroke_dasharray=dashes
    )


def _passer(view: View, scene: Scene) -> tuple[list[Markup], Box]:
    x, y = view.x(scene.passer[0]), view.y(scene.passer[1])
    return [
        svg.element("circle", cx=x, cy=y, r=6, fill=PAPER, stroke=INK, stroke_width=1.6),
        svg.text(x, y + 18, "QB", size=11, fill=INK, anchor="middle", halo=SAND),
    ], Box(x - 11, y - 8, 22, 30)


def _segments(
    items: Sequence[Placed],
    bends: Sequence[Sequence[tuple[float, float]]],
    scene: Scene,
    view: View,
) -> list[Line]:
    """Lines that lettering keeps off: every option's, the two lines across the field, and the
    goal lines."""
    across = {scene.line, scene.gain_line, 0.0, float(FIELD)}
    lines: list[Line] = [
        (view.x(0), view.y(along), view.x(WIDTH), view.y(along), 24.0)
        for along in sorted(across)
        if view.low <= along <= view.high
    ]
    for item, (start, middle, end) in zip(items, bends, strict=True):
        half = (
            (start[0] + 2 * middle[0] + end[0]) / 4,
            (start[1] + 2 * middle[1] + end[1]) / 4,
        )
        cost = 18.0 if item.role == "other" else 45.0
        lines += [(*start, *half, cost), (*half, *end, cost)]
    return lines


def _lettering(
    view: View, items: Sequence[Placed], names: Mapping[str, str], values: Mapping[str, str],
    spots: Sequence[tuple[float, float]], boxes: Sequence[Box],
) -> list[Markup]:  # fmt: skip
    parts = []
    for item, (x, y), box in zip(items, spots, boxes, strict=True):
        halo = view.ground_at(box.y + box.height / 2)
        colour = STROKES[item.role].colour
        near = (min(max(x, box.x), box.right), min(max(y, box.y), box.bottom))
        if math.hypot(near[0] - x, near[1] - y) > 17:
            parts.append(
                svg.line(
                    x, y, near[0], near[1], stroke=colour, stroke_width=0.9, stroke_dasharray="2 2"
                )
            )
        middle = box.x + box.width / 2
        heavy = item.role != "other"
        parts.append(
            svg.text(
                middle, box.y + 11, names[item.id], size=_NAME, fill=colour, anchor="middle",
                weight=700 if heavy else None, halo=halo,
            )
        )  # fmt: skip
        if values[item.id]:
            parts.append(
                svg.text(
                    middle, box.y + 23.5, values[item.id], size=_VALUE, fill=colour,
                    anchor="middle", halo=halo,
                )
            )  # fmt: skip
    return parts


def draw_options(
    options: Sequence[PricedOption],
    chosen: str,
    best: str,
    scene: Scene,
    values: Mapping[str, str],
    title: str,
) -> FieldPicture:
    """Draw the options of a snap on the field.

    Parameters
    ----------
    values
        What to print under each option's name (value with its unit), by id.
    title
        What a screen reader says of the drawing.
    """
    placed, undrawn = place(options, chosen, best, scene)
    # Labels are placed in this order: the two that matter first, then the deepest.
    items = sorted(placed, key=lambda p: (-_ORDER.index(p.role), -p.end[1], p.id))
    view = view_of(scene, max((p.end[1] for p in items), default=scene.line), len(items))
    back, taken = ground(view, scene)
    bends = [_bend(view, item) for item in items]
    ends = [bend[2] for bend in bends]
    passer, passer_box = _passer(view, scene)
    taken += [passer_box, *(Box(x - 6, y - 6, 12, 12) for x, y in ends)]
    names = {i.id: shorten(i.id, _NAME, _WIDEST, bold=i.role != "other") for i in items}
    labels = [
        Label(
            x, y,
            max(
                text_width(names[i.id], _NAME, bold=i.role != "other"),
                text_width(values[i.id], _VALUE),
            ) + 4,
            28 if values[i.id] else 15,
        )
        for i, (x, y) in zip(items, ends, strict=True)
    ]  # fmt: skip
    boxes = place_labels(labels, view.frame, taken, _segments(items, bends, scene, view))
    front: list[Markup] = []
    for item, bend in reversed(list(zip(items, bends, strict=True))):
        front += [_line(item, bend), *_ending(item, bend)]
    letters = _lettering(view, items, names, values, ends, boxes)
    height = max([view.height, *(b.bottom + 4 for b in boxes)])
    return FieldPicture(
        svg.picture(view.width, height, title, *back, *front, *passer, *letters, class_="field"),
        undrawn,
    )
