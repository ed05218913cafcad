"""The one palette of every page and figure.

The meaning colours differ by lightness in steps a grey print keeps apart, so no meaning hangs
on hue alone; violet and ochre stay apart for every common kind of colour blindness. Text
colours reach a contrast of at least 4.5 to 1 on the paper.
"""

from __future__ import annotations

PAPER = "#fdfcf9"  # the page
INK = "#221d27"  # text, and what was done: the chosen option, the course of the game
VIOLET = "#4f3063"  # what would have been best
STONE = "#6d6775"  # the other options; second-rank text
OCHRE = "#d39b3f"  # what was left on the field
MIST = "#cfc4d6"  # fill of what would have been best
SAND = "#efe9dc"  # ground of a figure: the field, a band
HAIR = "#ddd6ca"  # hairlines
OCHRE_INK = "#7b520f"  # ochre as text

#: Colours that carry a meaning in a figure, dark to light; tested for their lightness.
MEANINGS = (INK, STONE, OCHRE, SAND)

#: Colours that text is set in; tested for their contrast on paper and on sand.
TEXTS = (INK, VIOLET, STONE, OCHRE_INK)


def _linear(channel: int) -> float:
    share = channel / 255
    return float(share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4)


def luminance(colour: str) -> float:
    """Relative luminance of ``#rrggbb``, 0 black to 1 white."""
    red, green, blue = (_linear(int(colour[i : i + 2], 16)) for i in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def lightness(colour: str) -> float:
    """CIE lightness, 0 black to 100 white: what is left of a colour in a grey print."""
    y = luminance(colour)
    return 116 * (y ** (1 / 3) if y > 216 / 24389 else (24389 / 27 * y + 16) / 116) - 16


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)
