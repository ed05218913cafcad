"""A log survives writing and reading unchanged, unknown columns and sheets included."""

import shutil
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from log_sample import FIRST, write_folder
from pointsleft.log import WriteError, read_log, write_log
from pointsleft.log.record import LoggedGame
from pointsleft.log.sheets import RawLog, RawSheet
from pointsleft.log.source import read_sheets

DEMO = Path(__file__).parents[3] / "data_demo" / "game"

#: Text a spreadsheet or a stranger may leave in a cell, but for characters XML cannot hold.
TEXT = st.one_of(
    st.text(st.characters(blacklist_categories=("Cs", "Cc")), max_size=20),
    st.sampled_from(
        ["=1+1", "+40", "-3", "@x", "'", "'=x", "''=x", "007", "7", "1.50", "a,b;c\td", 'say "x"',
         "two\nlines", " lead", "trail ", "TRUE", "12:34", "3-4", "1e5", "0.6", "ﾃ", "<b>"]
    ),
)  # fmt: skip


@st.composite
def raw_logs(draw: st.DrawFn) -> RawLog:
    """The demo's sheets with columns and a sheet of somebody else's."""
    width = draw(st.integers(1, 4))
    header = tuple(f"mine {i}" for i in range(width))
    rows = draw(
        st.lists(st.lists(TEXT, min_size=width, max_size=width).filter(lambda r: any(
            c.strip() for c in r)), min_size=1, max_size=5)
    )  # fmt: skip
    return RawLog((RawSheet("their sheet", header, tuple(map(tuple, rows))),))


def same_sheet(one: RawSheet | None, other: RawSheet | None) -> bool:
    if one is None or other is None:
        return one is other
    width = max(len(one.header), len(other.header))

    def filled(sheet: RawSheet) -> list[tuple[str, ...]]:
        return [tuple(r) + ("",) * (width - len(r)) for r in (sheet.header, *sheet.rows)]

    return filled(one) == filled(other) and one.numbers == other.numbers


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(raw_logs(), st.booleans())
def test_foreign_sheets_round_trip(log: RawLog, workbook: bool) -> None:
    game = tuple(s for s in read_sheets(DEMO).sheets if s.key == "game")
    whole = RawLog((*game, RawSheet("snaps", ("snap",), (("1",),)), *log.sheets))
    folder = Path(tempfile.mkdtemp())
    try:
        target = write_log(whole, folder / ("log.xlsx" if workbook else "log"))
        back = read_sheets(target)
        for sheet in whole.sheets:
            assert same_sheet(sheet, back.sheet(sheet.name))
    finally:
        shutil.rmtree(folder)


@pytest.mark.parametrize("name", ["copy", "copy.xlsx"])
def test_the_demo_round_trips_as_sheets(tmp_path: Path, name: str) -> None:
    demo = read_sheets(DEMO)
    back = read_sheets(write_log(demo, tmp_path / name))
    assert len(back.sheets) == len(demo.sheets)
    for sheet in demo.sheets:
        assert same_sheet(sheet, back.sheet(sheet.name))
    assert bare(read_log(tmp_path / name)) == bare(read_log(DEMO))


def bare(game: LoggedGame) -> LoggedGame:
    """The game without what tells how it was typed."""
    snaps = tuple(
        replace(
            s,
            derived=frozenset(),
            row=None,
            options=tuple(replace(o, derived=frozenset(), row=None) for o in s.options),
        )
        for s in game.snaps
    )
    return replace(game, snaps=snaps, warnings=())


@pytest.mark.parametrize("name", ["copy", "copy.xlsx"])
def test_the_demo_spelt_out_in_full_is_the_same_game(tmp_path: Path, name: str) -> None:
    game = read_log(DEMO)
    assert bare(read_log(write_log(game, tmp_path / name))) == bare(game)


def test_a_snap_with_every_field_is_spelt_out_and_read_back(tmp_path: Path) -> None:
    row = FIRST | {
        "running": "no", "play clock": "7", "tempo": "hurry", "our timeouts": "2",
        "their timeouts": "1", "hash": "r", "personnel": "1 back 2 tight ends",
        "formation": "trips", "alignment": "gun", "motion": "jet", "family": "pa",
        "concept": "four verts", "flip": "yes", "audible": "quarterback", "shell before": "2",
        "shell": "cover 3", "disguise": "yes", "box": "7", "blockers": "6", "conflict": "nickel",
        "rushers": "5", "free side": "left", "free depth": "4.5", "free why": "stunt",
        "protection": "half slide", "slide": "right", "read": "full", "key": "nickel",
        "key action": "drop", "rule says": "seam", "hot required": "yes", "hot seen qb": "no",
        "hot seen receiver": "yes", "options": "n%20..40 s* e x > scr.r=30 ta",
        "throw phase": "hitched", "platform": "left", "missed why": "late",
        "placement": "behind", "timing": "late", "security": "loose", "result": "c",
        "yards": "22", "fumble": "kept", "ended": "out", "hit": "yes", "flag": "defense",
        "flag when": "after", "flag decision": "accepted", "flag yards": "15",
        "flag from": "end", "loss of down": "no", "foul": "roughing",
        "blame": "left: qb .7 call .3", "sure": "likely", "note": "'=x <b>", "weather": "mist",
    }  # fmt: skip
    options = [{"snap": "1", "option": "go", "window": "step..smothered", "in read": ".2 (.1-.4)",
                "note": "late", "colour": "red"}]  # fmt: skip
    game = read_log(write_folder(tmp_path / "a", [row], options))
    snap = game.snaps[0]
    assert snap.extra == {"weather": "mist"}
    assert snap.options[0].extra == {"colour": "red"}
    assert snap.note == "=x <b>"
    assert snap.defense.free_rusher is True
    for name in ("b", "b.xlsx"):
        assert bare(read_log(write_log(game, tmp_path / name))) == bare(game)


def test_nothing_is_ever_overwritten(tmp_path: Path) -> None:
    demo = read_sheets(DEMO)
    for name in ("log", "log.xlsx"):
        write_log(demo, tmp_path / name)
        before = {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
        with pytest.raises(WriteError, match="not overwritten"):
            write_log(demo, tmp_path / name)
        assert {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()} == before
    with pytest.raises(WriteError):
        write_log(demo, tmp_path / "log.pdf")


def test_a_failed_write_leaves_nothing_half_done(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from openpyxl import Workbook

    def fail(self: Workbook, path: Path) -> None:
        Path(path).write_bytes(b"half")
        raise OSError("no space left")

    monkeypatch.setattr(Workbook, "save", fail)
    with pytest.raises(OSError, match="no space"):
        write_log(read_sheets(DEMO), tmp_path / "log.xlsx")
    assert list(tmp_path.iterdir()) == []


def test_what_is_written_holds_no_formula(tmp_path: Path) -> None:
    from openpyxl import load_workbook

    log = RawLog((RawSheet("game", ("item", "value"), (("us", "=1+1"), ("x", "@cmd"))),))
    write_log(log, tmp_path / "log.xlsx")
    cells = [c for row in load_workbook(tmp_path / "log.xlsx")["game"].iter_rows() for c in row]
    assert all(c.data_type != "f" for c in cells)
    write_log(log, tmp_path / "log")
    text = (tmp_path / "log" / "game.csv").read_text(encoding="utf-8")
    assert "'=1+1" in text
    assert "'@cmd" in text
