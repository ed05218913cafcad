"""Which decisions of a game left the most."""

from __future__ import annotations

from pointsleft.pricing.result import Currency, Decision, Ledger, PricedGame

#: How many have a full entry in the report; the demo plays as many out.
FULL = 8


def ledger_of(decision: Decision, currency: Currency) -> Ledger | None:
    """The ledger of a decision in one currency, ``None`` where it is not defined."""
    return decision.points if currency == "points" else decision.wins


def main_currency(game: PricedGame) -> Currency:
    """The currency in which decisions are ranked: wins where known, else points.

    Where only part of a game has a clock and a score, wins if at least half of the decisions
    have them; the others are then listed without a rank.
    """
    wins = sum(d.wins is not None for d in game.decisions)
    points = sum(d.points is not None for d in game.decisions)
    return "wins" if wins and (points == 0 or 2 * wins >= len(game.decisions)) else "points"


def dearest(game: PricedGame, currency: Currency, most: int) -> tuple[tuple[Decision, Ledger], ...]:
    """Decisions that left the most, dearest first, with that ledger; those that left nothing
    are not among them. Ties go to the earlier snap."""
    priced = [(d, entry) for d in game.decisions if (entry := ledger_of(d, currency)) is not None]
    left = [pair for pair in priced if pair[1].left > 0]
    left.sort(key=lambda pair: -pair[1].left)
    return tuple(left[:most])
