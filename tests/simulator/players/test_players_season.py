"""A season log: found, checked as a whole, and only what is new is priced."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from pointsleft.players import keep, season
from pointsleft.players.season import SeasonFaults, find_logs, read_season
from pointsleft.pricing.settings import PriceSettings

SETTINGS = PriceSettings(draws=0, judgement_draws=20, refits=False)

SNAPS = """snap,quarter,clock,us,them,down,distance,ball,our timeouts,their timeouts,family,\
options,result,yards
1,1,10:00,0,0,1,10,own 25,3,3,drop-back,curl11.r/e curl11.l/e* flat1.r/n,complete,14
2,4,1:10,7,10,1,10,own 30,2,3,drop-back,go40.r/x* flat1.r/l,incomplete,
"""


def write_log(folder: Path, player: str = "Pim Ostrey", them: str = "Moles") -> Path:
    folder.mkdir(parents=True)
    (folder / "game.csv").write_text(
        f"item,value\nlevel,professional\nseason,2019\nus,Larks\nthem,{them}\n"
        f"quarterback,{player}\nsnaps logged,some\n"
    )
    (folder / "snaps.csv").write_text(SNAPS)
    return folder


def content(folder: Path) -> dict[str, bytes]:
    return {str(p): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


@pytest.fixture
def logs(tmp_path: Path) -> Path:
    folder = tmp_path / "season"
    write_log(folder / "one")
    write_log(folder / "later" / "two", them="Voles")
    (folder / "notes.txt").write_text("not a log")
    return folder


def _read(folder: Path, kept: Path | None) -> season.Season:
    return read_season([folder], kept_in=kept, settings=SETTINGS)


def test_a_folder_of_logs_is_a_season(logs: Path) -> None:
    assert [p.name for p in find_logs([logs])] == ["two", "one"]
    assert find_logs([logs / "one", logs]) == [logs / "one", logs / "later" / "two"]


def test_adding_a_game_prices_only_that_game(logs: Path, tmp_path: Path) -> None:
    before = content(logs)
    kept = tmp_path / "kept"
    first = _read(logs, kept)
    assert (first.priced, first.kept) == (2, 0)
    again = _read(logs, kept)
    assert (again.priced, again.kept) == (0, 2)
    assert again.games == first.games
    write_log(logs / "three", them="Shrews")
    third = _read(logs, kept)
    assert (third.priced, third.kept) == (1, 2)
    assert content(logs).items() >= before.items()
    assert not [p for p in logs.rglob("*") if p.suffix == ".json"]


@pytest.fixture
def keyed(logs: Path) -> Iterator[Callable[..., str]]:
    def key(fits: str = "a", settings: PriceSettings = SETTINGS) -> str:
        return keep.key_of(logs / "one", {"wins": fits}, settings)

    yield key
    keep.code_hash.cache_clear()


def test_whatever_a_price_depends_on_is_in_the_key(
    logs: Path, keyed: Callable[..., str], monkeypatch: pytest.MonkeyPatch
) -> None:
    first = keyed()
    assert keyed() == first
    assert keyed(fits="b") != first
    assert keyed(settings=PriceSettings(draws=1)) != first
    (logs / "one" / "snaps.csv").write_text(SNAPS.replace(",14", ",15"))
    changed = keyed()
    assert changed != first
    (logs / "one" / "snaps.csv").write_text(SNAPS)
    assert keyed() == first
    (logs / "one" / "a note.txt").write_text("not read, so not in the key")
    assert keyed() == first
    monkeypatch.setattr(keep, "code_hash", lambda: "other code")
    assert keyed() != first


def test_the_code_that_prices_is_in_the_key(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import pointsleft

    before = keep.code_hash()
    copy = tmp_path / "pointsleft"
    for room in ("log", "pricing", "game", "players"):
        shutil.copytree(Path(str(pointsleft.__file__)).parent / room, copy / room)
    (copy / "__init__.py").write_bytes(Path(str(pointsleft.__file__)).read_bytes())
    monkeypatch.setattr(pointsleft, "__file__", str(copy / "__init__.py"))
    keep.code_hash.cache_clear()
    assert keep.code_hash() == before
    table = copy / "pricing" / "judgements.csv"
    table.write_text(table.read_text() + "\n")
    keep.code_hash.cache_clear()
    assert keep.code_hash() != before
    monkeypatch.undo()
    keep.code_hash.cache_clear()


@pytest.mark.parametrize("damage", [b"", b"half", b"0" * 64 + b"\n{}"])
def test_a_damaged_file_is_priced_again(logs: Path, tmp_path: Path, damage: bytes) -> None:
    kept = tmp_path / "kept"
    first = _read(logs, kept)
    next(kept.glob("*.json")).write_bytes(damage)
    again = _read(logs, kept)
    assert (again.priced, again.kept) == (1, 1)
    assert again.games == first.games


def test_a_folder_that_cannot_be_written_is_no_fault(logs: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    found = _read(logs, tmp_path / "file" / "kept")
    assert (found.priced, found.kept) == (2, 0)
    assert _read(logs, None).games == found.games


def test_every_fault_of_every_log_at_once(logs: Path, tmp_path: Path) -> None:
    for name, was in (("one", "1,10,own 25"), ("later/two", "own 30")):
        snaps = logs / name / "snaps.csv"
        snaps.write_text(snaps.read_text().replace(was, was.replace("own", "nowhere")))
    kept = tmp_path / "kept"
    with pytest.raises(SeasonFaults) as caught:
        _read(logs, kept)
    said = " ".join(str(caught.value).split())
    assert "one has 1 fault" in said
    assert "two has 1 fault" in said
    assert not kept.exists()


def test_what_is_not_there_is_said(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    with pytest.raises(SeasonFaults) as caught:
        find_logs([tmp_path / "empty", tmp_path / "gone"])
    assert "no game log here" in str(caught.value)
    assert "there is nothing here" in str(caught.value)


def test_the_same_log_twice_is_one_game(logs: Path) -> None:
    shutil.copytree(logs / "one", logs / "copy of one")
    found = _read(logs, None)
    assert len(found.games) == 2
    assert any("counted once" in w for w in found.warnings)


def test_one_name_typed_in_two_ways_is_said(tmp_path: Path) -> None:
    write_log(tmp_path / "a")
    write_log(tmp_path / "b", player="Pim Ostry", them="Voles")
    write_log(tmp_path / "c", player="Holt Bracken", them="Shrews")
    warnings = _read(tmp_path, None).warnings
    assert any("Pim Ostrey" in w and "Pim Ostry" in w for w in warnings)
    assert not any("Holt" in w for w in warnings)


def test_any_number_of_workers_gives_the_same(logs: Path) -> None:
    write_log(logs / "three", them="Shrews")
    alone = read_season([logs], settings=SETTINGS)
    together = read_season([logs], settings=SETTINGS, workers=2)
    assert together.games == alone.games
