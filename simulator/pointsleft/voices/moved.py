"""The snaps on which it matters most who charted: each priced both ways."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pointsleft.log.record import LoggedGame, Snap
from pointsleft.log.words import describe_situation
from pointsleft.pricing.result import Currency, Decision, PricedGame
from pointsleft.voices.match import Matched
from pointsleft.voices.options import chosen_of, same_options

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Reading:
    """One charter's reading of a snap, priced."""

    snap: str
    chosen: str
    best: str
    left: float
    verdict: str
    settled_share: float


@dataclass(frozen=True, slots=True)
class MovedSnap:
    """A snap priced both ways.

    Attributes
    ----------
    moves
        ``left`` of the second reading less that of the first.
    turned
        The best option is another one.
    differences
        What the two say differently, in words.
    """

    situation: str
    clip: str | None
    first: Reading
    second: Reading
    moves: float
    turned: bool
    differences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BothWays:
    """All matched decisions priced both ways, in one currency.

    Attributes
    ----------
    snaps
        The most moved first.
    left_first, left_second
        Totals over the snaps that both make a decision.
    difference
        Second less first: low, value, high (90%, from snaps drawn again).
    decisions
        How many snaps both price.
    only_first, only_second
        Matched snaps that only one of the two prices.
    same_verdict
        Snaps on which best option and verdict word are the same.
    """

    currency: Currency
    snaps: tuple[MovedSnap, ...]
    left_first: float
    left_second: float
    difference: tuple[float, float, float]
    decisions: int
    only_first: int
    only_second: int
    same_verdict: int


def both_ways(
    games: tuple[LoggedGame, LoggedGame],
    priced: tuple[PricedGame, PricedGame],
    matched: Matched,
    currency: Currency,
    draws: int,
    rng: np.random.Generator,
) -> BothWays:
    """Hold the prices of two logs of one game against each other, snap by snap."""
    by_snap = [{d.snap: d for d in p.decisions} for p in priced]
    found: list[MovedSnap] = []
    alone = [0, 0]
    for i, j in matched.pairs:
        snaps = games[0].snaps[i], games[1].snaps[j]
        pair = [d.get(s.number) for d, s in zip(by_snap, snaps, strict=True)]
        one, two = pair
        if one is None or two is None:
            alone[0] += one is not None
            alone[1] += two is not None
            continue
        readings = _reading(one, currency), _reading(two, currency)
        if readings[0] is None or readings[1] is None:
            continue
        found.append(_moved(snaps, readings[0], readings[1]))
    moves = np.array([s.moves for s in found])
    low, high = _interval(moves, draws, rng)
    return BothWays(
        currency,
        tuple(sorted(found, key=lambda s: -abs(s.moves))),
        sum(s.first.left for s in found),
        sum(s.second.left for s in found),
        (low, float(moves.sum()), high),
        len(found),
        alone[0],
        alone[1],
        sum(not s.turned and s.first.verdict == s.second.verdict for s in found),
    )


def _interval(moves: Array, draws: int, rng: np.random.Generator) -> tuple[float, float]:
    total = float(moves.sum())
    if len(moves) < 2 or not draws:
        return total, total
    again = rng.choice(moves, (draws, len(moves))).sum(1)
    low, high = np.quantile(again, [0.05, 0.95])
    return float(low), float(high)


def _reading(decision: Decision, currency: Currency) -> Reading | None:
    entry = decision.points if currency == "points" else decision.wins
    if entry is None:
        return None
    return Reading(
        decision.snap, decision.chosen, entry.best, entry.left, entry.verdict, entry.settled_share
    )


def _moved(snaps: tuple[Snap, Snap], one: Reading, two: Reading) -> MovedSnap:
    a, b = snaps
    both = {(a.options[i].id, b.options[j].id) for i, j in same_options(a.options, b.options)}
    situation = a.situation or b.situation
    return MovedSnap(
        "" if situation is None else describe_situation(situation),
        a.clip or b.clip,
        one,
        two,
        two.left - one.left,
        (one.best, two.best) not in both,
        differences(a, b),
    )


def differences(one: Snap, two: Snap) -> tuple[str, ...]:
    """What two charters say differently about the decision of one snap, first / second."""
    out = []
    pairs = same_options(one.options, two.options)
    for i, j in pairs:
        a, b = one.options[i], two.options[j]
        for name, word in (
            ("window", "window"), ("drop", "drop"), ("hitches", "hitches"),
            ("air_yards", "air yards"), ("third", "third"), ("gap", "gap"),
        ):  # fmt: skip
            said = getattr(a, name), getattr(b, name)
            if said[0] != said[1]:
                out.append(f"{word} of {a.id}: {_say(said[0])} / {_say(said[1])}")
    seen = {i for i, _ in pairs}, {j for _, j in pairs}
    out += [
        f"{o.id}: only the first lists it" for i, o in enumerate(one.options) if i not in seen[0]
    ]
    out += [
        f"{o.id}: only the second lists it" for j, o in enumerate(two.options) if j not in seen[1]
    ]
    picks = chosen_of(one), chosen_of(two)
    if None not in picks and picks not in pairs:
        out.append(f"chosen: {one.happened.chosen} / {two.happened.chosen}")
    for part, names in (
        ("defense", ("shell_after", "rushers", "free_rusher", "free_why", "box")),
        ("happened", ("placement", "timing", "result", "yards")),
    ):
        for name in names:
            said = getattr(getattr(one, part), name), getattr(getattr(two, part), name)
            if said[0] != said[1]:
                out.append(f"{name.replace('_', ' ')}: {_say(said[0])} / {_say(said[1])}")
    return tuple(out)


def _say(value: object) -> str:
    if value is None:
        return "not said"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
