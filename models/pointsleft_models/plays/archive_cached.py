"""The archive's play table, parsed once and then read back from the cache."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

import polars as pl

from pointsleft_models.plays import cache
from pointsleft_models.plays.archive import read_archive
from pointsleft_models.plays.archive_files import ArchiveFiles
from pointsleft_models.plays.reading import Progress, Reading, quiet

NAME = "archive"


class SeasonError(ValueError):
    """A season that the archive does not have; the message says which it has."""


def read_archive_cached(
    wheel: str | Path | None = None,
    *,
    seasons: tuple[int, ...] | None = None,
    workers: int = 2,
    progress: Progress = quiet,
) -> Reading:
    """As :func:`~pointsleft_models.plays.archive.read_archive`, under half a second once cached.

    The cache holds all seasons. It answers only for the same data files, untouched since (size
    and time), the same schema and the same code of the readers; else the files are read again
    and their hashes checked.

    Raises
    ------
    ArchiveError
        Absent, another version, or damaged.
    SeasonError
        Seasons that the archive does not have.
    """
    files = ArchiveFiles(wheel)
    key = cache.key_of(files.fingerprint, files.state(), cache.code_hash())
    kept = cache.load(NAME, key)
    if kept is None:
        whole = read_archive(wheel, workers=workers, progress=progress)
        season_of = {game.game: game.season for game in files.games()}
        about: dict[str, Any] = {
            "games": {str(k): v for k, v in sorted(Counter(season_of.values()).items())},
            "left_out": {g: [season_of[g], why] for g, why in whole.left_out.items()},
        }
        cache.save(NAME, key, whole.plays, about)
        plays = whole.plays
    else:
        plays, about = kept
    there = [int(season) for season in about["games"]]
    unknown = sorted(set(seasons or ()) - set(there))
    if unknown:
        raise SeasonError(
            f"the archive has seasons {there[0]} to {there[-1]}, not {', '.join(map(str, unknown))}"
        )
    if seasons is not None:
        plays = plays.filter(pl.col("season").is_in(seasons))
    left_out = {
        game: why
        for game, (season, why) in about["left_out"].items()
        if seasons is None or season in seasons
    }
    games = sum(n for season, n in about["games"].items() if int(season) in (seasons or there))
    return Reading(
        source=files.name,
        plays=plays,
        games_read=games,
        finals_reproduced=games - len(left_out),
        left_out=left_out,
    )
