"""Both witnesses of a typed situation on the terminal, in at most 80 columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from pointsleft.calls.result import PlayedCalls
from pointsleft.pricing.result import CURRENCIES, Beside, Currency, PlayedOut
from pointsleft.report.numbers import NAME, bare, fixed
from pointsleft.report.played_out_view import parting_of, values
from pointsleft.report.safe_text import pad, wrapped

#: Width of the name, and of the four figures of a currency.
NAME_WIDE, WIDE = 24, (7, 6, 8, 6)


def played_calls_text(played: PlayedCalls) -> list[str]:
    """Lines of a fourth down before both witnesses."""
    rows = [(name, calls) for name, calls in played.calls.items()]
    rows.append((played.now.when, dict(values(played.now))))
    lines = _table(rows, played.games)
    for currency, (first, best) in played.parted().items():
        words = f"Played out, {first} comes first by {NAME[currency]}, and {best} by the exact sum."
        lines += wrapped(words, "  ")
    return [*lines, *wrapped(f"{parting_of(rows)} {played.now.sides}".rstrip(), "  ")]


def played_out_text(found: PlayedOut) -> list[str]:
    """Lines of one situation before both witnesses."""
    rows = [(found.when, dict(values(found)))]
    told = f"{parting_of(rows)} {found.sides}".rstrip()
    return [*_table(rows, found.games), *wrapped(told, "  ")]


def _table(rows: Sequence[tuple[str, Mapping[Currency, Beside]]], games: int) -> list[str]:
    has = [c for c in CURRENCIES if any(c in row for _, row in rows)]
    over = pad(f"played out, {games:,} games", NAME_WIDE)
    head = pad("", NAME_WIDE)
    for currency in has:
        over += pad({"points": "points", "wins": "wins, %"}[currency], sum(WIDE), right=True)
        for words, wide in zip(("model", "+-", "played", "+-"), WIDE, strict=True):
            head += pad(words, wide, right=True)
    lines = [over, head]
    for name, row in rows:
        line = pad(name, NAME_WIDE)
        for currency in has:
            line += _figures(row[currency], currency)
        lines.append(line)
    told = (
        "+-: of the model, the spread of its refits; of the games played out, one standard error."
    )
    return ["  " + line.rstrip() for line in lines] + wrapped(told, "  ")


def _figures(b: Beside, currency: Currency) -> str:
    texts = (
        bare(b.value, currency, plus=currency == "points"),
        _size(b.spread, currency),
        bare(b.played, currency, plus=currency == "points"),
        _size(b.error, currency),
    )
    return "".join(pad(t, wide, right=True) for t, wide in zip(texts, WIDE, strict=True))


def _size(value: float, currency: Currency) -> str:
    return fixed(value * (100 if currency == "wins" else 1), 2)
