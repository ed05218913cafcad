"""Both witnesses of a situation in words and figures: the regression, and playing out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pointsleft.pricing.result import Beside, Currency, PlayedOut, PricedGame
from pointsleft.report.numbers import UNIT, amount, bare, count
from pointsleft.report.sentences import CURRENCIES


@dataclass(frozen=True, slots=True)
class PlayedRow:
    """One value before both witnesses; figures without units."""

    when: str
    situation: str
    unit: str
    value: str
    spread: str
    played: str
    error: str
    apart: bool


@dataclass(frozen=True, slots=True)
class PlayedView:
    """What an entry shows of both witnesses."""

    rows: tuple[PlayedRow, ...]
    games: str
    sentence: str


def values(found: PlayedOut) -> list[tuple[Currency, Beside]]:
    """The currencies in which a situation has both values."""
    both = {"points": found.points, "wins": found.wins}
    return [(c, value) for c in CURRENCIES if (value := both[c]) is not None]


def played_view(found: Sequence[PlayedOut]) -> PlayedView | None:
    """What was played out for a decision; ``None`` where nothing was."""
    if not found:
        return None
    rows = tuple(
        PlayedRow(
            one.when, one.situation, UNIT[currency], bare(b.value, currency),
            bare(b.spread, currency), bare(b.played, currency), bare(b.error, currency), b.apart,
        )
        for one in found
        for currency, b in values(one)
    )  # fmt: skip
    told = f"{parting(found)} {found[0].sides}".rstrip()
    return PlayedView(rows, f"{found[0].games:,}", told)


def parting(found: Sequence[PlayedOut]) -> str:
    """Where the witnesses part by more than their joint spread, in a sentence."""
    return parting_of([(one.when, dict(values(one))) for one in found])


def parting_of(rows: Sequence[tuple[str, Mapping[Currency, Beside]]]) -> str:
    """The same for values that have names."""
    apart = [
        f"{amount(abs(b.played - b.value), currency)} ({name}; played out "
        f"{'higher' if b.played > b.value else 'lower'})"
        for name, row in rows
        for currency, b in row.items()
        if b.apart
    ]
    if not apart:
        return "The two agree within their joint spread."
    return (
        f"The two part by more than their joint spread: by {', and by '.join(apart)}. At least one "
        "of them is off there, and the figures do not say which."
    )


def game_parting(game: PricedGame) -> str | None:
    """How often the witnesses part over a game; ``None`` where nothing was played out."""
    found = [one for d in game.decisions for one in d.played_out]
    if not found:
        return None
    both = [(currency, b) for one in found for currency, b in values(one)]
    apart = [(currency, b) for currency, b in both if b.apart]
    by = ", ".join(
        f"{sum(c == currency for c, _ in apart)} of {n} ({UNIT[currency]})"
        for currency in CURRENCIES
        if (n := sum(c == currency for c, _ in both))
    )
    return f"{count(len(found), 'situation')} played out; beyond the joint spread {by}"
