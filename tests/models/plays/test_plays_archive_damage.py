"""An archive that is absent, of another version, or damaged gets one clear message."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from importlib import metadata
from pathlib import Path

import polars as pl
import pytest
from pointsleft_models.plays import archive_files
from pointsleft_models.plays.archive import read_archive
from pointsleft_models.plays.archive_cached import read_archive_cached
from pointsleft_models.plays.archive_files import PACKAGE, VERSION, ArchiveError, ArchiveFiles
from pointsleft_models.plays.reading import Reading

pytestmark = pytest.mark.archive

SEASON = 2018

Spoil = Callable[[str, bytes], bytes | None]


@pytest.fixture
def wheel(tmp_path: Path) -> Callable[[Spoil], Path]:
    """Builds a wheel of one season's data files and the whole record, spoilt on the way."""

    def build(spoil: Spoil) -> Path:
        installed = metadata.distribution(PACKAGE)
        files = ArchiveFiles()
        paths = ["nflgame/schedule.json"]
        paths += [game.path for game in files.games() if game.season == SEASON]
        record = next(str(p) for p in installed.files or () if str(p).endswith(".dist-info/RECORD"))
        target = tmp_path / "archive.whl"
        with zipfile.ZipFile(target, "w") as archive:
            for path in [*paths, record]:
                data = spoil(path, Path(str(installed.locate_file(path))).read_bytes())
                if data is not None:
                    archive.writestr(path, data)
        return target

    return build


def first_game() -> str:
    return next(game.path for game in ArchiveFiles().games() if game.season == SEASON)


def test_a_wheel_reads_like_the_installed_package(
    wheel: Callable[[Spoil], Path], archive: Reading
) -> None:
    path = wheel(lambda name, data: data)
    reading = read_archive(path, seasons=(SEASON,), workers=1)
    assert reading.plays.equals(archive.plays.filter(pl.col("season") == SEASON))
    assert reading.source == "archive.whl"


@pytest.mark.parametrize(
    ("harm", "message"),
    [
        (lambda data: data[:-1] + bytes([data[-1] ^ 1]), "is damaged .* install it again: pip"),
        (lambda data: data[: len(data) // 2], "is damaged"),
        (lambda data: b"", "is damaged"),
        (lambda data: None, "cannot be read"),
    ],
)
def test_a_damaged_game_is_named(
    wheel: Callable[[Spoil], Path], harm: Callable[[bytes], bytes | None], message: str
) -> None:
    member = first_game()
    path = wheel(lambda name, data: harm(data) if name == member else data)
    with pytest.raises(ArchiveError, match=f"archive file {member} {message}"):
        read_archive(path, seasons=(SEASON,), workers=1)


def test_a_damaged_member_is_found_through_the_cache_and_two_workers(
    wheel: Callable[[Spoil], Path], cache_folder: Path
) -> None:
    member = first_game()
    path = wheel(lambda name, data: data[:-3] if name == member else data)
    with pytest.raises(ArchiveError, match="archive file nflgame/"):
        read_archive_cached(path)
    assert not list(cache_folder.glob("*.parquet"))


def test_another_version_lists_other_files(wheel: Callable[[Spoil], Path]) -> None:
    def spoil(name: str, data: bytes) -> bytes:
        if not name.endswith("RECORD"):
            return data
        return data.replace(
            f"{first_game()},sha256=".encode(), b"nflgame/gamecenter-json/x,sha256="
        )

    with pytest.raises(ArchiveError, match=rf"fingerprint .* install {PACKAGE}=={VERSION} again"):
        ArchiveFiles(wheel(spoil))


def test_a_wheel_without_a_record(wheel: Callable[[Spoil], Path]) -> None:
    path = wheel(lambda name, data: None if name.endswith("RECORD") else data)
    with pytest.raises(ArchiveError, match="holds no record of its files"):
        ArchiveFiles(path)


@pytest.mark.parametrize("kept", [0, 0.5])
def test_a_wheel_that_is_no_zip(wheel: Callable[[Spoil], Path], kept: float) -> None:
    path = wheel(lambda name, data: data)
    data = path.read_bytes()
    path.write_bytes(data[: int(kept * len(data))])
    with pytest.raises(ArchiveError, match="is no readable wheel"):
        ArchiveFiles(path)


def test_another_version_installed(monkeypatch: pytest.MonkeyPatch) -> None:
    class Other:
        version = "2.9.9"

    monkeypatch.setattr(archive_files.metadata, "distribution", lambda name: Other())
    with pytest.raises(ArchiveError, match=rf"version 2\.9\.9; {VERSION} is wanted: pip install"):
        ArchiveFiles()


def test_not_installed(monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(name: str) -> None:
        raise metadata.PackageNotFoundError(name)

    monkeypatch.setattr(archive_files.metadata, "distribution", missing)
    with pytest.raises(ArchiveError, match=r"not installed; run: pip install 'pointsleft\[archive"):
        ArchiveFiles()


def test_touching_a_data_file_changes_the_state(wheel: Callable[[Spoil], Path]) -> None:
    import os

    path = wheel(lambda name, data: data)
    before = ArchiveFiles(path).state()
    assert ArchiveFiles(path).state() == before
    os.utime(path, (1, 1))
    assert ArchiveFiles(path).state() != before
