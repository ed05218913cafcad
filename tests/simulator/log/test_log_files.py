"""Files as they come: encodings, separators, sizes, damaged workbooks, formulas."""

import time
import zipfile
from datetime import datetime
from datetime import time as day_time
from pathlib import Path

import pytest
from log_sample import FIRST, GAME, csv_of, faults, places, write_folder
from openpyxl import Workbook
from pointsleft.log import LogFaults, check_log, read_log
from pointsleft.log.csv_folder import Unreadable, decode
from pointsleft.log.sheets import MOST_BYTES

ROWS = [FIRST | {"note": "café – “late”"}, {"result": "complete", "yards": "7"}]


def rewrite(folder: Path, change: object) -> Path:
    for path in folder.glob("*.csv"):
        text = path.read_text(encoding="utf-8")
        path.write_bytes(change(text))  # type: ignore[operator]
    return folder


@pytest.mark.parametrize(
    "change",
    [
        lambda text: b"\xef\xbb\xbf" + text.encode("utf-8"),
        lambda text: text.encode("utf-16"),
        lambda text: text.encode("utf-16-le"),
        lambda text: text.encode("cp1252"),
        lambda text: text.replace("\n", "\r\n").encode("utf-8"),
        lambda text: text.replace(",", ";").encode("utf-8"),
        lambda text: text.replace(",", "\t").encode("utf-8"),
        lambda text: ("sep=;\n" + text.replace(",", ";")).encode("utf-8"),
    ],
    ids=["mark", "utf-16", "utf-16-le", "cp1252", "crlf", "semicolons", "tabs", "sep"],
)
def test_the_same_log_however_it_was_saved(tmp_path: Path, change: object) -> None:
    plain = read_log(write_folder(tmp_path / "plain", ROWS))
    other = read_log(rewrite(write_folder(tmp_path / "other", ROWS), change))
    assert other.snaps == plain.snaps
    assert other.snaps[0].note == "café – “late”"


@pytest.mark.parametrize(
    "data", [b"item,value\nus,\x81\x8d", b"us,Caf\xc3", b"a\x00b,c", b"\xff\xfea"]
)
def test_an_encoding_that_cannot_be_told_is_one_clear_fault(tmp_path: Path, data: bytes) -> None:
    with pytest.raises(Unreadable):
        decode(data)
    folder = write_folder(tmp_path, ROWS)
    (folder / "game.csv").write_bytes(data)
    found = check_log(folder).faults
    assert [f.sheet for f in found] == ["game"]
    assert "CSV UTF-8" in found[0].expected


def test_a_huge_file_is_refused_quickly_without_being_loaded(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, ROWS)
    with (folder / "snaps.csv").open("wb") as file:
        file.truncate(200_000_000)
    started = time.perf_counter()
    found = check_log(folder).faults
    assert time.perf_counter() - started < 0.5
    assert places(found) == [("snaps", None, None)]
    assert "200 MB" in found[0].value
    book = tmp_path / "huge.xlsx"
    with book.open("wb") as file:
        file.truncate(MOST_BYTES + 1)
    assert "at most 20 MB" in check_log(book).faults[0].expected


def test_a_truncated_csv_breaks_off_inside_a_quoted_cell(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, [FIRST | {"note": 'a "long" note, with commas'}])
    text = (folder / "snaps.csv").read_text(encoding="utf-8")
    (folder / "snaps.csv").write_text(text[:-10], encoding="utf-8")
    found = check_log(folder).faults
    assert any("quotation marks in pairs" in f.expected for f in found)


def book_of(path: Path, rows: list[dict[str, object]]) -> Path:
    book = Workbook()
    game = book.active
    game.title = "game"
    game.append(["item", "value"])
    for item in GAME.items():
        game.append(list(item))
    page = book.create_sheet("snaps")
    headers = list(dict.fromkeys(k for row in rows for k in row))
    page.append(headers)
    for row in rows:
        page.append([row.get(h) for h in headers])
    book.save(path)
    return path


def test_a_workbook_of_numbers_and_times_reads_like_the_folder(tmp_path: Path) -> None:
    row = dict(FIRST) | {"snap": 1, "quarter": 1.0, "clock": day_time(10, 0), "us": 0, "them": 0,
                         "down": 1, "distance": 10, "yards": 4, "clip": day_time(1, 0)}  # fmt: skip
    path = book_of(tmp_path / "log.xlsx", [row])
    from openpyxl import load_workbook

    book = load_workbook(path)
    for cell in book["snaps"][2]:
        if isinstance(cell.value, day_time):
            cell.number_format = "h:mm"
    book.save(path)
    plain = read_log(write_folder(tmp_path / "plain", [FIRST]))
    assert read_log(path).snaps == plain.snaps


