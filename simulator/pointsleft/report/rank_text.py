"""A ranking on the terminal: at most 80 columns, plain text."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from pathlib import Path

from pointsleft.players.result import Ranking, Standing
from pointsleft.pricing.result import Currency
from pointsleft.report import rank_words as words
from pointsleft.report.cautions import CAUTION_LINE
from pointsleft.report.numbers import NAME, count, percent
from pointsleft.report.safe_text import fit, one_line, pad

WIDTH = 80

#: Columns of the table: heading and width.
HEADS = (("games", 7), ("decisions", 11), ("plain", 9), ("shrunken", 10), ("90% interval", 17))


def _head(ranking: Ranking) -> list[str]:
    charters = "" if len(ranking.charters) < 2 else f", {len(ranking.charters)} charters"
    return [
        fit(
            f"{count(len(ranking.players), 'quarterback')}, {count(ranking.games, 'game')}, "
            f"{count(ranking.decisions, 'decision')}{charters}",
            WIDTH,
        ),
        "",
    ]


def _line(standing: Standing, name: str) -> str:
    found, currency = standing.players[name], standing.currency
    cells = (
        str(found.games),
        str(found.decisions),
        "" if found.raw is None else words.figure(found.raw, "left", currency),
        words.figure(found.value, "left", currency),
        words.span(found.interval, "left", currency),
    )
    shown = "".join(
        pad(cell, wide, right=True) for cell, (_, wide) in zip(cells, HEADS, strict=True)
    )
    place = words.place_words(standing.places[name])
    return f"{pad(name, 18)}{shown}{pad(place, 8, right=True)}"


def _table(standing: Standing) -> list[str]:
    currency = standing.currency
    lines = [f"Left on the field, {words.unit('left', currency)}; less is better"]
    heads = "".join(pad(head, wide, right=True) for head, wide in HEADS)
    lines.append(f"{pad('', 18)}{heads}{pad('place', 8, right=True)}")
    lines += [_line(standing, name) for name in standing.order]
    if standing.apart:
        lines += ["seen in one game, no place in the order:"]
        lines += [_line(standing, name) for name in standing.apart]
    middle = words.figure(standing.middle, "left", currency)
    return [*lines, f"middle of the class {middle}; place: where he stands with 90% chance"]


def _beside(ranking: Ranking) -> list[str]:
    """The other measures in a line a player."""
    standings = ranking.standings[ranking.main]
    names = [n for n in ("taken", "offered", "delivered", "breaks") if n in standings]
    widths = [15] * len(names)
    lines = [
        pad("Beside it, shrunken", 20)
        + "".join(
            pad(words.WORDS[n].title.lower(), w, right=True)
            for n, w in zip(names, widths, strict=True)
        )
    ]
    for name in (*standings["left"].order, *standings["left"].apart):
        cells = []
        for measure, wide in zip(names, widths, strict=True):
            found = standings[measure].players.get(name)
            plus = measure not in words.SHARES
            shown = "" if found is None else words.figure(
                found.value, measure, ranking.main, plus=plus
            )  # fmt: skip
            cells.append(pad(shown + ("%" if shown and not plus else ""), wide, right=True))
        lines.append(f"{pad(name, 20)}{''.join(cells)}")
    return [*lines, "amounts in " + words.unit("left", ranking.main) + "; intervals in the report"]


def _others(ranking: Ranking) -> list[str]:
    """Who comes first in the other currency, where there is one."""
    lines = []
    for currency, standings in ranking.standings.items():
        if currency != ranking.main:
            lines += _first(currency, standings["left"])
    return lines


def _first(currency: Currency, standing: Standing) -> list[str]:
    name = standing.order[0]
    chance = percent(standing.places[name][0])
    said = (
        f"By {NAME[currency]} {one_line(name)} left the least; really the best with {chance} "
        "chance."
    )
    return textwrap.wrap(said, WIDTH, break_on_hyphens=False)


def summary(ranking: Ranking, files: Mapping[str, Path] | None = None) -> str:
    """The summary of a ranking as plain text, ending in a newline.

    Parameters
    ----------
    files
        What was written, by the name to print. A path longer than the line is the one thing that
        may pass 80 columns: a cut path is of no use.
    """
    lines = [*_head(ranking), *_table(ranking.standings[ranking.main]["left"]), ""]
    for sentence in words.hurried(ranking):
        lines += textwrap.wrap(one_line(sentence), WIDTH, break_on_hyphens=False)
    lines += ["", *_beside(ranking), *_others(ranking)]
    for warning in ranking.warnings:
        lines += textwrap.wrap(f"Note: {one_line(warning)}", WIDTH, break_on_hyphens=False)
    if files:
        lines += ["", *(f"{name:<12}{path}" for name, path in files.items())]
    lines += ["", CAUTION_LINE]
    return "\n".join(line.rstrip() for line in lines) + "\n"
