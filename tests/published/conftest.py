"""The archive and the participation data, read once for all checks that measure on them."""

from __future__ import annotations

import os
from pathlib import Path

import polars as pl
import pytest
from pointsleft_models.plays.archive_cached import read_archive_cached
from pointsleft_models.plays.games import join_games, read_games_file
from pointsleft_models.plays.participation import join_participation, read_participation_file
from pointsleft_models.plays.sequence import with_next_snap

#: Where shared data lie when POINTSLEFT_SHARED_DATA does not say: beside the clone.
SHARED = Path(os.environ.get("POINTSLEFT_SHARED_DATA", Path(__file__).parents[3] / "shared/data"))


def shared(name: str) -> Path:
    """A file of the shared data; skips where it is not there."""
    path = SHARED / name
    if not path.is_file():
        pytest.skip(f"no {name} in {SHARED} (POINTSLEFT_SHARED_DATA names another folder)")
    return path


@pytest.fixture(scope="session")
def archive() -> pl.DataFrame:
    """Every row of the archive, with the snap that came next."""
    return with_next_snap(read_archive_cached().plays)


@pytest.fixture(scope="session")
def live(archive: pl.DataFrame) -> pl.DataFrame:
    """Scrimmage rows of the archive that counted."""
    return archive.filter(pl.col("down").is_not_null() & ~pl.col("no_play"))


@pytest.fixture(scope="session")
def watched(live: pl.DataFrame) -> pl.DataFrame:
    """Scrimmage rows joined with participation data (2016 to 2019)."""
    path = shared("participation_2016_2019.parquet")
    return join_participation(live.filter(pl.col("season") >= 2016), read_participation_file(path))


@pytest.fixture(scope="session")
def weathered(archive: pl.DataFrame) -> pl.DataFrame:
    """Every row of the archive with the roof, the temperature and the wind of its game."""
    return join_games(archive, read_games_file(shared("games_2009_2019.csv")))


@pytest.fixture(scope="session")
def games() -> pl.DataFrame:
    """Final scores and spreads of the archive's seasons."""
    return pl.read_csv(shared("games_2009_2019.csv"), infer_schema_length=10_000)