def test_formulas_and_dates_in_a_workbook_are_faults_and_never_evaluated(tmp_path: Path) -> None:
    row = dict(FIRST) | {"yards": "=2+2", "formation": datetime(2026, 3, 4), "note": "#N/A"}
    found = check_log(book_of(tmp_path / "log.xlsx", [row])).faults
    assert {f.column for f in found} == {"yards", "formation", "note"}
    formula = next(f for f in found if f.column == "yards")
    assert formula.value == "=2+2"
    assert "never evaluated" in formula.expected


def test_a_formula_in_a_csv_cell_is_one_fault(tmp_path: Path) -> None:
    for text in ("=1+1", " =HYPERLINK(1)", "＝1+1"):
        found = faults(tmp_path / str(hash(text)), [FIRST | {"yards": text}])
        assert places(found) == [("snaps", 2, "yards")]


def test_text_that_begins_like_a_formula_is_kept_when_quoted(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, [FIRST | {"note": "'=good"}])
    assert read_log(folder).snaps[0].note == "=good"


@pytest.mark.parametrize("cut", [10, 200, 2000, -30])
def test_a_damaged_workbook_is_one_clear_fault(tmp_path: Path, cut: int) -> None:
    path = book_of(tmp_path / "log.xlsx", [dict(FIRST)])
    path.write_bytes(path.read_bytes()[:cut])
    found = check_log(path).faults
    assert len(found) == 1
    assert "damaged or cut short" in found[0].expected


def test_a_workbook_with_a_damaged_part(tmp_path: Path) -> None:
    path = book_of(tmp_path / "log.xlsx", [dict(FIRST)])
    broken = tmp_path / "broken.xlsx"
    with zipfile.ZipFile(path) as whole, zipfile.ZipFile(broken, "w") as out:
        for part in whole.namelist():
            data = whole.read(part)
            out.writestr(part, data[: len(data) // 2] if "sheet2" in part else data)
    found = check_log(broken).faults
    assert len(found) == 1
    assert "damaged or cut short" in found[0].expected


def test_a_zip_bomb_is_not_unpacked(tmp_path: Path) -> None:
    path = tmp_path / "bomb.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
        for number in range(4):
            out.writestr(f"xl/worksheets/sheet{number}.xml", b"0" * 50_000_000)
    started = time.perf_counter()
    found = check_log(path).faults
    assert time.perf_counter() - started < 0.5
    assert "unpacked" in found[0].value


def test_no_log_and_half_a_log(tmp_path: Path) -> None:
    assert "nothing here" in check_log(tmp_path / "no").faults[0].expected
    (tmp_path / "empty").mkdir()
    assert len(check_log(tmp_path / "empty").faults) == 2
    folder = write_folder(tmp_path / "half", ROWS)
    (folder / "snaps.csv").unlink()
    assert [f.sheet for f in check_log(folder).faults] == ["snaps"]
    found = check_log(write_folder(tmp_path / "one", ROWS) / "snaps.csv").faults
    assert "give the folder" in found[0].expected
    text = tmp_path / "log.pdf"
    text.write_text("x")
    assert ".xlsx workbook" in check_log(text).faults[0].expected


def test_headers_in_any_dress_and_none_twice(tmp_path: Path) -> None:
    row = {k.replace(" ", "_").upper(): v for k, v in FIRST.items()} | {"Our-Timeouts": "2"}
    folder = write_folder(tmp_path / "a", [row])
    at = read_log(folder).snaps[0].situation
    assert at is not None
    assert at.own_timeouts == 2
    twice = write_folder(tmp_path / "b", [FIRST])
    text = (twice / "snaps.csv").read_text(encoding="utf-8")
    (twice / "snaps.csv").write_text(text.replace("clip", "Down", 1), encoding="utf-8")
    with pytest.raises(LogFaults, match="this column once"):
        read_log(twice)


def test_a_sheet_without_known_headers(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, [FIRST])
    (folder / "snaps.csv").write_text(csv_of([{"alpha": "1", "beta": "2"}]), encoding="utf-8")
    assert any("headers in the first row" in f.expected for f in check_log(folder).faults)
