"""A new log, the keys that logging takes, the reference page, start-up."""

import subprocess
import sys
from pathlib import Path

import pytest
from openpyxl import load_workbook
from pointsleft.log import WriteError, check_log, new_log, read_log
from pointsleft.log.check import EXAMPLE
from pointsleft.log.keystrokes import count, count_log
from pointsleft.log.reference import reference_page
from pointsleft.log.schema import SHEETS, columns
from pointsleft.log.source import read_sheets

ROOT = Path(__file__).parents[3]
DEMO = ROOT / "data_demo" / "game"

#: The most that a drop-back with three options may take.
MOST_CELLS, MOST_KEYS = 12, 60


@pytest.mark.parametrize("workbook", [False, True])
@pytest.mark.parametrize("full", [False, True])
def test_a_new_log_checks_clean_and_says_that_its_rows_are_examples(
    tmp_path: Path, workbook: bool, full: bool
) -> None:
    made = new_log(tmp_path / "log", workbook, full=full)
    report = check_log(made)
    assert report.clean
    assert any("example rows" in w for w in report.warnings)
    assert report.counts["decisions"] == 2
    game = read_log(made)
    assert all((s.note or "").startswith(EXAMPLE) for s in game.snaps)
    sheet = read_sheets(made).sheet("snaps")
    assert sheet is not None
    wanted = [c.name for c in columns("snaps") if c.core or full]
    assert list(sheet.header) == wanted


def test_a_new_log_never_overwrites(tmp_path: Path) -> None:
    made = new_log(tmp_path / "log")
    before = {p.name: p.read_bytes() for p in made.iterdir()}
    with pytest.raises(WriteError):
        new_log(tmp_path / "log")
    assert {p.name: p.read_bytes() for p in made.iterdir()} == before
    book = new_log(tmp_path / "log", workbook=True)
    assert book.name == "log.xlsx"
    with pytest.raises(WriteError):
        new_log(book, workbook=True)


def test_a_new_log_fills_an_empty_folder(tmp_path: Path) -> None:
    (tmp_path / "log").mkdir()
    assert new_log(tmp_path / "log") == tmp_path / "log"


def test_a_dropback_with_three_options_takes_few_keys_on_the_demo() -> None:
    counted = count_log(DEMO)
    assert len(counted) >= 10
    for typing in counted:
        assert typing.cells <= MOST_CELLS, typing
        assert typing.with_blanks <= MOST_KEYS, typing


def test_keys_are_counted_cell_by_cell() -> None:
    row = {"snap": "9", "clip": "5:44", "clock": "", "family": "db", "shell before": "two"}
    typing = count("9", row)
    assert (typing.cells, typing.keys) == (3, 1 + 4 + 2 + 3)
    core = [c.name for c in columns("snaps") if c.core]
    between = core.index("family") - core.index("snap") - 2
    assert typing.with_blanks == typing.keys + between
    assert (typing.more_cells, typing.more_keys) == (1, 4)


def test_the_committed_reference_page_is_current() -> None:
    committed = (ROOT / "docs" / "log-reference.md").read_text(encoding="utf-8")
    assert committed == reference_page(), (
        "docs/log-reference.md is stale: python -m pointsleft.log.reference > docs/log-reference.md"
    )


def test_every_column_stands_in_the_reference_with_meaning_and_default() -> None:
    page = reference_page()
    for sheet in SHEETS:
        for column in columns(sheet):
            assert f"| `{column.name}`" in page
            assert column.meaning
            assert column.default or column.required, column


def test_importing_the_log_loads_no_heavy_library() -> None:
    code = (
        "import sys, pointsleft.log; "
        "print([m for m in ('openpyxl','polars','scipy','matplotlib','numpy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_workbook_shows_what_stands_in_it(tmp_path: Path) -> None:
    book = load_workbook(new_log(tmp_path / "fresh", workbook=True))
    for page in book:
        for column in page.columns:
            longest = max(len(str(cell.value or "")) for cell in column)
            width = page.column_dimensions[column[0].column_letter].width
            assert width >= min(longest, 60), (page.title, column[0].value)
        assert page.page_setup.orientation == "landscape"
        assert page.sheet_properties.pageSetUpPr.fitToPage
    snaps = book["snaps"]
    at = {cell.value: cell.column_letter for cell in snaps[1]}
    assert snaps.column_dimensions[at["options"]].width >= 28
