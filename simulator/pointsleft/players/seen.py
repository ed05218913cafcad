"""What the ranking keeps of a priced game: one small record a decision, nothing else.

A priced game holds all that a report shows; a season of them is large. What is kept here is
enough for every figure of the ranking, so a season log is read in an instant, and no figure is
worked out in two ways.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pointsleft.log.record import BLAME_PARTIES
from pointsleft.players.groups import groups_of
from pointsleft.pricing.result import CURRENCIES, Currency, Decision, Ledger, PricedGame

#: The four entries of the ledger, in order.
ENTRIES = ("offered", "left", "delivered", "breaks")


@dataclass(frozen=True, slots=True)
class Money:
    """One decision in one currency.

    Attributes
    ----------
    offered, left, delivered, breaks
        The ledger.
    crossfit
        ``left`` with choosing and valuing of the best option kept apart: what totals are made of.
    available, stake
        What was at stake: value of the best less that of the worst listed option, and what a
        choice made blindly among the options would have left. The stake does not depend on what
        was chosen.
    certain, without
        ``left``, were every option surely in the read; and were none of the doubtful ones.
    judged_low, judged_high
        90% range of ``left`` over the charter's judgements.
    hangs_on
        The judgement that turns the verdict over most easily, or ``None``.
    best, took_best
        The best option, and whether it was the one chosen.
    settled
        Share of the refits that put the best option first.
    blame
        Entry -> party -> share.
    refits
        ``left`` under each refit, less ``left``.
    groups
        Where the best option lay (``depth`` and ``side``), where it was a throw.
    """

    offered: float
    left: float
    delivered: float
    breaks: float
    crossfit: float
    available: float
    stake: float
    certain: float
    without: float
    judged_low: float
    judged_high: float
    hangs_on: str | None
    best: str
    took_best: bool
    settled: float
    blame: Mapping[str, Mapping[str, float]]
    refits: tuple[float, ...]
    groups: Mapping[str, str]


#: Kinds of option that the sideline chooses among.
CALLS = frozenset({"punt", "field-goal", "go"})


@dataclass(frozen=True, slots=True)
class SeenDecision:
    """One decision: where it is on film, its groups, and its two ledgers.

    ``of_call`` marks a choice between kicking and going for it: the sideline makes it, so it is
    kept and not counted as the quarterback's.
    """

    snap: str
    clip: str | None
    situation: str
    chosen: str
    result: str
    place: tuple[int, int, int, int]  # period, down, distance, yards to goal
    groups: Mapping[str, str]
    of_call: bool
    points: Money | None
    wins: Money | None

    def money(self, currency: Currency) -> Money | None:
        """The ledger in one currency, ``None`` where it is not defined."""
        return self.points if currency == "points" else self.wins


@dataclass(frozen=True, slots=True)
class SeenGame:
    """One logged and priced game, from the view of the ranking."""

    source: str  # name of the log
    title: str
    player: str
    us: str
    them: str
    level: str
    rules: str
    charter: str | None
    refits: int
    warnings: tuple[str, ...]
    decisions: tuple[SeenDecision, ...]

    @property
    def his(self) -> tuple[SeenDecision, ...]:
        """The decisions that were the quarterback's to make."""
        return tuple(d for d in self.decisions if not d.of_call)


def seen_game(priced: PricedGame, source: str) -> SeenGame:
    """The record of a priced game.

    Parameters
    ----------
    source
        Name of the log it was priced from, as the reader knows it.
    """
    return SeenGame(
        source=source,
        title=priced.title,
        player=priced.quarterback,
        us=priced.us,
        them=priced.them,
        level=priced.level,
        rules=priced.rules,
        charter=priced.charter,
        refits=priced.refits,
        warnings=tuple(priced.warnings),
        decisions=tuple(_decision(d) for d in priced.decisions),
    )


def _decision(found: Decision) -> SeenDecision:
    facts = {k: v for k, v in found.facts.items() if isinstance(v, int)}
    period, down, distance, to_goal = (
        facts.get(k, 0) for k in ("period", "down", "distance", "yards_to_goal")
    )
    money = {
        currency: _money(found, currency, entry)
        for currency in CURRENCIES
        if (entry := found.points if currency == "points" else found.wins) is not None
    }
    return SeenDecision(
        snap=found.snap,
        clip=found.clip,
        situation=found.situation,
        chosen=found.chosen,
        result=found.result,
        place=(period, down, distance, to_goal),
        groups=groups_of(found),
        of_call=all(o.kind in CALLS for o in found.options),
        points=money.get("points"),
        wins=money.get("wins"),
    )


def _money(found: Decision, currency: Currency, entry: Ledger) -> Money:
    values = {v.id: v.value for v in entry.values}
    chosen, floor = values[found.chosen], min(values.values())
    in_read = {o.id: o.in_read for o in found.options}
    surely = [v for i, v in values.items() if in_read[i] >= 1 or i == found.chosen]
    possible = [v for i, v in values.items() if in_read[i] > 0 or i == found.chosen]
    best = next(o for o in found.options if o.id == entry.best)
    return Money(
        offered=entry.offered,
        left=entry.left,
        delivered=entry.delivered,
        breaks=entry.breaks,
        crossfit=entry.crossfit_left,
        available=chosen + entry.left - floor,
        stake=max(values.values()) - sum(values.values()) / len(values),
        certain=max(possible) - chosen,
        without=max(surely) - chosen,
        judged_low=entry.interval_judgement.low,
        judged_high=entry.interval_judgement.high,
        hangs_on=None if entry.decisive is None else entry.decisive.subject,
        best=entry.best,
        took_best=entry.best == found.chosen,
        settled=entry.settled_share,
        blame={
            name: {
                party: float(entry.blame.get(name, {}).get(party, 0.0)) for party in BLAME_PARTIES
            }
            for name in ENTRIES
        },
        refits=tuple(x - entry.left for x in entry.left_by_refit),
        groups=_where(best.kind, best.air_yards, best.third),
    )


def _shares(said: Mapping[str, float]) -> dict[str, float]:
    return {party: float(said.get(party, 0.0)) for party in BLAME_PARTIES}


def _where(kind: str, air_yards: int | None, third: str | None) -> Mapping[str, str]:
    if kind != "throw":
        return {"depth": "no throw"}
    groups = {} if third is None else {"side": third}
    if air_yards is not None:
        groups["depth"] = (
            "behind the line" if air_yards < 0
            else "0 to 9 yards" if air_yards < 10
            else "10 to 19 yards" if air_yards < 20
            else "20 yards and more"
        )  # fmt: skip
    return groups


def charged(money: Money, entry: str) -> float:
    """What of an entry is his.

    ``left``: the quarterback's share (all of it unless the log says otherwise), from the
    cross-fitted figure. ``delivered``: all that the log does not give to somebody else.
    ``offered`` and ``breaks`` are not his; they are counted whole, as what he was given.
    """
    shares = money.blame.get(entry, {})
    if entry == "left":
        return money.crossfit * shares.get("quarterback", 0.0)
    if entry == "delivered":
        others = sum(v for party, v in shares.items() if party != "quarterback")
        return money.delivered * (1 - others)
    return money.offered if entry == "offered" else money.breaks
