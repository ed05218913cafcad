"""Calls on the terminal, in at most 80 columns."""

from __future__ import annotations

from collections.abc import Mapping

from pointsleft.calls.result import BreakEven, Choice, FourthDown, Settled, Try
from pointsleft.calls.tries import TRIES, TryChart
from pointsleft.pricing.result import CURRENCIES, Currency
from pointsleft.report.numbers import MINUS, NAME, amount, bare, interval, percent
from pointsleft.report.played_calls_text import played_calls_text
from pointsleft.report.played_try_text import played_try_text
from pointsleft.report.safe_text import capital, pad, wrapped

CLOSING = "These are estimates; see docs/calls.md for what they leave out."


def fourth_down_text(priced: FourthDown) -> str:
    """One fourth down: calls, verdicts, break-evens, and what each call leads to."""
    has = [c for c in CURRENCIES if c in priced.now]
    lines = [*wrapped(f"{priced.situation}  ({priced.rules} rules)"), ""]
    lines += [*_verdicts(priced.settled, has, priced.refits), *_parting(priced), ""]
    lines += [*_table(priced, has), ""]
    lines += _break_evens(priced, has)
    lines += _follows(priced)
    if priced.played is not None:
        lines += ["", *played_calls_text(priced.played)]
    if priced.notes:
        lines += ["", *(line for note in priced.notes for line in wrapped(note))]
    lines += ["", CLOSING]
    return "\n".join(lines) + "\n"


def said(call: str) -> str:
    """A call in a sentence: ``go for it``, ``kick a field goal``, ``punt``."""
    return {"go": "go for it", "field goal": "kick a field goal", "kick": "kick",
            "two points": "go for two"}.get(call, call)  # fmt: skip


def _verdicts(settled: Mapping[Currency, Settled], has: list[Currency], refits: int) -> list[str]:
    lines: list[str] = []
    for currency in has:
        words = verdict_words(settled[currency], currency, refits)
        lines += wrapped(f"By {NAME[currency]}: {words}", "  ")
    return lines


def _parting(priced: FourthDown) -> list[str]:
    """Said beside the verdicts where the two witnesses do not put the same call first."""
    lines: list[str] = []
    if priced.played is not None:
        for currency, (first, _) in priced.played.parted().items():
            words = f"Played out, {first} comes first by {NAME[currency]}:"
            lines += wrapped(f"{words} see below before you lean on either.", "  ")
    return lines


def verdict_words(one: Settled, currency: Currency, refits: int) -> str:
    """``firm: go for it; first in 97% of 100 refits, by 0.52 pts (0.21 to 0.80) over punt``."""
    if one.second is None:
        return f"{said(one.best)}: nothing else is open from here"
    lead = said(one.best) if one.verdict != "unsettled" else (
        f"{said(one.best)} or {said(one.second)}"
    )  # fmt: skip
    by = f"{amount(one.gap, currency)} over {one.second} (90% {interval(one.interval, currency)})"
    if not refits:
        return f"unsettled: {one.best} ahead by {by}; these fits have no refits"
    share = f"{one.best} first in {percent(one.share)} of {refits} refits"
    return f"{one.verdict}: {lead}; {share}, by {by}"


def _table(priced: FourthDown, has: list[Currency]) -> list[str]:
    wide = 36
    head = pad("call", wide) + pad("success", 9, right=True)
    head += "".join(pad(c, 9, right=True) + pad("", 8) for c in has)
    lines = ["  " + head.rstrip()]
    for choice in sorted(priced.choices, key=lambda c: -c.value[has[-1]]):
        name = said(choice.name) + (" (all plays)" if choice.name == "go" else "")
        if choice.named:
            name = f"  {choice.name}"
        row = pad(name, wide)
        row += pad("" if choice.chance is None else percent(choice.chance), 9, right=True)
        for currency in has:
            row += pad(bare(choice.value[currency], currency, plus=currency == "points")
                       + ("%" if currency == "wins" else ""), 9, right=True)  # fmt: skip
            first = priced.settled[currency].best == choice.name and not choice.named
            row += f"  {pad('first' if first else '', 6)}"
        lines.append("  " + row.rstrip())
    return lines


def _break_evens(priced: FourthDown, has: list[Currency]) -> list[str]:
    lines: list[str] = []
    for choice in priced.choices:
        if choice.named or choice.kind == "punt":
            continue
        for currency in has:
            tie = choice.break_even.get(currency)
            if tie is not None:
                lines += wrapped(_break_even(choice, tie), "  ")
    return ["Break-even", *lines, ""] if lines else []


