"""Every generated page, and every written page with its computed parts, by path."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from pointsleft_models.cards.make import pages as card_pages
from pointsleft_models.plays.reference import reference_page as play_table_page

from pointsleft.log.reference import reference_page as log_page
from pointsleft.reference import (
    ranking,
    readme,
    worked,
    worked_calls,
    worked_decisions,
    worked_settled,
    worked_witnesses,
)
from pointsleft.reference.judgements import judgements_page
from pointsleft.reference.markdown import filled
from pointsleft.reference.published import published_page
from pointsleft.reference.rule_sets import rule_sets_page
from pointsleft.reference.window_words import window_words_page
from pointsleft.reference.worked_late import blocks as late_blocks

Block = Callable[[], str]

#: Written pages with computed parts.
WRITTEN = (
    "README.md",
    "docs/calls.md",
    "docs/late-choices.md",
    "docs/method.md",
    "docs/ranking.md",
    "docs/two-witnesses.md",
)


def generated(root: Path) -> dict[Path, str]:
    """Pages that nobody writes by hand.

    Parameters
    ----------
    root
        The clone.
    """
    docs = root / "docs"
    return {
        docs / "log-reference.md": log_page(),
        docs / "play-table.md": play_table_page(),
        docs / "judgements.md": judgements_page(docs),
        docs / "rule-sets.md": rule_sets_page(),
        docs / "published.md": published_page(worked.models()),
        docs / "window-words.md": window_words_page(),
        **card_pages(worked.models(), docs),
    }


def computed(root: Path) -> dict[Path, str]:
    """Written pages, their computed parts computed again."""
    blocks = joined_blocks(
        worked.BLOCKS,
        worked_decisions.BLOCKS,
        readme.blocks(root / "docs"),
        late_blocks(root / "docs"),
        worked_calls.blocks(root / "docs"),
        ranking.blocks(root / "docs"),
        worked_witnesses.blocks(root / "docs"),
        worked_settled.blocks(root / "docs"),
    )
    return {
        root / name: filled((root / name).read_text(encoding="utf-8"), blocks)
        for name in WRITTEN
    }  # fmt: skip


def joined_blocks(*parts: Mapping[str, Block]) -> dict[str, Block]:
    """All computed parts; two of one name would write over each other's page."""
    out: dict[str, Block] = {}
    for part in parts:
        twice = sorted(set(part) & set(out))
        if twice:
            raise ValueError(f"two computed parts are named {', '.join(twice)}; rename one")
        out |= part
    return out


def pages(root: Path) -> dict[Path, str]:
    """All of them."""
    return {**generated(root), **computed(root)}
