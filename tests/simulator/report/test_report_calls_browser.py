"""The sheet of calls in a real browser: one page on letter and on A4, and no errors."""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from pointsleft.calls.game import GameCalls, calls_of_log
from pointsleft.calls.turn import turn_map
from pointsleft.cli.demo import demo_log
from pointsleft.log import read_log
from pointsleft.report.calls_page import calls_page
from pointsleft_models.bundle import Models, Worth

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("chrome")
PDFINFO = shutil.which("pdfinfo")

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed"),
    pytest.mark.skipif(PDFINFO is None, reason="poppler's pdfinfo is not installed"),
]


def pages(text: str, folder: Path) -> int:
    """Sheets that the page takes in print; the browser must have nothing to complain of."""
    path = folder / "calls.html"
    path.write_text(text, encoding="utf-8")
    done = subprocess.run(
        [
            str(CHROMIUM), "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
            "--enable-logging=stderr", "--v=0", f"--print-to-pdf={folder / 'calls.pdf'}",
            path.as_uri(),
        ],
        capture_output=True, text=True, timeout=120, check=True,
    )  # fmt: skip
    assert "CONSOLE" not in done.stderr
    told = subprocess.run(
        [str(PDFINFO), str(folder / "calls.pdf")], capture_output=True, text=True, check=True
    ).stdout
    return int(next(line for line in told.splitlines() if line.startswith("Pages")).split()[1])


@pytest.fixture(scope="module")
def game(models: Models) -> GameCalls:
    return calls_of_log(read_log(demo_log()), models)


def test_one_sheet_whatever_the_game(game: GameCalls, worth: Worth, tmp_path: Path) -> None:
    """Five calls and thirty; and a page of twice the rows would be seen to need two."""
    turn = turn_map(worth)
    for many in (1, 6):
        text = calls_page(replace(game, calls=game.calls * many), turn)
        for size in ("auto", "A4", "letter"):
            sized = text.replace("size: auto", f"size: {size}")
            assert pages(sized, tmp_path) == 1, (many, size)
    body = text[text.index("<tbody>") : text.index("</tbody>")]
    assert pages(text.replace(body, body * 3), tmp_path) > 1
