"""Counting, drawing and writing all cards of a level."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from pointsleft_models.bundle import SPREAD, Models
from pointsleft_models.cards.counted import Counted, CountedError, Panel, read_counted
from pointsleft_models.cards.draw import draw
from pointsleft_models.cards.page import card_page, index_page, read_bench
from pointsleft_models.plays.reading import Progress, quiet

if TYPE_CHECKING:
    import polars as pl


def pictures(docs: Path) -> Path:
    """Where the pictures and the counts behind them lie."""
    return docs / "img" / "cards"


def pages(models: Models, docs: Path) -> dict[Path, str]:
    """Every page of the cards by its path, from the fits and the saved counts."""
    bench = read_bench(docs)
    out = {docs / "models.md": index_page(models)}
    for name, fit in models.fits.items():
        try:
            counted = read_counted(pictures(docs) / f"{name}.json")
        except CountedError:
            counted = None
        out[docs / "cards" / f"{name}.md"] = card_page(fit, counted, bench)
    return out


def count_cards(
    models: Models, plays: pl.DataFrame, data: str, *, progress: Progress = quiet
) -> Iterable[Counted]:
    """Counts beside every fit.

    Parameters
    ----------
    plays
        The play table, participation and spreads joined where there are any; panels that need
        them are left out without.
    data
        What to call the source.
    """
    from pointsleft_models.plays.sequence import with_next_snap

    frame = with_next_snap(plays)
    for name, fit in progress(list(models.fits.items()), len(models.fits), "counting"):
        panels = _panels(models, name, frame)
        if panels:
            yield Counted(name, fit.digest, data, panels)


def _panels(models: Models, name: str, plays: pl.DataFrame) -> tuple[Panel, ...]:
    from pointsleft_models.cards import value_panels
    from pointsleft_models.cards.compare import ask, rows_of
    from pointsleft_models.cards.law_panels import LAW_PANELS
    from pointsleft_models.cards.spread_panels import spread_panels
    from pointsleft_models.recipes.families import LAWS

    own = {
        "next-score": value_panels.next_score_panels,
        "wins": value_panels.win_panels,
        "going": value_panels.going_panels,
        SPREAD: spread_panels,
    }
    if name in own:
        return own[name](models, plays)
    family = {component.name: component for component in LAWS[name]}
    rows, panels = {}, []
    for question in LAW_PANELS[name]:
        component = family[question.component]
        if not models.library.has(component.name):
            continue
        if component.name not in rows:
            rows[component.name] = rows_of(component, family, models.library, plays)
        if len(rows[component.name].frame):
            panels.append(ask(question, component, rows[component.name]))
    return tuple(panels)


def save(counted: Counted, docs: Path) -> None:
    """Write the counts of a card and draw its picture."""
    folder = pictures(docs)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{counted.name}.json").write_text(counted.text(), encoding="utf-8")
    draw(counted, folder / f"{counted.name}.png")


def draw_again(docs: Path) -> int:
    """Draw every picture from its saved counts; how many there were."""
    saved = sorted(pictures(docs).glob("*.json"))
    for path in saved:
        draw(read_counted(path), path.with_suffix(".png"))
    return len(saved)


def write_pages(models: Models, docs: Path) -> list[Path]:
    """Write the cards and their index."""
    written = pages(models, docs)
    for path, text in written.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return list(written)
