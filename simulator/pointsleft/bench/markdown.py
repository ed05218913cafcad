"""Markdown of the measured pages."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

Lines = list[str]


def table(head: Sequence[str], rows: Sequence[Sequence[str]], left: int = 1) -> Lines:
    """A table whose first ``left`` columns are set to the left."""
    marks = ["---" if i < left else "---:" for i in range(len(head))]
    return ["| " + " | ".join(cells) + " |" for cells in (head, marks, *rows)]


def held(met: bool) -> str:
    """What is said of a goal."""
    return "held" if met else "**not held**"


def paragraph(text: str) -> Lines:
    """A paragraph in lines of the width of our pages; line breaks in the text are blanks."""
    return textwrap.wrap(" ".join(text.split()), 98, break_long_words=False, break_on_hyphens=False)
