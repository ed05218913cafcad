"""Links between the documents lead somewhere, and commands named in them exist."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pointsleft.cli.main import COMMANDS

ROOT = Path(__file__).parents[2]
PAGES = sorted(
    [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md"), *(ROOT / "data_demo").glob("*.md")]
)
LINK = re.compile(r"\]\((?!https?:|mailto:)([^)#\s]*)(?:#([^)\s]+))?\)")


def anchors(page: Path) -> set[str]:
    """Anchors of the headings of a page, as Markdown renderers make them."""
    out = set()
    for line in page.read_text(encoding="utf-8").splitlines():
        if match := re.match(r"#+ +(.*)", line):
            words = re.sub(r"[^\w\- ]", "", match[1].lower().replace("`", ""))
            out.add(words.strip().replace(" ", "-"))
    return out


def broken(page: Path, text: str) -> list[str]:
    """Links of a page's text that lead nowhere."""
    found = []
    for target, anchor in LINK.findall(text):
        path = (page.parent / target) if target else page
        if not path.exists() or (anchor and anchor not in anchors(path)):
            found.append(f"{target}#{anchor}" if anchor else target)
    return found


@pytest.mark.parametrize("page", PAGES, ids=lambda p: str(p.relative_to(ROOT)))
def test_links_lead_somewhere(page: Path) -> None:
    assert broken(page, page.read_text(encoding="utf-8")) == []


def test_a_broken_link_would_be_seen() -> None:
    """Negative control."""
    text = "[a](docs/no-such.md) [b](docs/method.md#no-such) [c](docs/method.md#8-limits)"
    assert broken(ROOT / "README.md", text) == ["docs/no-such.md", "docs/method.md#no-such"]


@pytest.mark.parametrize("page", PAGES, ids=lambda p: str(p.relative_to(ROOT)))
def test_commands_named_exist(page: Path) -> None:
    named = set(re.findall(r"`(?:\$ )?pointsleft ([a-z]+)\b", page.read_text(encoding="utf-8")))
    assert named <= set(COMMANDS)
