"""How wide lettering is, and where labels can stand without touching one another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pointsleft.report.safe_text import columns, one_line

_NARROW = frozenset("iIjlt.,:;'|!()[]fr ·")
_BROAD = frozenset("mwMW@%—…")


def text_width(words: str, size: float, *, bold: bool = False) -> float:
    """Width of a line of text in a common sans face, estimated a little on the wide side."""
    ems = sum(
        1.06 * columns(c) if columns(c) != 1 else 0.34 if c in _NARROW else 0.93 if c in _BROAD
        else 0.70 if c.isupper() else 0.58
        for c in words
    )  # fmt: skip
    return ems * size * (1.07 if bold else 1.0)


def shorten(words: str, size: float, width: float, *, bold: bool = False) -> str:
    """Text on one line, cut with an ellipsis to a drawn width."""
    line = one_line(words)
    if text_width(line, size, bold=bold) <= width:
        return line
    while line and text_width(line + "…", size, bold=bold) > width:
        line = line[:-1]
    return line.rstrip() + "…"


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the paper: left, top, width, height."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def bottom(self) -> float:
        return self.y + self.height

    def touches(self, other: Box, gap: float = 0.0) -> bool:
        """Whether two boxes overlap or come nearer than a gap."""
        return (
            self.x < other.right + gap
            and other.x < self.right + gap
            and self.y < other.bottom + gap
            and other.y < self.bottom + gap
        )

    def inside(self, frame: Box) -> bool:
        return (
            self.x >= frame.x
            and self.y >= frame.y
            and self.right <= frame.right
            and self.bottom <= frame.bottom
        )

    def distance(self, x: float, y: float) -> float:
        """How far a point is from the box, 0 inside it."""
        across = max(self.x - x, 0.0, x - self.right)
        return math.hypot(across, max(self.y - y, 0.0, y - self.bottom))

    def crossed_by(self, x1: float, y1: float, x2: float, y2: float) -> bool:
        """Whether a straight line between two points runs through the box (checked finely)."""
        length = math.hypot(x2 - x1, y2 - y1)
        steps = max(2, int(length / 3))
        return any(
            self.x <= x1 + (x2 - x1) * i / steps <= self.right
            and self.y <= y1 + (y2 - y1) * i / steps <= self.bottom
            for i in range(steps + 1)
        )


@dataclass(frozen=True, slots=True)
class Label:
    """What wants a label: the point it belongs to and the size of its box."""

    x: float
    y: float
    width: float
    height: float


#: A straight line labels should keep off, and what crossing it costs (in units of distance).
Line = tuple[float, float, float, float, float]

#: What it costs to stand nearer to another point than to one's own.
_STRAY = 40.0

_RINGS = (9.0, 16.0, 26.0, 40.0, 58.0, 80.0, 110.0)
#: Directions in order of liking: right, left, above, below, then the diagonals.
_DIRECTIONS = ((1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1))


def _strays(box: Box, own: Label, labels: Sequence[Label]) -> bool:
    """Whether a box stands nearer to another label's point than to its own."""
    away = box.distance(own.x, own.y)
    return any(box.distance(o.x, o.y) < away for o in labels if o is not own)


def _candidates(label: Label) -> list[tuple[float, Box]]:
    found = []
    for ring in _RINGS:
        for liking, (dx, dy) in enumerate(_DIRECTIONS):
            x = label.x + dx * ring - (0 if dx > 0 else label.width if dx < 0 else label.width / 2)
            y = (
                label.y
                + dy * ring
                - (label.height / 2 if dy == 0 else 0 if dy > 0 else label.height)
            )
            found.append((ring + 1.5 * liking, Box(x, y, label.width, label.height)))
    return found


def place_labels(
    labels: Sequence[Label], frame: Box, taken: Sequence[Box], lines: Sequence[Line] = ()
) -> tuple[Box, ...]:
    """A box for each label, none touching another or a taken box, all inside the frame.

    Deterministic: labels are placed in the order given, each in the free place that is nearest
    to its point and crosses the fewest lines. A label that finds no free place near its point
    goes to the nearest free place of a grid over the whole frame; where there is none either,
    the labels are stacked under the frame (the drawing then grows).
    """
    blocked = list(taken)
    placed: list[Box] = []
    under = frame.bottom + 4
    for label in labels:
        free = [
            (
                cost
                + sum(price for *ends, price in lines if b.crossed_by(*ends))
                + (_STRAY if _strays(b, label, labels) else 0),
                i,
                b,
            )
            for i, (cost, b) in enumerate(_candidates(label))
            if b.inside(frame) and not any(b.touches(o, 2) for o in blocked)
        ]
        if not free:
            grid = (
                Box(frame.x + 8 * i, frame.y + 6 * j, label.width, label.height)
                for j in range(int(frame.height / 6) + 1)
                for i in range(int(frame.width / 8) + 1)
            )
            free = [
                (math.hypot(b.x + b.width / 2 - label.x, b.y + b.height / 2 - label.y), i, b)
                for i, b in enumerate(grid)
                if b.inside(frame) and not any(b.touches(o, 2) for o in blocked)
            ]
        if free:
            chosen = min(free, key=lambda item: item[:2])[2]
        else:
            chosen = Box(frame.x, under, label.width, label.height)
            under += label.height + 3
        placed.append(chosen)
        blocked.append(chosen)
    return tuple(placed)
