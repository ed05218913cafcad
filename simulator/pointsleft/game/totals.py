"""Totals over the decisions of a game, and its headline."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from pointsleft.game.dearest import ledger_of
from pointsleft.pricing.result import CURRENCIES, Currency, Decision, Ledger, Total
from pointsleft.pricing.settings import HIGH, LOW

#: Dimensions by which totals are given, in order.
DIMENSIONS = (
    "all", "concept", "play family", "down", "field", "half", "clock", "shell", "rush",
)  # fmt: skip


def totals_of(decisions: Iterable[Decision], currency: Currency) -> Mapping[str, tuple[Total, ...]]:
    """Dimension -> totals of its groups, in order of first appearance."""
    rows = [(d, led) for d in decisions if (led := ledger_of(d, currency)) is not None]
    out: dict[str, tuple[Total, ...]] = {}
    for dimension in DIMENSIONS:
        groups: dict[str, list[tuple[Decision, Ledger]]] = {}
        for decision, led in rows:
            group = "all decisions" if dimension == "all" else decision.tags.get(dimension)
            if group is not None:
                groups.setdefault(group, []).append((decision, led))
        if groups:
            out[dimension] = tuple(_total(name, members) for name, members in groups.items())
    return out


def _total(name: str, members: list[tuple[Decision, Ledger]]) -> Total:
    ledgers = [led for _, led in members]
    return Total(
        group=name,
        decisions=len(members),
        offered=sum(led.offered for led in ledgers),
        left=sum(led.left for led in ledgers),
        delivered=sum(led.delivered for led in ledgers),
        breaks=sum(led.breaks for led in ledgers),
        crossfit_left=sum(led.crossfit_left for led in ledgers),
        taken=share_taken(members),
        best_taken=sum(d.chosen == led.best for d, led in members),
    )


def share_taken(members: Iterable[tuple[Decision, Ledger]]) -> float | None:
    """Share of the available value taken.

    Sum of V(chosen) - V(floor) over sum of M - V(floor), the floor being the worst listed option
    of each snap; ``None`` where nothing was to be had.
    """
    got = could = 0.0
    for decision, led in members:
        by_id = {v.id: v.value for v in led.values}
        floor = min(by_id.values())
        chosen = by_id[decision.chosen]
        got += chosen - floor
        could += chosen + led.left - floor
    return got / could if could > 1e-12 else None


def total_left(decisions: Iterable[Decision], currency: Currency) -> Mapping[str, float]:
    """Left over the game: cross-fitted total, and its 90% interval.

    The refits are the same for every decision, so the total is taken refit by refit and nothing
    is assumed of how far the errors of two decisions move together.
    """
    ledgers = [led for d in decisions if (led := ledger_of(d, currency)) is not None]
    value = sum(led.crossfit_left for led in ledgers)
    plain = sum(led.left for led in ledgers)
    off = [np.array(led.left_by_refit) - led.left for led in ledgers if led.left_by_refit]
    low, high = np.quantile(np.sum(off, axis=0), [LOW, HIGH]) if off else (0.0, 0.0)
    return {
        "value": value, "plain": plain, "low": value + float(low), "high": value + float(high)
    }  # fmt: skip


def headline(decisions: list[Decision]) -> Mapping[str, float | int | None]:
    """Headline figures of a game."""
    out: dict[str, float | int | None] = {"decisions": len(decisions)}
    for currency in CURRENCIES:
        rows = [(d, led) for d in decisions if (led := ledger_of(d, currency)) is not None]
        total = total_left(decisions, currency)
        out[f"{currency}_left"] = total["value"] if rows else None
        out[f"{currency}_left_plain"] = total["plain"] if rows else None
        out[f"{currency}_taken"] = share_taken(rows)
        out[f"{currency}_per_decision"] = total["value"] / len(rows) if rows else None
    return out


def hits_of(decisions: list[Decision]) -> Mapping[str, float]:
    """Hits asked for by the choices and by the best options, and hits taken."""
    chosen = best = 0.0
    for decision in decisions:
        by_id = {o.id: o.hit for o in decision.options}
        led = decision.wins or decision.points
        chosen += by_id[decision.chosen]
        best += by_id[led.best] if led is not None else by_id[decision.chosen]
    taken = sum(bool(d.hit_taken) for d in decisions)
    return {"chosen": chosen, "best": best, "taken": float(taken)}
