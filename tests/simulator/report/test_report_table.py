"""decisions.csv, the data frames and the workbook."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from pathlib import Path

import openpyxl
import polars
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft.pricing.result import PricedGame
from pointsleft.report.as_table import COLUMNS, decisions_csv, decisions_frame, write_xlsx
from pointsleft.report.safe_text import FORMULA_STARTS, neutral_cell

DOCS = Path(__file__).parents[3] / "docs" / "result-reference.md"

EXECUTED = ("=1+1", "+1", "-cmd|' /C calc'!A0", "@SUM(A1)", "  =2", "\t=3", "＝4", "\n=5")


def rows(game: PricedGame) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(decisions_csv(game))))


def test_one_row_a_decision_and_the_ledger_closes(game: PricedGame) -> None:
    read = rows(game)
    assert [r["snap"] for r in read] == [d.snap for d in game.decisions]
    for row in read:
        for unit, slack in (("points", 3e-4), ("% WP", 3e-4)):
            value = {
                k: float(row[f"{k} ({unit})"])
                for k in ("before", "offered", "left", "delivered", "breaks", "after")
            }
            change = value["offered"] - value["left"] + value["delivered"] + value["breaks"]
            assert change == pytest.approx(value["after"] - value["before"], abs=slack)
            assert value["left"] >= 0


def test_percent_in_the_sheet_and_share_in_the_frame(game: PricedGame) -> None:
    frame = decisions_frame(game)
    shown = [float(r["left (% WP)"]) for r in rows(game)]
    assert frame["wins_left"].to_list() == [d.wins.left for d in game.decisions if d.wins]
    assert [100 * v for v in frame["wins_left"]] == pytest.approx(shown, abs=1e-4)


def test_unknown_is_empty_not_zero(without_clock: PricedGame) -> None:
    assert all(r["left (% WP)"] == "" and r["best for winning"] == "" for r in rows(without_clock))
    assert decisions_frame(without_clock)["wins_left"].null_count() == len(without_clock.decisions)


@pytest.mark.parametrize("text", EXECUTED)
def test_no_text_cell_is_executed(game: PricedGame, text: str) -> None:
    first = replace(game.decisions[0], note=text, result=text, clip=text, concept=text)
    read = rows(replace(game, decisions=(first,)))
    for heading in ("note", "result", "clip", "concept"):
        assert read[0][heading] == "'" + text


def test_a_negative_figure_stays_a_number(game: PricedGame) -> None:
    assert any(float(r["breaks (points)"]) < 0 for r in rows(game))


@given(st.text())
def test_neutral_cells_never_start_a_formula_and_lose_nothing(text: str) -> None:
    cell = neutral_cell(text)
    assert cell[:1] not in FORMULA_STARTS
    assert cell.lstrip(" \u00a0\u3000")[:1] not in FORMULA_STARTS
    assert len(cell) - len(text) in (0, 1)


def test_frame_kinds_and_every_column(game: PricedGame) -> None:
    frame = decisions_frame(game)
    assert frame.columns == [c.name for c in COLUMNS]
    kinds = {
        "text": polars.String,
        "whole": polars.Int64,
        "number": polars.Float64,
        "yes-no": polars.Boolean,
    }
    assert [frame[c.name].dtype for c in COLUMNS] == [kinds[c.kind] for c in COLUMNS]
    assert len({c.heading for c in COLUMNS}) == len(COLUMNS)


def test_pandas_frame_says_the_same(game: PricedGame) -> None:
    pytest.importorskip("pandas")
    frame = decisions_frame(game, "pandas")
    assert list(frame["points_left"]) == decisions_frame(game)["points_left"].to_list()


def test_another_library_is_refused(game: PricedGame) -> None:
    with pytest.raises(ValueError, match="polars and pandas"):
        decisions_frame(game, "dask")


def test_workbook_holds_text_as_text(game: PricedGame, tmp_path: Path) -> None:
    first = replace(game.decisions[0], note="=1+1", clip="0:01:02", concept="bad\x00\x1b[0m")
    path = tmp_path / "decisions.xlsx"
    write_xlsx(replace(game, decisions=(first, *game.decisions[1:])), path)
    sheet = openpyxl.load_workbook(path)["decisions"]
    heads = [c.value for c in sheet[1]]
    assert heads == [c.heading for c in COLUMNS]
    note = sheet.cell(2, heads.index("note") + 1)
    assert (note.value, note.data_type) == ("=1+1", "s")
    assert sheet.cell(2, heads.index("clip") + 1).value == "0:01:02"
    left = sheet.cell(2, heads.index("left (points)") + 1)
    assert isinstance(left.value, (int, float))
    assert sheet.max_row == len(game.decisions) + 1


def test_reference_lists_every_column() -> None:
    listed = re.findall(r"^\| `([^`]+)` \| `([a-z_]+)` \|$", DOCS.read_text("utf-8"), re.MULTILINE)
    assert listed == [(c.heading, c.name) for c in COLUMNS]
