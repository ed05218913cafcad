"""The archive, read once a session through a cache inside the clone; where shared data lie."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from pointsleft_models.plays.archive_cached import read_archive_cached
from pointsleft_models.plays.reading import Reading

ROOT = Path(__file__).parents[3]


@pytest.fixture(scope="session")
def kept_archive() -> str:
    """Where the parsed archive is kept between sessions: inside the clone."""
    return os.environ.get("POINTSLEFT_CACHE", str(ROOT / "out" / "cache"))


@pytest.fixture(scope="session")
def archive(kept_archive: str) -> Reading:
    """The whole archive (tests that ask for it carry the marker ``archive``)."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("POINTSLEFT_CACHE", kept_archive)
        return read_archive_cached()


@pytest.fixture(scope="session")
def games_file() -> Path:
    """The table of games: in the folder that POINTSLEFT_SHARED_DATA names, or beside the clone."""
    folder = Path(os.environ.get("POINTSLEFT_SHARED_DATA", ROOT.parent / "shared" / "data"))
    path = folder / "games_2009_2019.csv"
    if not path.is_file():
        pytest.skip("no games_2009_2019.csv (name its folder in POINTSLEFT_SHARED_DATA)")
    return path


@pytest.fixture
def cache_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty cache for one test."""
    folder = tmp_path / "cache"
    monkeypatch.setenv("POINTSLEFT_CACHE", str(folder))
    return folder
