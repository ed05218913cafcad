"""Where the choice turns: field position across, yards to go down, in three greys and a band.

Every meaning is told by a pattern and a word and not by a hue, so the sheet may be copied in
black and white.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from markupsafe import Markup
from pointsleft_models.football.spot import write_spot

from pointsleft.calls.turn import Turn
from pointsleft.report.drawing import svg
from pointsleft.report.drawing.scale import Scale
from pointsleft.report.palette import INK, PAPER, STONE

_LEFT, _RIGHT, _TOP, _BOTTOM = 44.0, 10.0, 8.0, 46.0

#: Fill of each call: plain paper, dots, thin lines; the band has thick slanted bars.
_FILL = {"go": PAPER, "field goal": "url(#dots)", "punt": "url(#lines)", "": "none"}
_BAND = "url(#bars)"
_WORDS = {"go": "go", "field goal": "field goal", "punt": "punt"}


def _patterns() -> Markup:
    dots = svg.element(
        "pattern", svg.box(0, 0, 5, 5, fill=PAPER),
        svg.element("circle", cx=2.5, cy=2.5, r=1.1, fill=INK),
        id="dots", width=5, height=5, patternUnits="userSpaceOnUse",
    )  # fmt: skip
    lines = svg.element(
        "pattern", svg.box(0, 0, 4, 4, fill=PAPER),
        svg.line(0, 2, 4, 2, stroke=STONE, stroke_width=0.8),
        id="lines", width=4, height=4, patternUnits="userSpaceOnUse",
    )  # fmt: skip
    bars = svg.element(
        "pattern", svg.box(0, 0, 9, 9, fill=PAPER),
        svg.line(0, 0, 0, 9, stroke=INK, stroke_width=5),
        id="bars", width=7, height=9, patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    )  # fmt: skip
    return svg.element("defs", dots, lines, bars)


def _runs(row: Sequence[tuple[str, bool]]) -> Iterator[tuple[int, int, str, bool]]:
    """Stretches of one call: first, one past the last, call, settled."""
    at = 0
    for (call, settled), same in groupby(row):
        many = len(list(same))
        yield at, at + many, call, settled
        at += many


def turn_drawing(
    turn: Turn, numbered: Sequence[tuple[int, int, int]], width: float, height: float
) -> Markup:
    """Draw the map.

    Parameters
    ----------
    numbered
        Number, yards to goal and yards to go of the calls to mark; those with more to go than the
        map has stand on its last row.
    """
    columns, rows = len(turn.yards_to_goal), len(turn.distances)
    x = Scale(0, columns, _LEFT, width - _RIGHT)
    y = Scale(0, rows, _TOP, height - _BOTTOM)
    parts = [_patterns()]
    for i in range(rows):
        row = list(zip(turn.best[i], turn.settled[i], strict=True))
        for first, last, call, settled in _runs(row):
            if not call:
                continue
            parts.append(
                svg.box(x(first), y(i), x(last) - x(first), y(i + 1) - y(i),
                        fill=_FILL[call] if settled else _BAND)
            )  # fmt: skip
    parts += _edges(turn, x, y)
    parts += _axes(turn, x, y)
    parts += _names(turn, x, y)
    parts += _marks(turn, numbered, x, y)
    title = f"The best fourth-down call by field position and yards to go, {turn.situation}"
    return svg.picture(width, height, title, *parts, class_="turn")


def _kind(turn: Turn, i: int, j: int) -> str:
    if not turn.best[i][j]:
        return ""
    return turn.best[i][j] if turn.settled[i][j] else "band"


def _edges(turn: Turn, x: Scale, y: Scale) -> list[Markup]:
    """A line wherever two neighbours differ."""
    steps = []
    rows, columns = len(turn.distances), len(turn.yards_to_goal)
    for i in range(rows):
        for j in range(columns):
            here = _kind(turn, i, j)
            if j + 1 < columns and _kind(turn, i, j + 1) != here:
                steps += [svg.move(x(j + 1), y(i)), svg.draw(x(j + 1), y(i + 1))]
            if i + 1 < rows and _kind(turn, i + 1, j) != here:
                steps += [svg.move(x(j), y(i + 1)), svg.draw(x(j + 1), y(i + 1))]
    return [svg.path(steps, stroke=INK, stroke_width=0.9)]


def _axes(turn: Turn, x: Scale, y: Scale) -> list[Markup]:
    parts = []
    for i, distance in enumerate(turn.distances):
        parts.append(
            svg.text(x.start - 6, (y(i) + y(i + 1)) / 2 + 3.5, str(distance), size=9.5, fill=INK,
                     anchor="end")
        )  # fmt: skip
    for j, spot in enumerate(turn.yards_to_goal):
        if spot % 10 == 0:
            at = (x(j) + x(j + 1)) / 2
            parts.append(svg.line(at, y.end, at, y.end + 4, stroke=INK, stroke_width=0.8))
            parts.append(
                svg.text(at, y.end + 14, write_spot(spot), size=9.5, fill=INK, anchor="middle")
            )
    parts.append(
        svg.box(x.start, y.start, x.end - x.start, y.end - y.start, fill="none", stroke=INK,
                stroke_width=1)
    )  # fmt: skip
    parts.append(
        svg.element(
            "text", "yards to go", x=0, y=0, font_size=9.5, fill=STONE, text_anchor="middle",
            transform=f"translate(14 {svg.number((y.start + y.end) / 2)}) rotate(-90)",
        )
    )  # fmt: skip
    legend = x.start
    words = [(name, _FILL[call]) for call, name in _WORDS.items()]
    for name, fill in (*words, ("not settled: either will do", _BAND)):
        parts.append(svg.box(legend, y.end + 25, 22, 12, fill=fill, stroke=INK, stroke_width=0.8))
        parts.append(svg.text(legend + 28, y.end + 35, name, size=10.5, fill=INK))
        legend += 48 + 6.2 * len(name)
    return parts


def _names(turn: Turn, x: Scale, y: Scale) -> list[Markup]:
    """The word of each call in the middle of its widest stretch."""
    widest: dict[str, tuple[int, float, float]] = {}
    for i in range(len(turn.distances)):
        row = list(zip(turn.best[i], turn.settled[i], strict=True))
        for first, last, call, settled in _runs(row):
            if call and settled and last - first > widest.get(call, (0, 0.0, 0.0))[0]:
                widest[call] = last - first, (first + last) / 2, i + 0.5
    return [
        svg.text(x(column), y(row) + 4, _WORDS[call], size=11.5, fill=INK, anchor="middle",
                 weight=700, halo=PAPER)
        for call, (many, column, row) in widest.items() if many >= 6
    ]  # fmt: skip


def _marks(
    turn: Turn, numbered: Sequence[tuple[int, int, int]], x: Scale, y: Scale
) -> list[Markup]:
    """The game's own calls as numbers in rings, moved aside where two would meet."""
    parts: list[Markup] = []
    taken: list[tuple[float, float]] = []
    deepest = turn.distances[-1]
    for number, spot, to_go in numbered:
        if spot not in turn.yards_to_goal:
            continue
        column = turn.yards_to_goal.index(spot)
        cx, cy = (x(column) + x(column + 1)) / 2, y(min(to_go, deepest) - 0.5)
        while any(abs(cx - a) < 15 and abs(cy - b) < 13 for a, b in taken):
            cx += 15 if cx < x.end - 40 else -15
        taken.append((cx, cy))
        parts.append(
            svg.element("circle", cx=cx, cy=cy, r=7.2, fill=PAPER, stroke=INK, stroke_width=1.4)
        )
        parts.append(
            svg.text(cx, cy + 3.4, str(number), size=9.5, fill=INK, anchor="middle", weight=700)
        )
    return parts
