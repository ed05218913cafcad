"""The page of a class of players: one HTML document that needs nothing but itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pointsleft.players.doubts import PARTIES
from pointsleft.players.result import Ranking, Spreads
from pointsleft.pricing.result import Currency
from pointsleft.report import palette
from pointsleft.report import rank_detail as detail
from pointsleft.report import rank_view as view
from pointsleft.report import rank_words as words
from pointsleft.report.cautions import CAUTION_LINE, CAUTIONS, LIMITS, RANKING_LIMITS
from pointsleft.report.numbers import NAME, UNIT, count
from pointsleft.report.page import environment

#: Nothing runs on these pages.
POLICY = "default-src 'none'; style-src 'unsafe-inline'"

#: The entries of the ledger and the two shares, beside ``left``.
BESIDE = ("taken", "best", "offered", "delivered", "breaks")


@dataclass(frozen=True, slots=True)
class Table:
    title: str
    unit: str
    rows: list[view.FigureRow]


@dataclass(frozen=True, slots=True)
class Entry:
    title: str
    says: str
    unit: str
    better: str
    drawing: view.Pair


def colours() -> dict[str, str]:
    """The palette by name, for the style sheet."""
    return {k: v for k, v in vars(palette).items() if k.isupper() and isinstance(v, str)}


def class_title(ranking: Ranking) -> str:
    """What the page is called."""
    return f"{count(len(ranking.players), 'quarterback')}, {count(ranking.games, 'game')}"


def logs_of(ranking: Ranking) -> str:
    return count(ranking.logs, "game log")


def render_class(ranking: Ranking) -> str:
    """The page of the class, with a link to each player's page beside it."""
    main = ranking.main
    standings = ranking.standings[main]
    left = standings["left"]
    names = view.page_names(ranking)
    files = {name: f"players/{file}" for name, file in names.items() if name in left.players}
    context: dict[str, Any] = {
        "colour": colours(),
        "policy": POLICY,
        "title": class_title(ranking),
        "byline": _byline(ranking),
        "left": view.standing_drawing(left),
        "hurried": words.hurried(ranking),
        "caution": CAUTION_LINE,
        "ordered": words.ordered_by(main),
        "tables": _tables(ranking, files),
        "apart": [words.why_apart(left, name) for name in left.apart],
        "twice": ranking.logs > ranking.games,
        "pairs": view.pair_rows(left),
        "both_sides": words.decides_and_throws(ranking),
        "entries": [_entry(ranking, name) for name in BESIDE if name in standings],
        "unit": UNIT[main],
        "per": words.unit("left", main),
        "contrasts": detail.contrast_names(ranking, main),
        "steady": detail.steady_rows(ranking, main, files),
        "blamed": detail.blame_rows(ranking, main),
        "parties": PARTIES,
        "extremes": detail.extreme_rows(ranking, main),
        "swaps": [words.swap_words(s, main) for s in ranking.swaps[main]],
        "spreads": spread_words(left.spreads, main),
        "seen": list(ranking.players.values()),
        "warnings": ranking.warnings,
        "made": made(ranking),
        "cautions": CAUTIONS,
        "limits": (*RANKING_LIMITS, *LIMITS),
        "logs": logs_of(ranking),
    }
    return environment().get_template("class.html.j2").render(context)


def _byline(ranking: Ranking) -> str:
    charters = f"Charted by {', '.join(ranking.charters)}. " if len(ranking.charters) > 1 else ""
    return (
        f"{count(ranking.decisions, 'decision')} priced in {logs_of(ranking)}. {charters}"
        "Estimates with 90% intervals, never a bare rank."
    )


def _tables(ranking: Ranking, files: Mapping[str, str]) -> list[Table]:
    found = []
    for currency in (ranking.main, *(c for c in ranking.standings if c != ranking.main)):
        standing = ranking.standings[currency]["left"]
        found.append(
            Table(
                f"Left, in {NAME[currency]}", words.unit("left", currency),
                view.figure_rows(standing, files),
            )
        )  # fmt: skip
    taken = ranking.standings[ranking.main].get("taken")
    if taken is None:
        return found
    title = f"Share of the available value taken, in {NAME[ranking.main]}"
    found.append(Table(title, "% of the value", view.figure_rows(taken, files)))
    return found


def _entry(ranking: Ranking, name: str) -> Entry:
    standing = ranking.standings[ranking.main][name]
    word = words.WORDS[name]
    return Entry(
        word.title, word.says, words.unit(name, ranking.main), word.better,
        view.standing_drawing(standing, width=470),
    )  # fmt: skip


def spread_words(spreads: Spreads, currency: Currency) -> str:
    """How far players, games and single decisions lie apart, in a sentence."""

    def said(value: float) -> str:
        return words.figure(value, "left", currency)

    extra = ""
    if spreads.charters is not None:
        extra += f"; charters by {said(spreads.charters)}"
    if spreads.opponents is not None:
        extra += f"; opponents by {said(spreads.opponents)}"
    return (
        f"In {words.unit('left', currency)}, by the standard deviation: players lie "
        f"{said(spreads.players)} apart, games of one player {said(spreads.games)}, single "
        f"decisions {said(spreads.plays)}{extra}. The smaller the first is beside the others, the "
        "more games it takes."
    )


def made(ranking: Ranking) -> str:
    """How the figures were made."""
    refits = (
        f"{ranking.refits} refits of the models, shared by all players so that common errors "
        "cancel in their differences"
        if ranking.refits
        else "no refits of the models"
    )
    return (
        f"{refits[0].upper()}{refits[1:]}; {ranking.draws:,} joint draws behind every chance; seed "
        f"{ranking.seed}. With the same logs, models and seed every figure comes out the same."
    )
