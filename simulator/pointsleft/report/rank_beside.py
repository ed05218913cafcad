"""Tables beside the ranking itself: how steady, whose it was, the doubtful reads."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from pointsleft.players.doubts import PARTIES
from pointsleft.players.result import Blame, Extreme, Ranking
from pointsleft.pricing.result import Currency, Interval
from pointsleft.report.sheets import Column

#: Decimals of columns in which points and chances of winning stand bare: a decision moves a chance
#: by a few thousandths.
BARE = 4


class OfPlayer(Protocol):
    """A row of one player in one currency."""

    @property
    def player(self) -> str: ...

    @property
    def currency(self) -> Currency: ...


#: First columns of such rows.
WHO: tuple[Column[OfPlayer], ...] = (
    Column("player", "player", "text", lambda r: r.player, wide=True),
    Column("currency", "in", "text", lambda r: r.currency),
)


@dataclass(frozen=True, slots=True)
class SteadyRow:
    """One figure of how evenly a player decides."""

    player: str
    currency: Currency
    what: str
    decisions: int
    raw: float | None
    value: float | None
    interval: Interval


@dataclass(frozen=True, slots=True)
class BlameRow:
    player: str
    currency: Currency
    blame: Blame


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One player under one reading of the doubtful reads."""

    player: str
    currency: Currency
    extreme: Extreme
    place: int | None  # in the list; nobody of a single game has one


STEADY: tuple[Column[SteadyRow], ...] = (
    *WHO,
    Column("what", "what", "text", lambda r: r.what, wide=True),
    Column("decisions", "decisions", "whole", lambda r: r.decisions),
    Column("raw", "plain", "number", lambda r: r.raw, digits=BARE),
    Column("estimate", "shrunken", "number", lambda r: r.value, digits=BARE),
    Column("low", "90% low", "number", lambda r: r.interval.low, digits=BARE),
    Column("high", "90% high", "number", lambda r: r.interval.high, digits=BARE),
)


def _share(party: str) -> Column[BlameRow]:
    return Column(party, party, "number", lambda r: r.blame.shares[party], digits=BARE)


BLAME: tuple[Column[BlameRow], ...] = (
    *WHO,
    Column("entry", "entry", "text", lambda r: r.blame.entry),
    *(_share(party) for party in PARTIES),
    Column("said", "decisions said by the log", "whole", lambda r: r.blame.decisions_said),
)

READINGS: tuple[Column[ReadingRow], ...] = (
    *WHO,
    Column("reading", "doubtful options", "text", lambda r: r.extreme.name, wide=True),
    Column("listed", "in the list", "whole", lambda r: r.place),
    Column("left", "left a decision, shrunken", "number", lambda r: r.extreme.values[r.player],
           digits=BARE),
    Column("chance_first", "chance of being the best (%)", "number",
           lambda r: r.extreme.first[r.player], 100.0),
)  # fmt: skip


def steady_rows(ranking: Ranking) -> list[SteadyRow]:
    """Spreads, contrasts, and shares of the repeats of a concept that took the best."""
    found = []
    for currency, players in ranking.steadiness.items():
        for name, steady in players.items():
            spread = steady.spread
            found.append(
                SteadyRow(name, currency, "spread of left within a game", spread.decisions,
                          spread.raw, spread.value, spread.interval)
            )  # fmt: skip
            found += [
                SteadyRow(name, currency, c.what, sum(c.decisions), c.raw, c.value, c.interval)
                for c in steady.contrasts
            ]
            found += [
                SteadyRow(name, currency, f"share of best taken, {r.concept}", len(r.taken),
                          sum(r.taken) / len(r.taken), None, r.interval)
                for r in steady.repeats
            ]  # fmt: skip
    return found


def blame_rows(ranking: Ranking) -> list[BlameRow]:
    """``left`` and ``delivered`` a decision, by who answers for them."""
    return [
        BlameRow(name, currency, blame)
        for currency, players in ranking.blame.items()
        for name, entries in players.items()
        for blame in entries
    ]


def reading_rows(ranking: Ranking) -> list[ReadingRow]:
    """Everybody under every reading of the doubtful reads."""
    return [
        ReadingRow(
            name,
            currency,
            extreme,
            None if name in ranking.standings[currency]["left"].apart else at,
        )
        for currency, extremes in ranking.extremes.items()
        for extreme in extremes
        for at, name in enumerate(extreme.order, start=1)
    ]


#: Name of a table -> its columns and how its rows are found.
BESIDE_TABLES: dict[str, tuple[Sequence[Column[Any]], Callable[[Ranking], list[Any]]]] = {
    "steadiness": (STEADY, steady_rows),
    "blame": (BLAME, blame_rows),
    "readings": (READINGS, reading_rows),
}
