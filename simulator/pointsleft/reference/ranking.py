"""Computed parts of docs/ranking.md, from what ``python -m pointsleft.bench.ranking`` measured."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from pointsleft.players.mixed import balanced_weight
from pointsleft.reference.markdown import table
from pointsleft.reference.measured import not_measured, read_measured
from pointsleft.report.numbers import fixed, percent

#: What the bench writes.
MEASURED = "ranking.json"

AGAIN = "`python -m pointsleft.bench.ranking` writes docs/ranking.json."
MISSING = not_measured("python -m pointsleft.bench.ranking", MEASURED)


def _found(docs: Path, section: str) -> Any:
    return (read_measured(docs, MEASURED) or {}).get(section)


def weights() -> str:
    """Worked shrinkage weights, from the closed form."""
    rows = []
    for games in (1, 3, 6, 12):
        cells = [str(games)]
        for player in (0.05, 0.1, 0.2):
            weight = balanced_weight(player, 0.1, 1.0, games, 40)
            cells.append(percent(weight))
        rows.append(tuple(cells))
    head = ("games of 40 decisions", "players 0.05 apart", "0.1 apart", "0.2 apart")
    return table(head, rows, 3)


def coverage(docs: Path) -> str:
    """How often the intervals hold the truth, beside a library's."""
    ours, library, about = (_found(docs, n) for n in ("ours", "library", "about"))
    if not ours:
        return MISSING
    rows = [
        (
            spread,
            f"{percent(one['covered'])} ± {fixed(100 * one['error'], 1)}",
            f"{1000 * one['seconds']:.0f} ms",
            "" if not library else (
                f"{percent(library[spread]['covered'])} "
                f"± {fixed(100 * library[spread]['error'], 1)}"
            ),
            "" if not library else f"{1000 * library[spread]['seconds']:.0f} ms",
        )
        for spread, one in ours.items()
    ]  # fmt: skip
    head = (
        "players apart (a single decision: 1)", "90% intervals that hold the truth", "a fit",
        "spreads estimated first, then taken as known", "a fit",
    )  # fmt: skip
    return table(head, rows, 4) + (
        f"\n{about['repeats']} classes for ours, {about['library']} for the library, each of eight "
        f"players with one to nine games of 35 decisions; the error is one standard error; times "
        f"are of the processor. Measured on {about['date']}, {about['machine']}. {AGAIN}\n"
    )


#: How the spread of single decisions was taken, as the bench names it.
_TAKEN = ("one for all", "each his own", "known")

_PLACES = {
    "all": "all players",
    "first": "the two at the head of the list",
    "middle": "the four between",
    "last": "the two at its end",
    "truly first": "the two who are truly best",
    "truly middle": "the four between",
    "truly last": "the two who are truly worst",
}


def ends(docs: Path) -> str:
    """How often the intervals of the best and the worst hold the truth."""
    found = _found(docs, "filmed")
    if not found:
        return MISSING
    rows = [
        (
            name,
            *(
                f"{percent(one['covered'])} ± {fixed(100 * one['error'], 1)}"
                for one in (found[taken][place] for taken in _TAKEN)
            ),
        )
        for place, name in _PLACES.items()
    ]
    head = (
        "90% intervals that hold the truth", "one spread for all", "each his own, as shipped",
        "each his own, were it known",
    )  # fmt: skip
    own = found["spread"]
    return table(head, rows, 3) + (
        f"\n{found['repeats']} classes of eight invented choosers with one to nine games of 35 "
        "decisions, who err as unlike one another as the quarterbacks of "
        "[case.md](case.md#how-it-is-made); the error is one standard error. The 90% interval of a "
        f"player's own spread holds the true one {percent(own['covered'])} of the time. {AGAIN}\n"
    )


def shuffled(docs: Path) -> str:
    """What a class of shuffled names comes to."""
    found = _found(docs, "shuffled")
    if not found:
        return MISSING
    return (
        f"With the names dealt out anew over the games {percent(found['firm'])} of the pairs are "
        f"called firm; with the true names {percent(found['firm_true'])} are.\n"
    )


def demo(docs: Path) -> str:
    """The invented class beside its truth."""
    found = _found(docs, "demo")
    if not found:
        return MISSING
    parts = []
    for measure, rows in found["players"].items():
        lines = [
            (
                r["player"], str(r["games"]), fixed(r["raw"], 3), fixed(r["value"], 3),
                f"{fixed(r['low'], 3)} to {fixed(r['high'], 3)}", fixed(r["true"], 3),
                "yes" if r["low"] <= r["true"] <= r["high"] else "no",
            )
            for r in rows
        ]  # fmt: skip
        head = (
            f"{measure}, points a decision", "games", "plain", "shrunken", "90% interval",
            "in the long run", "held",
        )  # fmt: skip
        parts.append(table(head, lines, 6))
    return "\n".join(parts)


def times(docs: Path) -> str:
    """How long a ranking takes."""
    found, about = _found(docs, "demo"), _found(docs, "about")
    if not found:
        return MISSING
    text = (
        f"Twelve games that were priced before ({found['twelve_decisions']} decisions), from the "
        f"logs to the ranking: {found['twelve_seconds']:.1f} s of one processor."
    )
    if found["priced_now"]:
        each = found["priced_seconds"] / found["priced_now"]
        text += f" A game that is new takes {each:.1f} s of one processor to price."
    return text + f" Measured on {about['date']}, {about['machine']}.\n"


def blocks(docs: Path) -> dict[str, Callable[[], str]]:
    """Every computed part of the page."""
    return {
        "shrinkage": weights,
        "ranking coverage": lambda: coverage(docs),
        "ranking ends": lambda: ends(docs),
        "ranking shuffled": lambda: shuffled(docs),
        "ranking demo": lambda: demo(docs),
        "ranking times": lambda: times(docs),
    }
