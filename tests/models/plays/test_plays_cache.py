"""Tables kept on disk: the same table back, or none at all."""

from __future__ import annotations

import json
from pathlib import Path

import polars as pl
import pytest
from invented_plays import invented_table
from pointsleft_models.plays import archive_cached, cache
from pointsleft_models.plays.checking import conform
from pointsleft_models.plays.reading import Reading

KEY = cache.key_of("some", "key")


def test_a_kept_table_comes_back_with_what_was_said_of_it(cache_folder: Path) -> None:
    plays = conform(invented_table(1))
    assert cache.load("plays", KEY) is None
    cache.save("plays", KEY, plays, {"games": 2})
    frame, about = cache.load("plays", KEY) or (None, None)
    assert frame is not None
    assert frame.equals(plays)
    assert about == {"games": 2}
    assert sorted(path.suffix for path in cache_folder.iterdir()) == [".json", ".parquet"]


@pytest.mark.parametrize("harm", ["cut", "flip", "no table", "no card", "card cut", "empty"])
def test_a_damaged_table_counts_as_absent(cache_folder: Path, harm: str) -> None:
    cache.save("plays", KEY, invented_table(1), {})
    (table,) = cache_folder.glob("*.parquet")
    (card,) = cache_folder.glob("*.json")
    data = bytearray(table.read_bytes())
    if harm == "cut":
        table.write_bytes(data[: len(data) // 2])
    elif harm == "flip":
        data[len(data) // 2] ^= 1
        table.write_bytes(data)
    elif harm == "no table":
        table.unlink()
    elif harm == "no card":
        card.unlink()
    elif harm == "card cut":
        card.write_bytes(card.read_bytes()[:-10])
    else:
        table.write_bytes(b"")
    assert cache.load("plays", KEY) is None
    cache.save("plays", KEY, invented_table(1), {})
    assert cache.load("plays", KEY) is not None


def test_an_interrupted_write_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "file"
    path.write_bytes(b"old")

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(cache.os, "replace", stop)
    with pytest.raises(KeyboardInterrupt):
        cache.put_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_a_folder_that_cannot_be_written_to_is_no_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("POINTSLEFT_CACHE", str(tmp_path / "file"))
    cache.save("plays", KEY, invented_table(1), {})
    assert cache.load("plays", KEY) is None


def test_the_environment_names_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("POINTSLEFT_CACHE", str(tmp_path))
    assert cache.cache_folder() == tmp_path
    monkeypatch.delenv("POINTSLEFT_CACHE")
    assert cache.cache_folder().name == "pointsleft"


def test_old_versions_are_forgotten(cache_folder: Path) -> None:
    for number in range(cache.KEPT + 3):
        cache.save("plays", cache.key_of(str(number)), invented_table(1), {})
        cache.save("other", KEY, invented_table(1), {})
    assert len(list(cache_folder.glob("plays-*.parquet"))) == cache.KEPT
    assert len(list(cache_folder.glob("plays-*.json"))) == cache.KEPT
    assert cache.load("plays", cache.key_of(str(cache.KEPT + 2))) is not None
    assert cache.load("other", KEY) is not None


class Files:
    """An invented archive that counts how often it is parsed."""

    fingerprint, stamp, parsed, name = "f", "s", 0, "invented archive"

    def __init__(self, wheel: object = None) -> None:
        pass

    def state(self) -> str:
        return self.stamp

    def games(self) -> list[object]:
        class Game:
            def __init__(self, game: str, season: int) -> None:
                self.game, self.season = game, season

        return [Game("g00", 2020), Game("g01", 2020), Game("x", 2021), Game("y", 2021)]


@pytest.fixture
def invented_archive(cache_folder: Path, monkeypatch: pytest.MonkeyPatch) -> type[Files]:
    plays = conform(invented_table(1))
    more = plays.with_columns(season=pl.lit(2021, pl.Int32), game=pl.lit("x")).unique("play")

    def parse(wheel: object, **_: object) -> Reading:
        Files.parsed += 1
        both = pl.concat([plays, more])
        return Reading(Files.name, both, 4, 3, {"y": "it does not add up"})

    monkeypatch.setattr(archive_cached, "ArchiveFiles", Files)
    monkeypatch.setattr(archive_cached, "read_archive", parse)
    monkeypatch.setattr(Files, "parsed", 0)
    return Files


def test_the_archive_is_parsed_once_and_its_counts_come_back(
    invented_archive: type[Files],
) -> None:
    first, second = archive_cached.read_archive_cached(), archive_cached.read_archive_cached()
    assert invented_archive.parsed == 1
    assert second.plays.equals(first.plays)
    for reading in (first, second):
        assert (reading.games_read, reading.finals_reproduced) == (4, 3)
        assert reading.left_out == {"y": "it does not add up"}
        assert reading.source == "invented archive"


def test_some_seasons_have_their_own_counts(invented_archive: type[Files]) -> None:
    one = archive_cached.read_archive_cached(seasons=(2020,))
    assert (one.games_read, one.finals_reproduced, one.left_out) == (2, 2, {})
    assert one.plays["season"].unique().to_list() == [2020]
    with pytest.raises(archive_cached.SeasonError, match="seasons 2020 to 2021, not 1950"):
        archive_cached.read_archive_cached(seasons=(1950,))


@pytest.mark.parametrize("change", ["fingerprint", "stamp", "code", "damage"])
def test_the_archive_is_parsed_again_when_anything_changed(
    invented_archive: type[Files],
    cache_folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    change: str,
) -> None:
    before = archive_cached.read_archive_cached()
    if change == "code":
        monkeypatch.setattr(cache, "code_hash", lambda: "another code")
    elif change == "damage":
        (table,) = cache_folder.glob("*.parquet")
        table.write_bytes(table.read_bytes()[:-100])
    else:
        monkeypatch.setattr(Files, change, "another")
    after = archive_cached.read_archive_cached()
    assert invented_archive.parsed == 2
    assert after.plays.equals(before.plays)


def test_the_hash_of_the_code_takes_in_every_reader(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    room = tmp_path / "plays"
    room.mkdir()
    (tmp_path / "football").mkdir()
    (room / "cache.py").write_text("1")
    (room / "reader.py").write_text("1")
    (tmp_path / "football" / "field.py").write_text("1")
    monkeypatch.setattr(cache, "__file__", str(room / "cache.py"))
    seen = {cache.code_hash()}
    (room / "reader.py").write_text("2")
    seen.add(cache.code_hash())
    (tmp_path / "football" / "field.py").write_text("2")
    seen.add(cache.code_hash())
    monkeypatch.setattr(cache, "SCHEMA_VERSION", 99)
    seen.add(cache.code_hash())
    assert len(seen) == 4


def test_the_card_is_plain_json(cache_folder: Path) -> None:
    cache.save("plays", KEY, invented_table(1), {"left_out": {"g": [2020, "why"]}})
    (card,) = cache_folder.glob("*.json")
    assert json.loads(card.read_text())["about"] == {"left_out": {"g": [2020, "why"]}}
