"""The order of a ranking as its pages show it: figures as words, drawings, rows of tables."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from pointsleft.players.result import Estimate, Ranking, Standing
from pointsleft.pricing.ledger import verdict
from pointsleft.pricing.result import Currency
from pointsleft.report import rank_words as words
from pointsleft.report.drawing.standing import Line, intervals, places_strip
from pointsleft.report.numbers import count, percent


@dataclass(frozen=True, slots=True)
class Pair:
    """Two drawings of one thing, for a wide and for a narrow page."""

    wide: Markup
    narrow: Markup


def slug(name: str) -> str:
    """A file name from a player's name; letters of any script are kept.

    >>> slug("Ansel Quillby"), slug("../x y"), slug("…")
    ('ansel-quillby', 'x-y', 'player')
    """
    folded = unicodedata.normalize("NFKC", name).casefold()
    return re.sub(r"[\W_]+", "-", folded).strip("-")[:60] or "player"


def page_names(ranking: Ranking) -> dict[str, str]:
    """Player -> file name of his page; names that fold to one are numbered."""
    taken: dict[str, str] = {}
    for name in ranking.players:
        base = slug(name)
        file, at = f"{base}.html", 2
        while file in taken.values():
            file, at = f"{base}-{at}.html", at + 1
        taken[name] = file
    return taken


def lines_of(standing: Standing) -> list[Line]:
    """The players of a standing as lines of a drawing, in order, the rest set back."""
    measure, currency = standing.measure, standing.currency
    by = words.factor(measure, currency)
    out = []
    for name in (*standing.order, *standing.apart):
        found = standing.players[name]
        out.append(
            Line(
                name,
                f"{count(found.games, 'game')}, {count(found.decisions, 'decision')}",
                found.interval.low * by,
                found.value * by,
                found.interval.high * by,
                None if found.raw is None else found.raw * by,
                name in standing.apart,
            )
        )
    return out


def standing_drawing(standing: Standing, *, width: float = 1000.0) -> Pair:
    """The class by one measure."""
    measure, currency = standing.measure, standing.currency
    lines = lines_of(standing)
    middle = standing.middle * words.factor(measure, currency)
    unit = words.unit(measure, currency)
    title = f"{words.WORDS[measure].title}, {unit}: estimate and 90% interval of every player"
    return Pair(
        intervals(lines, middle, unit, title, width=width, label=230 if width > 600 else 150,
                  wanted=6 if width > 600 else 4),
        intervals(lines, middle, unit, title, width=380, label=0, wanted=3),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One player in the table of figures."""

    name: str
    file: str
    games: int
    decisions: int
    raw: str
    value: str
    interval: str
    own: str
    halve: str
    place: str
    apart: bool


def figure_rows(standing: Standing, files: Mapping[str, str]) -> list[FigureRow]:
    """Every player of a standing, in words."""
    measure, currency = standing.measure, standing.currency
    out = []
    for name in (*standing.order, *standing.apart):
        found = standing.players[name]
        out.append(
            FigureRow(
                name, files.get(name, ""), found.games, found.decisions,
                "" if found.raw is None else words.figure(found.raw, measure, currency),
                words.figure(found.value, measure, currency),
                words.span(found.interval, measure, currency),
                percent(found.own), words.halving(found),
                words.place_words(standing.places[name]), name in standing.apart,
            )
        )  # fmt: skip
    return out


@dataclass(frozen=True, slots=True)
class PairRow:
    """One player against all others: chance in percent and its verdict word."""

    name: str
    cells: tuple[tuple[str, str], ...]
    strip: Markup


def pair_rows(standing: Standing) -> list[PairRow]:
    """Who is ahead of whom, and the chance of every place."""
    names = (*standing.order, *standing.apart)
    return [
        PairRow(
            one,
            tuple(
                ("", "") if one == other else (
                    percent(standing.ahead[one][other]),
                    verdict(max(standing.ahead[one][other], standing.ahead[other][one])),
                )
                for other in names
            ),
            places_strip(
                standing.places[one],
                f"{one}: chance of each place, "
                + ", ".join(f"{i}: {percent(c)}" for i, c in enumerate(standing.places[one], 1)),
            ),
        )
        for one in names
    ]  # fmt: skip


def own_line(estimate: Estimate, currency: Currency) -> str:
    """An estimate in a sentence's middle: figure, unit, interval."""
    value = words.amount(estimate.value, "left", currency)
    return f"{value} (90% interval {words.span(estimate.interval, 'left', currency)})"
