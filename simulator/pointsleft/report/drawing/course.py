"""The course of a game: win probability as steps at the snaps, with what decisions left."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from markupsafe import Markup

from pointsleft.pricing.result import CoursePoint
from pointsleft.report.drawing import svg
from pointsleft.report.drawing.lettering import Box, Label, place_labels
from pointsleft.report.drawing.scale import Scale
from pointsleft.report.palette import HAIR, INK, OCHRE, PAPER, STONE

QUARTER = 900
_LEFT, _RIGHT, _TOP, _BOTTOM = 46.0, 12.0, 12.0, 40.0


def _places(course: Sequence[CoursePoint]) -> tuple[list[float], bool]:
    """Where each snap stands: seconds of game time, or its number where a time is missing."""
    if all(point.elapsed is not None for point in course):
        return [float(point.elapsed or 0) for point in course], True
    return [float(i) for i in range(len(course))], False


def _ground(x: Scale, y: Scale, timed: bool) -> list[Markup]:
    parts = []
    for share in (0, 0.25, 0.5, 0.75, 1):
        at = y(share)
        heavy = share == 0.5
        parts.append(
            svg.line(
                x.start, at, x.end, at,
                stroke=STONE if heavy else HAIR, stroke_width=1,
                stroke_dasharray="2 4" if heavy else None,
            )
        )  # fmt: skip
        parts.append(
            svg.text(x.start - 8, at + 4, f"{share:.0%}", size=11.5, fill=STONE, anchor="end")
        )
    below = y.start + 16
    if not timed:
        middle = (x.start + x.end) / 2
        parts.append(
            svg.text(middle, below, "snaps in order", size=11.5, fill=STONE, anchor="middle")
        )
        return parts
    quarter = 0
    while quarter * QUARTER < x.high:
        start, end = quarter * QUARTER, min((quarter + 1) * QUARTER, x.high)
        if quarter:
            at = x(start)
            parts.append(svg.line(at, y.end, at, y.start + 5, stroke=HAIR, stroke_width=1))
        words = f"quarter {quarter + 1}" if quarter < 4 else "overtime"
        if x(end) - x(start) > 56:
            middle = (x(start) + x(end)) / 2
            parts.append(svg.text(middle, below, words, size=11.5, fill=STONE, anchor="middle"))
        quarter = min(quarter + 1, 4) if quarter < 4 else int(x.high // QUARTER) + 1
    return parts


def _marks(
    course: Sequence[CoursePoint], places: Sequence[float], x: Scale, y: Scale
) -> list[Markup]:
    """A bar above the step for what a decision left; a dot where it left nothing."""
    parts = []
    for point, place in zip(course, places, strict=True):
        if point.left is None:
            continue
        at, base, top = x(place), y(point.wins), y(min(1.0, point.wins + point.left))
        if base - top > 1:
            parts.append(
                svg.box(at - 2.2, top, 4.4, base - top, fill=OCHRE, stroke=INK, stroke_width=0.6)
            )
        parts.append(svg.element("circle", cx=at, cy=base, r=2.4, fill=INK))
    return parts


def _numbers(
    course: Sequence[CoursePoint], places: Sequence[float], numbered: Mapping[str, int],
    x: Scale, y: Scale,
) -> list[Markup]:  # fmt: skip
    """Numbers of the dearest decisions, each tied to its bar and linked to its entry."""
    wanted, numbers = [], []
    for point, place in zip(course, places, strict=True):
        if point.snap in numbered and point.left is not None:
            top = y(min(1.0, point.wins + point.left))
            wanted.append(Label(x(place), top, 17, 17))
            numbers.append(numbered[point.snap])
    frame = Box(x.start, 0, x.end - x.start + _RIGHT, y.start)
    bars = [
        Box(x(place) - 3, y(min(1.0, p.wins + p.left)), 6, 4 + (y(0) - y(min(1.0, p.left))))
        for p, place in zip(course, places, strict=True)
        if p.left is not None
    ]
    steps = [
        (x(a), y(p.wins), x(b), y(p.wins), 14.0)
        for p, a, b in zip(course, places, places[1:], strict=False)
    ]
    parts: list[Markup] = []
    spots = place_labels(wanted, frame, bars, steps)
    for label, spot, number in zip(wanted, spots, numbers, strict=True):
        cx, cy = spot.x + 8.5, spot.y + 8.5
        parts.append(svg.line(label.x, label.y, cx, cy, stroke=INK, stroke_width=0.7))
        badge = svg.element("circle", cx=cx, cy=cy, r=8.2, fill=PAPER, stroke=INK, stroke_width=0.9)
        figure = svg.text(cx, cy + 4, str(number), size=11, fill=INK, anchor="middle", weight=700)
        parts.append(svg.element("a", badge, figure, href=f"#dearest-{number}"))
    return parts


def game_course(
    course: Sequence[CoursePoint], end: float | None, numbered: Mapping[str, int],
    width: float, height: float, title: str,
) -> Markup:  # fmt: skip
    """Draw the course.

    Parameters
    ----------
    end
        Win probability after the last snap, ``None`` where not known.
    numbered
        Snap to number of the dearest decisions.
    width, height
        Size on the paper; a narrow and a wide drawing serve phone and desk.
    """
    places, timed = _places(course)
    span = (places[-1] - places[0]) or 1.0
    low = 0.0 if timed else places[0]
    x = Scale(low, places[-1] + 0.015 * span, _LEFT, width - _RIGHT)
    y = Scale(0, 1, height - _BOTTOM, _TOP)
    steps = [svg.move(x(places[0]), y(course[0].wins))]
    for point, place in zip(course[1:], places[1:], strict=True):
        steps.append(f"H{svg.number(x(place))}V{svg.number(y(point.wins))}")
    steps.append(f"H{svg.number(x.end)}")
    closing: list[Markup] = []
    if end is not None:
        steps.append(f"V{svg.number(y(end))}")
        closing.append(
            svg.element(
                "circle", cx=x.end, cy=y(end), r=4, fill=PAPER, stroke=INK, stroke_width=1.6
            )
        )
    line = svg.path(steps, stroke=INK, stroke_width=1.7, stroke_linejoin="miter")
    parts = [
        *_ground(x, y, timed), line, *closing, *_marks(course, places, x, y),
        *_numbers(course, places, numbered, x, y),
        svg.text(0, height - 6, "win probability, by game time" if timed
                 else "win probability, by snap", size=11.5, fill=STONE, italic=True),
    ]  # fmt: skip
    return svg.picture(width, height, title, *parts, class_="course")
