"""One decision as the page shows it: words and figures, ready for the templates."""

from __future__ import annotations

from dataclasses import dataclass

from pointsleft.pricing.result import Currency, Decision, Interval, Ledger, PricedGame, PricedOption
from pointsleft.report import figures, sentences
from pointsleft.report.drawing.placing import Role, role_of
from pointsleft.report.numbers import NAME, UNIT, bare, decimal, percent
from pointsleft.report.played_out_view import PlayedView, played_view

ENTRIES = ("offered", "left", "delivered", "breaks")

#: What is said of an option of the second reaction.
AFTER = "after the play broke down"


@dataclass(frozen=True, slots=True)
class OptionRow:
    """One option in the table of an entry."""

    name: str
    role: Role
    detail: str
    values: tuple[str, ...]  # in the currencies of the table, without units
    first: str  # share of refits that put it first
    in_read: str
    chance: str
    on_time: str
    sack: str
    hit: str
    marks: str


@dataclass(frozen=True, slots=True)
class LedgerRow:
    """The ledger of one currency as figures without units."""

    unit: str
    before: str
    offered: str
    left: str
    delivered: str
    breaks: str
    after: str
    by_models: str
    by_judgements: str


@dataclass(frozen=True, slots=True)
class Judged:
    """Verdict and what belongs to it, in one currency."""

    currency: str
    word: str
    share: str
    decisive: str
    ranges: str
    break_even: tuple[str, ...]
    certainty: str | None
    flag: str | None


@dataclass(frozen=True, slots=True)
class EntryView:
    """What a full or a short entry shows of a decision."""

    anchor: str
    snap: str
    clip: str | None
    situation: str
    choice: str
    lost: str
    ended: str
    verdict: str
    units: tuple[str, ...]
    options: tuple[OptionRow, ...]
    ledgers: tuple[LedgerRow, ...]
    judged: tuple[Judged, ...]
    rule: str | None
    blame: str | None
    marks: str
    note: str | None
    concept: str | None
    hit: str | None
    played: PlayedView | None


def _detail(option: PricedOption) -> str:
    """The option's own words without its name in front, and what was not logged."""
    label = option.label.removeprefix(option.id).lstrip(" ,")
    words = [label] if label else []
    if option.reaction > 1 and AFTER not in label:
        words.append(AFTER)
    return ", ".join(words)


def _option_rows(
    decision: Decision, entry: Ledger, currencies: tuple[Currency, ...], marks: dict[str, str]
) -> tuple[OptionRow, ...]:
    first = {v.id: v.share_best for v in entry.values}
    order = {v.id: -v.value for v in entry.values}

    def share(value: float | None) -> str:
        return "" if value is None else percent(value)

    def value(option: PricedOption, currency: Currency) -> str:
        found = figures.worth(option, currency)
        return "" if found is None else bare(found, currency)

    return tuple(
        OptionRow(
            name=o.id,
            role=role_of(o.id, decision.chosen, entry.best),
            detail=_detail(o),
            values=tuple(value(o, c) for c in currencies),
            first=share(first.get(o.id)),
            in_read=percent(o.in_read),
            chance=share(o.chance),
            on_time=share(o.on_time),
            sack=share(o.sack),
            hit=decimal(o.hit, 2),
            marks=" ".join(marks[code] for code in o.assumed if code in marks),
        )
        for o in sorted(decision.options, key=lambda o: order.get(o.id, 0.0))
    )


def _span(found: Interval, currency: Currency) -> str:
    return f"{bare(found.low, currency)} to {bare(found.high, currency)}"


def _ledger_row(entry: Ledger, currency: Currency) -> LedgerRow:
    return LedgerRow(
        unit=UNIT[currency],
        before=bare(entry.before, currency),
        offered=bare(entry.offered, currency, plus=True),
        left=bare(-entry.left, currency, plus=True),
        delivered=bare(entry.delivered, currency, plus=True),
        breaks=bare(entry.breaks, currency, plus=True),
        after=bare(entry.after, currency),
        by_models=_span(entry.interval_model, currency),
        by_judgements=_span(entry.interval_judgement, currency),
    )


def _judged(game: PricedGame, decision: Decision, entry: Ledger, currency: Currency) -> Judged:
    return Judged(
        currency=NAME[currency],
        word=entry.verdict,
        share=sentences.verdict(entry, game.refits),
        decisive=sentences.decisive(entry.decisive),
        ranges=sentences.ranges(entry, currency),
        break_even=tuple(
            words
            for tie in entry.break_even
            if (words := sentences.break_even(decision, tie, currency)) is not None
        ),
        certainty=sentences.certainty(entry, currency),
        flag=sentences.flag(entry, currency),
    )


def _blame(entry: Ledger) -> str | None:
    parts = []
    for name in ENTRIES:
        shares = [(p, s) for p, s in (entry.blame.get(name) or {}).items() if s > 0]
        if not shares:
            continue
        whom = " and ".join(
            party if share >= 1 else f"{party} {percent(share)}" for party, share in shares
        )
        parts.append(f"{name} to {whom}")
    return f"Shares of blame and credit: {'; '.join(parts)}." if parts else None


def entry_view(
    game: PricedGame, decision: Decision, anchor: str, main: Currency, marks: dict[str, str]
) -> EntryView | None:
    """The words and figures of a decision, ``None`` where it has no ledger at all."""
    first = figures.currency_of(decision, main)
    if first is None:
        return None
    known = {
        c: entry
        for c in sentences.CURRENCIES
        if (entry := figures.ledger_of(decision, c)) is not None
    }
    entry = known[first]
    # Judgements that say the same in both currencies are said once.
    judged = [_judged(game, decision, known[first], first)]
    for currency, other in known.items():
        if currency != first and (other.best, other.verdict) != (entry.best, entry.verdict):
            judged.append(_judged(game, decision, other, currency))
    own = {a.code for a in decision.assumptions if not a.subject}
    return EntryView(
        anchor=anchor,
        snap=decision.snap,
        clip=decision.clip,
        situation=decision.situation,
        choice=sentences.chosen_and_best(decision),
        lost=sentences.lost(decision),
        ended=decision.result,
        verdict=entry.verdict,
        units=tuple(UNIT[c] for c in known),
        options=_option_rows(decision, entry, tuple(known), marks),
        ledgers=tuple(_ledger_row(e, c) for c, e in known.items()),
        judged=tuple(judged),
        rule=sentences.rule(decision),
        blame=_blame(entry),
        marks=" ".join(mark for code, mark in marks.items() if code in own),
        note=decision.note,
        concept=decision.concept,
        hit={True: "a hit was taken", False: None, None: None}[decision.hit_taken],
        played=played_view(decision.played_out),
    )
