"""The page in a real browser: no errors, no sideways scrolling, a script that works, clean print.

Skipped where Chromium (or, for print, poppler's pdftotext) is not installed.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from html import escape, unescape
from pathlib import Path

import pytest
from pointsleft.pricing.result import PricedGame
from pointsleft.report.figures import dearest
from pointsleft.report.page import render_page
from sample import make_game

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("chrome")
PDFTOTEXT = shutil.which("pdftotext")

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed"),
]


def chromium(*arguments: str, width: int = 1000) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [
            str(CHROMIUM), "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
            "--enable-logging=stderr", "--v=0", f"--window-size={width},900", *arguments,
        ],
        capture_output=True, text=True, timeout=120, check=True,
    )  # fmt: skip


def console(done: subprocess.CompletedProcess[str]) -> list[str]:
    return [line for line in done.stderr.splitlines() if "CONSOLE" in line]


def saved(text: str, directory: Path) -> str:
    path = directory / "report.html"
    path.write_text(text, encoding="utf-8")
    return path.as_uri()


def asked(text: str, directory: Path, question: str, width: int) -> dict[str, object]:
    """What a piece of script finds on the page in a frame of this width (a browser window cannot
    be as narrow as a phone); the content policy is lifted so that it can ask."""
    loose = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
    frame = f'<iframe width="{width}" height="800" style="border:0" srcdoc="{escape(loose)}">'
    probe = (
        "<script>window.addEventListener('load', function () {"
        "var window = document.querySelector('iframe').contentWindow, page = window.document;"
        f"document.title = JSON.stringify({question}); }});</script>"
    )
    whole = f"<!DOCTYPE html><title>nothing</title><body>{frame}</iframe>{probe}</body>"
    done = chromium("--dump-dom", saved(whole, directory), width=1500)
    title = re.search(r"<title>(.*?)</title>", done.stdout, re.DOTALL)
    assert title is not None
    found: dict[str, object] = json.loads(unescape(title.group(1)))
    return found


@pytest.fixture(scope="module")
def text(game: PricedGame) -> str:
    return render_page(game)


def test_no_console_errors(text: str, tmp_path: Path) -> None:
    assert console(chromium("--dump-dom", saved(text, tmp_path))) == []


def test_a_console_error_would_be_seen(text: str, tmp_path: Path) -> None:
    """Negative control: the content policy stops a script that is not ours, and says so."""
    broken = text.replace("</body>", "<script>nothing.here</script></body>")
    assert console(chromium("--dump-dom", saved(broken, tmp_path)))


SIZE = (
    "{inner: window.innerWidth, wide: page.documentElement.scrollWidth, "
    "wider: Array.from(page.querySelectorAll('body *')).filter(function (e) {"
    "return !e.closest('.scroll > table') && !e.closest('svg svg, svg > *') && "
    "e.getBoundingClientRect().right > window.innerWidth + 1; })"
    ".map(function (e) { return e.tagName + '.' + e.className; })}"
)


@pytest.mark.parametrize("width", [320, 390, 760, 1400])
def test_no_sideways_scrolling(text: str, tmp_path: Path, width: int) -> None:
    found = asked(text, tmp_path, SIZE, width)
    assert found["inner"] == width
    assert found["wider"] == []
    assert found["wide"] <= width  # type: ignore[operator]


def test_a_wide_element_would_be_seen(text: str, tmp_path: Path) -> None:
    """Negative control."""
    wide = text.replace("</main>", '<div class="wide" style="width: 700px">x</div></main>')
    assert asked(wide, tmp_path, SIZE, 390)["wider"] == ["DIV.wide"]


def test_long_words_do_not_widen_the_page(tmp_path: Path) -> None:
    long = "x" * 300
    text = render_page(make_game(1, 8, note=long, title=long, quarterback=long))
    assert asked(text, tmp_path, SIZE, 390)["wider"] == []


def test_table_sorts_and_narrows(game: PricedGame, text: str, tmp_path: Path) -> None:
    question = (
        "(function () { var t = page.getElementById('decisions');"
        "var first = function () { return t.tBodies[0].rows[0].cells[0].textContent; };"
        "var before = first();"
        "t.tHead.rows[0].cells[6].querySelector('button').click(); var top = first();"
        "var v = page.getElementById('narrow-verdict'); v.value = 'firm';"
        "v.dispatchEvent(new window.Event('change'));"
        "var shown = Array.from(t.tBodies[0].rows).filter(function (r) { return !r.hidden; });"
        "return {before: before, top: top, shown: shown.length}; })()"
    )
    found = asked(text, tmp_path, question, 1000)
    top, _ = dearest(game, "wins", 1)[0]
    firm = sum(d.wins is not None and d.wins.verdict == "firm" for d in game.decisions)
    assert found == {"before": game.decisions[0].snap, "top": top.snap, "shown": firm}


@pytest.mark.skipif(PDFTOTEXT is None, reason="pdftotext is not installed")
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_no_entry_is_cut_in_print(text: str, game: PricedGame, tmp_path: Path, paper: str) -> None:
    sized = text.replace("@page { size: auto;", f"@page {{ size: {paper};")
    assert sized != text
    pdf = tmp_path / "report.pdf"
    chromium("--no-pdf-header-footer", f"--print-to-pdf={pdf}", saved(sized, tmp_path))
    done = subprocess.run(
        [str(PDFTOTEXT), "-layout", str(pdf), "-"], capture_output=True, text=True, check=True
    )
    pages = done.stdout.split("\f")
    # A full entry starts with its snap line and ends with its ledger table: on one page both.
    for decision, _ in dearest(game, "wins", 8):
        start = next(p for p in pages if f"Snap {decision.snap} ·" in p and "From before" in p)
        assert "by judgements" in start
        assert re.search(r"^ *% WP( +[−+]?[\d.]+){6}", start, re.MULTILINE)
