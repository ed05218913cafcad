"""Accept or decline, and the free play, on the terminal: at most 80 columns of plain text."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping

from pointsleft.endgame.flag import FlagChoice, FlagChoices, FreeOption
from pointsleft.pricing.result import CURRENCIES, Currency
from pointsleft.report.cautions import CAUTION_LINE
from pointsleft.report.numbers import percent
from pointsleft.report.safe_text import fit, pad

WIDTH = 80
LABEL = 44


def flag_text(found: FlagChoices) -> str:
    """A priced flag as text, ending in a newline."""
    has = [c for c in CURRENCIES if c in found.penalty]
    lines = [
        fit(found.situation, WIDTH),
        fit(f"{found.foul}, {found.rules} rules", WIDTH),
        f"The {found.chooser} chooses, and the figures are its own.",
    ]
    if found.choices:
        heads = "".join(pad(h, w, right=True) for c in has for h, w in ((c, 9), ("better in", 10)))
        lines += ["", "  " + pad("choice", LABEL - 2) + heads]
        for choice in found.choices:
            lines += _choice(choice, has)
        lines += ["", *_best(found, has)]
    if found.free_play:
        lines += ["", *_free(found, has)]
    lines.append("")
    for words in (*found.notes, CAUTION_LINE):
        lines += textwrap.wrap(
            words, WIDTH - 2, initial_indent="  ", subsequent_indent="    ",
            break_on_hyphens=False,
        )  # fmt: skip
    return "\n".join(lines) + "\n"


def _figure(values: Mapping[Currency, float], currency: Currency) -> str:
    value = values[currency]
    return f"{value:+.2f}" if currency == "points" else f"{100 * value:.1f}%"


def _choice(choice: FlagChoice, has: list[Currency]) -> list[str]:
    first, *rest = textwrap.wrap(f"{choice.action}: {choice.label}", LABEL - 3)
    cells = "".join(
        pad(_figure(choice.values, c), 9, right=True)
        + pad(percent(choice.shares[c]), 10, right=True)
        for c in has
    )
    return ["  " + pad(first, LABEL - 2) + cells, *(f"    {more}" for more in rest)]


def _best(found: FlagChoices, has: list[Currency]) -> list[str]:
    lines = []
    for c in has:
        gap = found.left[c]
        size = f"{gap:.2f} points" if c == "points" else f"{100 * gap:.1f}% of a win"
        lines.append(f"  By {c}: {found.best[c]}, by {size} ({found.verdicts[c]}).")
    lines.append("  better in: share of the refits in which the choice is the better one.")
    return lines


def _free(found: FlagChoices, has: list[Currency]) -> list[str]:
    heads = "".join(
        pad(h, w, right=True) for c in has for h, w in ((c, 9), ("no flag", 10))
    )  # fmt: skip
    lines = ["  " + pad("free play", LABEL - 2) + heads]
    for option in found.free_play:
        lines += _free_option(option, has)
    penalty = ", ".join(_figure(found.penalty, c) for c in has)
    return [*lines, f"  The penalty alone: {penalty}."]


def _free_option(option: FreeOption, has: list[Currency]) -> list[str]:
    first, *rest = textwrap.wrap(option.label, LABEL - 3)
    cells = "".join(
        pad(_figure(option.with_flag, c), 9, right=True)
        + pad(_figure(option.without, c), 10, right=True)
        for c in has
    )
    return ["  " + pad(first, LABEL - 2) + cells, *(f"    {more}" for more in rest)]
