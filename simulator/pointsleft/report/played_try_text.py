"""A try before both witnesses on the terminal, in at most 80 columns."""

from __future__ import annotations

from pointsleft.calls.result import PlayedTry, Try
from pointsleft.report.numbers import bare, fixed
from pointsleft.report.safe_text import pad, wrapped

#: Width of the name, and of each figure.
NAME_WIDE, WIDE = 30, 9


def played_try_text(priced: Try, played: PlayedTry) -> list[str]:
    """Both tries and what follows them, by the regression and played out."""
    rows = [
        ("no point", priced.none, played.none),
        ("one point", priced.one, played.one),
        ("two points", priced.two, played.two),
        ("kick", priced.value_kick, played.kick),
        ("go for two", priced.value_pair, played.pair),
    ]
    lines = [
        pad(f"played out, {played.games:,} games", NAME_WIDE)
        + pad("wins, %", 3 * WIDE, right=True),
        pad("", NAME_WIDE) + "".join(pad(w, WIDE, right=True) for w in ("model", "played", "+-")),
    ]
    for name, model, (value, error) in rows:
        figures = (bare(model, "wins"), bare(value, "wins"), fixed(100 * error, 2))
        lines.append(pad(name, NAME_WIDE) + "".join(pad(f, WIDE, right=True) for f in figures))
    told = [*wrapped("+-: one standard error.", "  "), *wrapped(_told(priced, played), "  ")]
    return ["  " + line.rstrip() for line in lines] + told


def _told(priced: Try, played: PlayedTry) -> str:
    """What the games played out say, and whom to believe where the model says something else."""
    by = f"{fixed(100 * played.gap, 1)}% WP (+- {fixed(100 * played.gap_error, 1)})"
    if not played.clear:
        return f"Played out, nothing is settled: {played.ahead} is ahead by {by}, within the draws."
    told = f"Played out, {played.ahead} is ahead by {by}."
    if priced.parted:
        told += f" The model says {priced.settled.best}."
    if priced.parted or priced.settled.verdict == "unsettled":
        told += (
            " The model is smooth in the lead and cannot see what one single point does late; the "
            "games played out know the score exactly."
        )
    if priced.parted and priced.settled.verdict != "unsettled":
        told += " Take the verdict above as unsettled."
    return told
