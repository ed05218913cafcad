"""One game's calls on the terminal, in at most 80 columns."""

from __future__ import annotations

import textwrap
from pathlib import Path

from pointsleft.calls.game import GameCalls
from pointsleft.report.call_text import CLOSING
from pointsleft.report.calls_page import call_rows, summary
from pointsleft.report.safe_text import capital, fit, pad

WIDTH = 80


def game_calls_text(game: GameCalls, page: Path | None = None) -> str:
    """The calls of a game in order, with what each left."""
    lines = [
        fit(game.title, WIDTH),
        fit(f"Fourth-down calls of {game.team}. Rules: {game.rules}", WIDTH),
        "",
        *textwrap.wrap(summary(game), WIDTH),
        *([""] if game.spread else []),
        *textwrap.wrap(capital(game.spread), WIDTH),
        "",
    ]
    lines.append(
        pad("", 9) + pad("situation", 28) + pad("called", 11) + pad("best", 11)
        + pad("settled", 10) + pad("pts", 5, right=True) + pad("% WP", 6, right=True)
    )  # fmt: skip
    for row in call_rows(game):
        lines.append(
            (
                pad(row.when, 9) + pad(row.situation, 28) + pad(row.called_short, 11)
                + pad(row.best_short, 11) + pad(row.verdict, 10)
                + pad(row.points, 5, right=True) + pad(row.wins, 6, right=True)
            ).rstrip()
        )  # fmt: skip
        if row.inside:
            lines += textwrap.wrap(
                row.inside, WIDTH, initial_indent=" " * 9, subsequent_indent=" " * 11
            )
    if page is not None:
        lines += ["", f"Sheet to print: {page}"]
    return "\n".join([*lines, "", CLOSING]) + "\n"
