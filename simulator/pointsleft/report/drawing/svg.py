"""SVG elements as escaped markup."""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup, escape

from pointsleft.report.safe_text import clean

Attribute = str | float | int | None


def number(value: float) -> str:
    """A coordinate with at most two decimals.

    >>> number(1.0), number(0.12345), number(-0.001)
    ('1', '0.12', '0')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def element(name: str, *children: str | Markup, **attributes: Attribute) -> Markup:
    """One element. Underscores in attribute names become hyphens, a trailing one is dropped
    (``class_``); ``None`` leaves an attribute out; plain text children are escaped."""
    parts = [f"<{name}"]
    for key, value in attributes.items():
        if value is None:
            continue
        shown = value if isinstance(value, str) else number(value)
        parts.append(f' {key.rstrip("_").replace("_", "-")}="{escape(clean(shown))}"')
    if not children:
        return Markup("".join(parts) + "/>")
    inside = "".join(c if isinstance(c, Markup) else str(escape(clean(c))) for c in children)
    return Markup("".join(parts) + ">" + inside + f"</{name}>")


def text(
    x: float,
    y: float,
    words: str,
    *,
    size: float = 12,
    fill: str,
    anchor: str = "start",
    weight: int | None = None,
    halo: str | None = None,
    italic: bool = False,
) -> Markup:
    """One line of text at its baseline; ``halo`` is the colour of a rim that keeps it legible."""
    return element(
        "text",
        words,
        x=x,
        y=y,
        font_size=size,
        fill=fill,
        text_anchor=None if anchor == "start" else anchor,
        font_weight=weight,
        font_style="italic" if italic else None,
        stroke=halo,
        stroke_width=3 if halo else None,
        stroke_linejoin="round" if halo else None,
        paint_order="stroke" if halo else None,
    )


def line(x1: float, y1: float, x2: float, y2: float, **attributes: Attribute) -> Markup:
    """A straight line."""
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, **attributes)


def box(x: float, y: float, width: float, height: float, **attributes: Attribute) -> Markup:
    """A rectangle; a negative width is drawn to the left of ``x``."""
    left = min(x, x + width)
    return element("rect", x=left, y=y, width=abs(width), height=height, **attributes)


def path(steps: Iterable[str], **attributes: Attribute) -> Markup:
    """A path from its steps."""
    return element("path", d="".join(steps), fill="none", **attributes)


def move(x: float, y: float) -> str:
    return f"M{number(x)} {number(y)}"


def draw(x: float, y: float) -> str:
    return f"L{number(x)} {number(y)}"


def picture(
    width: float, height: float, title: str, *children: Markup, class_: str | None = None
) -> Markup:
    """A whole drawing with a title that screen readers say."""
    return element(
        "svg",
        element("title", title),
        *children,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="img",
        class_=class_,
    )