def _break_even(choice: Choice, tie: BreakEven) -> str:
    currency = tie.currency
    kind = "conversion" if choice.kind == "go" else "kick"
    target, low, high = (_signed(v, currency) for v in (tie.target, tie.low, tie.high))
    sums = f"({target} − {low}) / ({high} − {low})"
    if tie.tie is None:
        better = tie.target < min(tie.low, tie.high)
        even = "one that never comes off is worth more" if better else "a sure one is worth less"
        return f"{kind}, {NAME[currency]}: no chance ties; even {even} than the best other call"
    return (
        f"{kind}, {NAME[currency]}: {percent(tie.tie)} = {sums}; the law says {percent(tie.chance)}"
    )


def _signed(value: float, currency: Currency) -> str:
    """A figure inside a sum, a negative one in brackets."""
    text = bare(value, currency)
    return f"({text})" if text.startswith(MINUS) else text


def _follows(priced: FourthDown) -> list[str]:
    head = pad("what comes next", 34) + pad("chance", 7, right=True) + "  " + pad("ball", 16)
    lines = ["  " + head + pad("points", 8, right=True) + pad("wins", 8, right=True)]
    for choice in priced.choices:
        if choice.named:
            continue
        for at, follow in enumerate(choice.follows):
            lead = pad(choice.name if at == 0 else "", 11)
            points = "" if follow.points is None else bare(follow.points, "points", plus=True)
            wins = "" if follow.wins is None else bare(follow.wins, "wins") + "%"
            where = follow.where
            row = lead + pad(follow.what, 23) + pad(percent(follow.chance), 7, right=True) + "  "
            row += pad(where, 16) + pad(points, 8, right=True) + pad(wins, 8, right=True)
            lines.append("  " + row.rstrip())
    return lines


def try_text(priced: Try) -> str:
    """A try: both, the verdict and the two lines of the break-even."""
    lines = [*wrapped(f"{priced.situation}  ({priced.rules} rules)"), ""]
    lines += wrapped(
        f"By win probability: {verdict_words(priced.settled, 'wins', priced.refits)}", "  "
    )
    lines += [
        "",
        f"  kick        good {percent(priced.kick):>4}   wins {bare(priced.value_kick, 'wins')}%",
        f"  two points  made {percent(priced.pair):>4}   wins {bare(priced.value_pair, 'wins')}%",
        "",
        "  wins with no point of the try, one, two: "
        + ", ".join(bare(v, "wins") + "%" for v in (priced.none, priced.one, priced.two)),
    ]
    if priced.tie is None:
        lines.append("  break-even: none; nothing hangs on the try")
    else:
        lines += wrapped(
            f"break-even of two points: {percent(priced.tie)} = {percent(priced.kick)} x "
            f"({bare(priced.one, 'wins')} − {bare(priced.none, 'wins')}) / "
            f"({bare(priced.two, 'wins')} − {bare(priced.none, 'wins')})", "  ",
        )  # fmt: skip
    if priced.played is not None:
        lines += ["", *played_try_text(priced, priced.played)]
    told = [f"{capital(priced.beforehand)}."] if priced.beforehand else []
    if told or priced.notes:
        lines += ["", *(line for note in (*told, *priced.notes) for line in wrapped(note))]
    return "\n".join([*lines, "", CLOSING]) + "\n"


def mark(settled: Settled) -> str:
    """One cell of the chart: ``K``, ``k``, ``2``, ``(2)`` or a dot where it is not settled."""
    if settled.verdict == "unsettled":
        return "."
    if settled.best == TRIES[0]:
        return "K" if settled.verdict == "firm" else "k"
    return "2" if settled.verdict == "firm" else "(2)"


def chart_text(chart: TryChart) -> str:
    """Kick or two by score and time."""
    lines = [
        f"After a touchdown: kick or two points  ({chart.rules} rules)",
        "",
        "  before the try     minutes left in the game",
        "  points ahead  " + "".join(f"{m:>6g}" for m in chart.minutes),
    ]
    for lead, row in zip(chart.leads, chart.cells, strict=True):
        lines.append(f"  {lead:>+12d}  " + "".join(f"{mark(c):>6}" for c in row))
    lines += [
        "",
        *wrapped("K kick, k kick but slight, 2 two points, (2) two points but slight, . not "
                  "settled by the refits (or nothing hangs on it).", "  "),
        *wrapped("Three time-outs each. " + CLOSING, "  "),
    ]  # fmt: skip
    return "\n".join(lines) + "\n"
