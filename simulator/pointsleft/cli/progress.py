"""A progress bar on standard error; silent when that is no terminal."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from typing import Any


def progress(items: Iterable[Any], total: int, what: str) -> Iterator[Any]:
    """Pass items on, showing how far it is."""
    if not sys.stderr.isatty() or total < 2:
        yield from items
        return
    from rich.console import Console
    from rich.progress import track

    yield from track(items, description=what, total=total, console=Console(stderr=True))
