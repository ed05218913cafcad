"""Text from strangers, made safe to show: notes, names and titles come from a log.

Markup is the business of the HTML templates (escaping is always on there); this file deals
with what escaping does not: control characters, marks that reorder text, and cells that a
spreadsheet would execute.
"""

from __future__ import annotations

import re
import textwrap
import unicodedata

#: Control characters (tab and newline are kept apart), marks that reverse the reading order,
#: lone surrogates and non-characters: none of them belongs in a report, and a terminal or an
#: XML reader may act on them.
_UNWANTED = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\u200e\u200f\ud800-\udfff\ufffe\uffff]"
)

#: Columns of a terminal that text is made for.
TERMINAL = 80

#: First characters that make a spreadsheet read a cell as a formula, full-width forms included.
FORMULA_STARTS = frozenset("=+-@＝＋－＠\t\r\n")


def clean(text: str) -> str:
    """The text with every unwanted character replaced by a visible mark.

    >>> clean("fine"), clean("a\\x1b[2Jb")
    ('fine', 'a\\ufffd[2Jb')
    """
    return _UNWANTED.sub("\ufffd", text)


def one_line(text: str) -> str:
    """Clean text on one line, runs of white space made one space."""
    return " ".join(clean(text).split())


def capital(text: str) -> str:
    """The text as a sentence begins.

    >>> capital("win probability"), capital("")
    ('Win probability', '')
    """
    return text[:1].upper() + text[1:]


def neutral_cell(text: str) -> str:
    """Text as a cell that no spreadsheet executes: a leading apostrophe where it would.

    >>> neutral_cell("=1+1"), neutral_cell("  @cmd"), neutral_cell("slant")
    ("'=1+1", "'  @cmd", 'slant')
    """
    cleaned = clean(text)
    start = cleaned.lstrip(" \u00a0\u3000")[:1]
    return f"'{cleaned}" if start in FORMULA_STARTS and start else cleaned


def columns(text: str) -> int:
    """Terminal columns the text takes: wide characters two, combining marks none."""
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
        for c in text
    )


def wrapped(text: str, indent: str = "", width: int = TERMINAL) -> list[str]:
    """Lines of a paragraph, those after the first two columns farther in; words stay whole.

    >>> wrapped("go for it now", "  ", 9)
    ['  go for', '    it', '    now']
    """
    return textwrap.wrap(
        text, width, initial_indent=indent, subsequent_indent=indent + "  ",
        break_on_hyphens=False,
    ) or [indent]  # fmt: skip


def cut(text: str, width: int) -> str:
    """Text cut with an ellipsis so that it takes at most ``width`` columns, blanks as they are."""
    if columns(text) <= width:
        return text
    kept = ""
    for character in text:
        if columns(kept + character) > width - 1:
            break
        kept += character
    return kept.rstrip() + "…" if width > 0 else ""


def fit(text: str, width: int) -> str:
    """Clean text on one line, cut to at most ``width`` columns."""
    return cut(one_line(text), width)


def pad(text: str, width: int, *, right: bool = False) -> str:
    """Text cut or filled with blanks to exactly ``width`` terminal columns."""
    cut = fit(text, width)
    blanks = " " * (width - columns(cut))
    return blanks + cut if right else cut + blanks
