"""Figures that a command measured and left in docs/, for the pages that show them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any


def read_measured(docs: Path, name: str) -> Any | None:
    """What a command wrote into ``docs/name``; ``None`` where it has not been run."""
    path = docs / name
    return json.loads(path.read_text(encoding="utf-8")) if path.is_file() else None


def not_measured(command: str, name: str) -> str:
    """What a page says in place of figures that are not there."""
    return f"Not measured yet: `{command}` writes docs/{name}.\n"
