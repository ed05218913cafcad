"""The plays that are measured on: the archive, and shared data beside the clone."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from pointsleft.cli.progress import progress

if TYPE_CHECKING:
    import polars as pl

#: Where shared data lie beside the clone, unless the variable names another folder.
SHARED, SHARED_VARIABLE = Path("../shared/data"), "POINTSLEFT_SHARED_DATA"
GAMES_FILE, PARTICIPATION_FILE = "games_2009_2019.csv", "participation_2016_2019.parquet"
COLLEGE_FILE = "college_2016.parquet"


def _shared(root: Path, name: str) -> Path:
    return Path(os.environ.get(SHARED_VARIABLE, root / SHARED)) / name


def archive_plays(root: Path, *, games: bool = False, participation: bool = False) -> pl.DataFrame:
    """The archive, with spreads and participation data where they are wanted and there."""
    from pointsleft_models.plays.sources import read_source

    about, seen = _shared(root, GAMES_FILE), _shared(root, PARTICIPATION_FILE)
    return read_source(
        "archive",
        games=about if games and about.is_file() else None,
        participation=seen if participation and seen.is_file() else None,
        progress=progress,
    ).plays


def college_plays(root: Path) -> pl.DataFrame:
    """The shared college season."""
    from pointsleft_models.plays.college import read_college

    return read_college(_shared(root, COLLEGE_FILE)).plays
