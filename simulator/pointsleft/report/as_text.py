"""The summary on the terminal: at most 30 lines of at most 80 columns, plain text."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from pathlib import Path

from pointsleft_models.football.spot import write_spot

from pointsleft.pricing.result import Decision, PricedGame, Total
from pointsleft.report import figures, sentences
from pointsleft.report.cautions import CAUTION_LINE
from pointsleft.report.numbers import NAME, UNIT, amount, bare, count, percent
from pointsleft.report.played_out_view import game_parting
from pointsleft.report.safe_text import capital, cut, fit, one_line, pad

LINES, WIDTH = 30, 80

#: How many of the dearest decisions the summary names.
DEAREST = 5


def _line(name: str, words: str) -> str:
    return cut(f"{name:<19}{words}", WIDTH)


def _head(game: PricedGame) -> list[str]:
    main = figures.main_currency(game)
    lines = [
        fit(game.title, WIDTH),
        fit(f"{game.quarterback}, {game.us} against {game.them}", WIDTH),
        fit(f"Rules: {game.rules}", WIDTH),
        "",
    ]
    totals = [t for c in sentences.CURRENCIES if (t := sentences.total_left(game, c))]
    lines += [_line("" if i else "Left on the field", total) for i, total in enumerate(totals)]
    share = figures.taken_share(game, main)
    best, known = figures.best_taken(game, main)
    if share is not None:
        words = f"{percent(share)} of the available value; the best option in {best} of {known}"
        lines.append(_line("Taken", words))
    counts = figures.verdict_counts(game, main)
    snaps = len(game.decisions) + len(game.unpriced)
    verdicts = ", ".join(f"{counts[v]} {v}" for v in figures.VERDICTS)
    words = f"{len(game.decisions)} of {count(snaps, 'snap')} priced: {verdicts}"
    return [*lines, _line("Decisions", words)]


def _where(decision: Decision) -> str:
    """A situation in a few columns, ``Q4 3rd & 7 opp 38``; in full where the facts are missing."""
    facts = decision.facts
    down, distance, to_goal = (facts.get(k) for k in ("down", "distance", "yards_to_goal"))
    if not (isinstance(down, int) and isinstance(distance, int) and isinstance(to_goal, int)):
        return one_line(decision.situation)
    if not (1 <= down <= 4 and 1 <= to_goal <= 99):
        return one_line(decision.situation)
    period = facts.get("period")
    quarter = f"Q{period} " if isinstance(period, int) and period <= 4 else ""
    if isinstance(period, int) and period > 4:
        quarter = "OT "
    to_go = "goal" if distance >= to_goal else str(distance)
    return f"{quarter}{('1st', '2nd', '3rd', '4th')[down - 1]} & {to_go} {write_spot(to_goal)}"


def _dearest(game: PricedGame) -> list[str]:
    main = figures.main_currency(game)
    top = figures.dearest(game, main, DEAREST)
    if not top:
        return ["No decision left anything on the field by these figures."]
    lines = [
        pad(f"Dearest by {NAME[main]} (chosen, not the best)", 53)
        + "".join(pad(UNIT[c], 8, right=True) for c in sentences.CURRENCIES)
        + "  verdict"
    ]
    for decision, entry in top:
        words = f"{_where(decision)}: {one_line(decision.chosen)}, not {one_line(entry.best)}"
        clip = pad(decision.clip or "no clip", 8)
        figures_shown = "".join(
            pad("" if e is None else bare(e.left, c), 8, right=True)
            for c in sentences.CURRENCIES
            for e in [figures.ledger_of(decision, c)]
        )
        lines.append(f"{clip} {pad(words, 44)}{figures_shown}  {entry.verdict}".rstrip())
    return lines


def _everything(game: PricedGame) -> list[str]:
    """Totals of the ledger over all priced decisions, a line a currency."""
    head = ("offered", "left", "delivered", "breaks")
    lines = [pad("Ledger, all priced", 24) + "".join(pad(h, 13, right=True) for h in head)]
    for currency in sentences.CURRENCIES:
        ledgers = [e for d in game.decisions if (e := figures.ledger_of(d, currency)) is not None]
        if not ledgers:
            continue
        sums = (
            sum(e.offered for e in ledgers),
            -sum(e.left for e in ledgers),
            sum(e.delivered for e in ledgers),
            sum(e.breaks for e in ledgers),
        )
        cells = (pad(amount(s, currency, plus=True), 13, right=True) for s in sums)
        lines.append(pad(NAME[currency], 24) + "".join(cells))
    return lines


def _weakest(game: PricedGame) -> list[str]:
    """The repeated concept in which the smallest share of the value was taken."""
    main = figures.main_currency(game)
    often = [
        t
        for t in game.totals.get(main, {}).get("concept", ())
        if t.decisions >= 3 and t.taken is not None
    ]
    if not often:
        return []

    def taken(total: Total) -> float:
        return 1.0 if total.taken is None else total.taken

    worst = min(often, key=taken)
    return [
        fit(
            f"Least steady: {one_line(worst.group)}, {percent(taken(worst))} of the value, "
            f"best option in {worst.best_taken} of {worst.decisions}",
            WIDTH,
        )
    ]


def _hits(game: PricedGame) -> str:
    asked, best, taken = figures.hits(game, figures.main_currency(game))
    return cut(
        f"Hits asked for by the choices {asked:.1f}, by the best options {best:.1f}; "
        f"taken {taken:g}",
        WIDTH,
    )


def _warnings(game: PricedGame, most: int) -> list[str]:
    """How many warnings there are and the first of them, on one or at most two lines."""
    words = f"{count(len(game.warnings), 'warning')}: {one_line(game.warnings[0])}"
    if most == 1:
        return [fit(words, WIDTH)]
    first, *rest = textwrap.wrap(words, WIDTH, break_on_hyphens=False)
    return [fit(first, WIDTH), *([fit(" ".join(rest), WIDTH)] if rest else [])]


def _files(files: Mapping[str, Path]) -> list[str]:
    """A line a file: a path is never cut, since it is there to be copied."""
    return [f"{name:<19}{path}" for name, path in files.items()]


def summary(game: PricedGame, files: Mapping[str, Path] | None = None) -> str:
    """The summary of a priced game as plain text, ending in a newline.

    Parameters
    ----------
    files
        What was written, by the name to print: ``{"report": ..., "table": ...}``. A path longer
        than the line is the one thing that may pass 80 columns: a cut path is of no use.
    """
    lines = [*_head(game), "", *_dearest(game), "", *_everything(game), *_weakest(game)]
    lines.append(_hits(game))
    played = game_parting(game)
    if played is not None:
        lines.append(fit(played, WIDTH))
    used = sum(game.assumptions.values())
    if used:
        lines.append(
            f"{count(used, 'default')} stood in for what the log does not say (see report)"
        )
    if game.beforehand:  # the first half of it; the report has all
        lines.append(fit(capital(one_line(game.beforehand).split(";")[0]), WIDTH))
    if game.warnings:
        lines += _warnings(game, 2 if played is None and not game.beforehand else 1)
    if files:
        lines += ["", *_files(files)]
    lines += ["", CAUTION_LINE]
    return "\n".join(lines) + "\n"
