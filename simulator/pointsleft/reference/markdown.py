"""Small pieces of Markdown."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence

_BLOCK = re.compile(
    r"(<!-- computed: (?P<name>[\w -]+) -->\n)(?P<old>.*?)(<!-- end of computed -->)", re.DOTALL
)


class BlockError(ValueError):
    """A computed part of a page that nobody computes."""


def table(head: Sequence[str], rows: Iterable[Sequence[str]], right: int = 0) -> str:
    """A table; the last ``right`` columns are set to the right.

    >>> print(table(("word", "value"), [("step", "0.53")], 1), end="")
    | word | value |
    | --- | ---: |
    | step | 0.53 |
    """
    left = len(head) - right
    lines = ["| " + " | ".join(head) + " |"]
    lines.append("| " + " | ".join("---" if i < left else "---:" for i in range(len(head))) + " |")
    lines += ["| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |" for row in rows]
    return "\n".join(lines) + "\n"


def code(text: str, language: str = "") -> str:
    """A block of code."""
    return f"```{language}\n{text.rstrip()}\n```\n"


def filled(page: str, blocks: Mapping[str, Callable[[], str]]) -> str:
    """A page with its computed parts computed again.

    A computed part stands between ``<!-- computed: NAME -->`` and ``<!-- end of computed -->``.

    Raises
    ------
    BlockError
        A part with a name that is not in ``blocks``; the message lists those there are.
    """

    def fill(match: re.Match[str]) -> str:
        name = match["name"]
        if name not in blocks:
            raise BlockError(f"no computed part {name!r}; there is {', '.join(sorted(blocks))}")
        return f"{match[1]}\n{blocks[name]().rstrip()}\n\n{match[4]}"

    return _BLOCK.sub(fill, page)


def names(page: str) -> list[str]:
    """Names of the computed parts of a page."""
    return [match["name"] for match in _BLOCK.finditer(page)]
