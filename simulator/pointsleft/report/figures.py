"""Figures that several renderings share, worked out from a priced game.

Nothing is priced here: these are choices of what to show first, counts, and sums.
"""

from __future__ import annotations

from collections import Counter

from pointsleft.game.dearest import dearest as dearest
from pointsleft.game.dearest import ledger_of
from pointsleft.game.dearest import main_currency as main_currency
from pointsleft.pricing.result import (
    Currency,
    Decision,
    PricedGame,
    PricedOption,
    Verdict,
)

VERDICTS: tuple[Verdict, ...] = ("firm", "slight", "unsettled")


def currency_of(decision: Decision, preferred: Currency) -> Currency | None:
    """The preferred currency where this decision has it, else the other one."""
    other: Currency = "points" if preferred == "wins" else "wins"
    for currency in (preferred, other):
        if ledger_of(decision, currency) is not None:
            return currency
    return None


def verdict_counts(game: PricedGame, currency: Currency) -> dict[Verdict, int]:
    """How many decisions carry each verdict."""
    found = Counter(
        entry.verdict for d in game.decisions if (entry := ledger_of(d, currency)) is not None
    )
    return {verdict: found[verdict] for verdict in VERDICTS}


def left_by_verdict(game: PricedGame, currency: Currency) -> dict[Verdict, float]:
    """How much was left under each verdict."""
    sums: dict[Verdict, float] = dict.fromkeys(VERDICTS, 0.0)
    for decision in game.decisions:
        entry = ledger_of(decision, currency)
        if entry is not None:
            sums[entry.verdict] += entry.left
    return sums


def best_taken(game: PricedGame, currency: Currency) -> tuple[int, int]:
    """How many decisions took the best option, and how many have that ledger."""
    ledgers = [(d, ledger_of(d, currency)) for d in game.decisions]
    known = [(d, entry) for d, entry in ledgers if entry is not None]
    return sum(d.chosen == entry.best for d, entry in known), len(known)


def taken_share(game: PricedGame, currency: Currency) -> float | None:
    """Share of the available value taken, 0 to 1: over decisions, the value of the choice above
    the worst option listed, divided by that of the best expected; ``None`` if nothing was
    available to take."""
    said = game.headline.get(f"{currency}_taken")
    if said is not None:
        return float(said)
    taken = available = 0.0
    for decision in game.decisions:
        entry = ledger_of(decision, currency)
        if entry is None:
            continue
        values = {v.id: v.value for v in entry.values}
        above = values[decision.chosen] - min(values.values())
        taken += above
        available += above + entry.left
    return taken / available if available > 0 else None


def option(decision: Decision, identity: str) -> PricedOption:
    """An option of a decision by its id.

    Raises
    ------
    KeyError
        When the decision has no such option; the message lists those it has.
    """
    for candidate in decision.options:
        if candidate.id == identity:
            return candidate
    there = ", ".join(o.id for o in decision.options)
    raise KeyError(f"snap {decision.snap} has no option {identity!r}; it has {there}")


def worth(choice: PricedOption, currency: Currency) -> float | None:
    """Value of an option in a currency, ``None`` where it is not defined."""
    return choice.wins if currency == "wins" else choice.points


def hits(game: PricedGame, currency: Currency) -> tuple[float, float, float]:
    """Hits asked for by the choices, by the best options, and hits taken."""
    said = game.hits
    if {"chosen", "best", "taken"} <= set(said):
        return said["chosen"], said["best"], said["taken"]
    chosen = sum(option(d, d.chosen).hit for d in game.decisions)
    best = sum(
        option(d, entry.best).hit
        for d in game.decisions
        if (entry := ledger_of(d, currency)) is not None
    )
    return chosen, best, float(sum(d.hit_taken is True for d in game.decisions))


def concept_runs(game: PricedGame) -> dict[str, tuple[Decision, ...]]:
    """Decisions of each concept called more than once, in the order of the game."""
    runs: dict[str, list[Decision]] = {}
    for decision in game.decisions:
        if decision.concept:
            runs.setdefault(decision.concept, []).append(decision)
    often = sorted(runs.items(), key=lambda item: (-len(item[1]), item[0]))
    return {name: tuple(found) for name, found in often if len(found) > 1}


def marks(codes: tuple[str, ...]) -> dict[str, str]:
    """A short mark (a, b, ... z, aa, ab ...) for each assumption code, in the order given."""
    letters = "abcdefghijklmnopqrstuvwxyz"
    short: dict[str, str] = {}
    for index, code in enumerate(codes):
        high, low = divmod(index, len(letters))
        short[code] = (letters[high - 1] if high else "") + letters[low]
    return short


def assumption_order(game: PricedGame) -> tuple[str, ...]:
    """Assumption codes, most used first."""
    return tuple(sorted(game.assumptions, key=lambda code: (-game.assumptions[code], code)))
