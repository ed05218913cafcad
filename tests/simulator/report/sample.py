"""A synthetic priced game whose figures agree with one another.

No model prices it: values come from two plain invented curves. What the renderings rely on holds
exactly: the ledger identity on every snap, `left` as the expected best less the chosen, wins
that follow one another along the course, lines that run from start to end.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from pointsleft.pricing.result import (
    Assumption,
    BreakEven,
    CoursePoint,
    Currency,
    Decision,
    DecisiveJudgement,
    Interval,
    Ledger,
    Lines,
    OptionValue,
    OutcomeComparison,
    PricedGame,
    PricedOption,
    Spread,
    Total,
    UnpricedSnap,
    Verdict,
)

REFITS = 40
GAME = 3600
THIRDS = ("left", "middle", "right")
WINDOWS = ("loose", "step", "even", "narrow", "smothered")
ROUTES = {
    "flat": 1,
    "check-down": 3,
    "slant": 6,
    "stick": 6,
    "curl": 11,
    "out": 10,
    "dig": 14,
    "post": 22,
    "corner": 19,
    "go route": 34,
}
CONCEPTS = ("smash", "mesh", "four verticals", "stick", "speed option", "counter keep", "flood")
TEXTS = {
    "window-default": "window not logged: taken as even",
    "read-default": "chance in the read not logged: taken as 1 for the first three reads",
    "side-default": "third of the field not logged: taken as the middle",
    "clock-default": "running clock not logged: taken as running after a gain in bounds",
    "hit-default": "hit not logged: taken from the result",
}


@dataclass(frozen=True)
class _Spot:
    """A moment of the invented game, seen from us."""

    elapsed: int
    lead: int
    down: int
    distance: int
    to_goal: int

    @property
    def points(self) -> float:
        """Invented curve of expected points."""
        return 5.4 - 0.066 * self.to_goal - 0.32 * (self.down - 1) - 0.03 * self.distance

    @property
    def wins(self) -> float:
        """Invented curve of win probability."""
        width = 1.2 + 12 * math.sqrt(max(0.0, (GAME - self.elapsed) / GAME))
        return 1 / (1 + math.exp(-1.7 * (self.lead + self.points) / width))


def words(spot: _Spot) -> str:
    """A situation in words, as a stranger to the code would write it."""
    quarter, seconds = divmod(spot.elapsed, 900)
    minutes, second = divmod(900 - seconds, 60)
    ordinal = ("1st", "2nd", "3rd", "4th")[spot.down - 1]
    if spot.to_goal == 50:
        place = "50"
    else:
        place = f"own {100 - spot.to_goal}" if spot.to_goal > 50 else f"opp {spot.to_goal}"
    to_go = "goal" if spot.distance >= spot.to_goal else str(spot.distance)
    lead = "tied" if not spot.lead else f"{'up' if spot.lead > 0 else 'down'} {abs(spot.lead)}"
    return f"{ordinal} and {to_go} at {place}, Q{quarter + 1} {minutes}:{second:02d}, {lead}"


def spread(mean: float, width: float, rng: np.random.Generator, pairs: int = 18) -> Spread:
    """A lumpy law with exactly this mean, binned as the engine bins."""
    values = np.sort(rng.normal(0, width, pairs)) + np.linspace(-1.5, 1.5, pairs) * width
    weights = rng.dirichlet(np.full(pairs, 0.8))
    values = values - float(values @ weights) + mean
    below = np.cumsum(weights)
    p10, p50, p90 = (
        float(values[min(np.searchsorted(below, q), pairs - 1)]) for q in (0.1, 0.5, 0.9)
    )
    sd = float(math.sqrt(weights @ (values - mean) ** 2))
    return Spread(
        mean, sd, p10, p50, p90, tuple(map(float, values)), tuple(map(float, weights)), mean, 10_000
    )


def expected_best(values: Sequence[float], in_read: Sequence[float], chosen: int) -> float:
    """Expectation of the best value over independent availabilities; the chosen is always there."""
    chances = [1.0 if i == chosen else c for i, c in enumerate(in_read)]
    total, missing = 0.0, 1.0
    for i in sorted(range(len(values)), key=lambda i: -values[i]):
        total += missing * chances[i] * values[i]
        missing *= 1 - chances[i]
    return total


def make_ledger(
    ids: Sequence[str],
    values: Sequence[float],
    in_read: Sequence[float],
    chosen: int,
    before: float,
    after: float,
    scale: float,
    rng: np.random.Generator,
    kinds: Sequence[str],
) -> Ledger:
    """One ledger; ``scale`` is the size of a typical difference in this currency."""
    best = int(np.argmax(values))
    m = expected_best(values, in_read, chosen)
    left = m - values[chosen]
    executed = values[chosen] + float(rng.choice([0.0, rng.normal(0, 0.35)])) * scale
    refits = np.asarray(values) + rng.normal(0, 0.28 * scale, (REFITS, len(values)))
    first = np.bincount(refits.argmax(axis=1), minlength=len(values)) / REFITS
    share = float(first[best])
    verdict: Verdict = "firm" if share >= 0.9 else "slight" if share >= 0.7 else "unsettled"
    half = 0.45 * scale
    missed = [i for i in range(len(values)) if values[i] > values[chosen]]
    missed.sort(key=lambda i: -values[i])
    other = sorted(range(len(values)), key=lambda i: -values[i])[1]
    worse = float(rng.uniform(0.15, 0.45))
    return Ledger(
        best=ids[best],
        before=before,
        after=after,
        offered=m - before,
        left=left,
        delivered=executed - values[chosen],
        breaks=after - executed,
        if_certain=max(values) - values[chosen],
        flag=0.0,
        interval_model=Interval(left - half, left + 1.2 * half),
        interval_judgement=Interval(max(0.0, left - 0.6 * half), left + 0.7 * half),
        crossfit_left=left - 0.06 * scale,
        values=tuple(
            OptionValue(ids[i], values[i], Interval(values[i] - half, values[i] + half), float(f))
            for i, f in enumerate(first)
        ),
        outcome=OutcomeComparison(
            spread(values[chosen] - before, 1.1 * scale, rng),
            spread(values[best] - before, 1.9 * scale, rng),
            worse,
            worse / 2,
            min(1.0, worse * 1.7),
        ),
        break_even=tuple(
            BreakEven(
                ids[i],
                float(rng.uniform(0.2, 0.6)) if kinds[i] == "throw" else None,
                float(rng.uniform(0.3, 0.8)) if kinds[i] == "throw" else None,
                str(rng.choice(WINDOWS)) if kinds[i] == "throw" else None,
            )
            for i in missed
        ),
        verdict=verdict,
        settled_share=share,
        decisive=DecisiveJudgement(
            f"window of {ids[best]}", "step", "narrow", ids[other], float(rng.integers(1, 4))
        )
        if rng.uniform() < 0.8
        else None,
        blame={"offered": {"call": 1.0}, "left": {"quarterback": 1.0}},
    )


def make_options(
    rng: np.random.Generator, spot: _Spot, number: int, family: str
) -> list[dict[str, object]]:
    """Raw options: id, kind, air yards, third and so on."""
    if family == "option":
        shapes = [("give", "give", None, "middle"), ("keep", "keep", None, "right")]
        if number > 2:
            shapes.append(("pitch", "pitch", None, "right"))
    elif family == "fourth":
        shapes = [("go for it", "go", None, None), ("punt", "punt", None, None)]
        if spot.to_goal < 40:
            shapes.append(("field goal", "field-goal", None, None))
    else:
        names = list(rng.choice(list(ROUTES), size=min(number, 5), replace=False))
        shapes = [
            (
                str(n),
                "throw",
                min(ROUTES[str(n)], spot.to_goal + 8),
                None if rng.uniform() < 0.15 else str(rng.choice(THIRDS)),
            )
            for n in names
        ]
        if number > 5:
            shapes.append(("scramble", "scramble", None, "left"))
        if number > 6:
            shapes.append(("throw it away", "throw-away", None, "right"))
    return [{"id": i, "kind": k, "air_yards": a, "third": t} for i, k, a, t in shapes]


def make_decision(
    rng: np.random.Generator,
    snap: int,
    clip: str | None,
    spot: _Spot,
    after: _Spot,
    raw: list[dict[str, object]],
    *,
    wins: bool = True,
    points: bool = True,
    concept: str | None = None,
    note: str | None = None,
) -> Decision:
    """A decision between two moments of the game, priced both ways."""
    ids = [str(o["id"]) for o in raw]
    kinds = [str(o["kind"]) for o in raw]
    gaps = rng.normal(0.1, 0.75, len(raw))
    point_values = [float(spot.points + g) for g in gaps]
    win_values = [float(np.clip(spot.wins + 0.07 * g, 0.002, 0.998)) for g in gaps]
    in_read = [1.0 if i < 2 else float(rng.choice([1.0, 0.6, 0.4])) for i in range(len(raw))]
    order = np.argsort(-gaps)
    chosen = int(order[0] if rng.uniform() < 0.55 else order[min(1, len(raw) - 1)])
    assumed = [tuple(c for c in list(TEXTS)[:3] if rng.uniform() < 0.25) for _ in raw]
    options = tuple(
        PricedOption(
            id=ids[i],
            kind=kinds[i],
            label=f"{ids[i]}, {o['air_yards']} air yards, {o['third'] or 'side not logged'}"
            if kinds[i] == "throw"
            else ids[i],
            points=point_values[i] if points else None,
            wins=win_values[i] if wins else None,
            in_read=in_read[i],
            chance=float(rng.uniform(0.35, 0.85)) if kinds[i] == "throw" else None,
            on_time=float(rng.uniform(0.6, 0.98)) if kinds[i] == "throw" else None,
            sack=float(rng.uniform(0.01, 0.12)) if kinds[i] == "throw" else None,
            hit=float(rng.uniform(0.02, 0.4)),
            air_yards=o["air_yards"],  # type: ignore[arg-type]
            third=o["third"],  # type: ignore[arg-type]
            place=i + 1,
            window=str(rng.choice(WINDOWS)) if kinds[i] == "throw" else None,
            reaction=1,
            assumed=assumed[i],
        )
        for i, o in enumerate(raw)
    )
    own = ("clock-default",) if rng.uniform() < 0.3 else ()
    facts: dict[str, object] = {
        "down": spot.down,
        "distance": spot.distance,
        "yards_to_goal": spot.to_goal,
        "hash": str(rng.choice(["left", "middle", "right"])),
    }
    if wins:
        quarter, gone = divmod(spot.elapsed, 900)
        facts |= {"period": quarter + 1, "seconds": 900 - gone, "lead": spot.lead}
    gained = spot.to_goal - after.to_goal
    return Decision(
        snap=str(snap),
        clip=clip,
        situation=words(spot),
        facts=facts,
        chosen=ids[chosen],
        options=options,
        points=make_ledger(
            ids, point_values, in_read, chosen, spot.points, after.points, 1.0, rng, kinds
        )
        if points
        else None,
        wins=make_ledger(ids, win_values, in_read, chosen, spot.wins, after.wins, 0.075, rng, kinds)
        if wins
        else None,
        right_by_rule=bool(rng.uniform() < 0.7) if kinds[0] == "give" else None,
        rule_says="give" if kinds[0] == "give" else None,
        result=f"{ids[chosen]}, gain of {gained}" if gained > 0 else f"{ids[chosen]}, no gain",
        hit_taken=bool(rng.uniform() < 0.12),
        concept=concept,
        tags={
            "down": ("first", "second", "third", "fourth")[spot.down - 1],
            "field": "red zone"
            if spot.to_goal <= 20
            else "backed up"
            if spot.to_goal > 90
            else "open field",
        },
        assumptions=tuple(
            Assumption(code, ids[i], TEXTS[code])
            for i, codes in enumerate(assumed)
            for code in codes
        )
        + tuple(Assumption(code, "", TEXTS[code]) for code in own),
        note=note,
    )


def _next(rng: np.random.Generator, spot: _Spot) -> tuple[_Spot, _Spot]:
    """The moment after a snap, seen from us, and the next moment we have the ball."""
    gain = int(np.clip(rng.choice([0, 0, 3, 5, 8, 14, 25, -6]), -6, spot.to_goal))
    clock = spot.elapsed + int(rng.integers(8, 46))
    to_goal = min(99, spot.to_goal - gain)
    if to_goal <= 0:
        after = _Spot(clock, spot.lead + 7, 1, 10, 75)
        return after, _answer(rng, after)
    if gain >= spot.distance:
        after = _Spot(clock, spot.lead, 1, min(10, to_goal), to_goal)
        return after, after
    if spot.down == 4:
        after = _Spot(clock, spot.lead, 1, 10, 80)
        return after, _answer(rng, after)
    after = _Spot(clock, spot.lead, spot.down + 1, min(spot.distance - gain, to_goal), to_goal)
    return after, after


def _answer(rng: np.random.Generator, spot: _Spot) -> _Spot:
    """The other side's drive."""
    scored = int(rng.choice([0, 0, 3, 7]))
    return _Spot(
        spot.elapsed + int(rng.integers(90, 330)),
        spot.lead - scored,
        1,
        10,
        int(rng.integers(55, 98)),
    )


def _total(group: str, found: list[Decision], currency: Currency) -> Total:
    ledgers = [entry for d in found if (entry := getattr(d, currency)) is not None]
    taken = available = 0.0
    best = 0
    for d in found:
        entry = getattr(d, currency)
        if entry is None:
            continue
        values = {v.id: v.value for v in entry.values}
        above = values[d.chosen] - min(values.values())
        taken += above
        available += above + entry.left
        best += d.chosen == entry.best
    return Total(
        group,
        len(ledgers),
        sum(entry.offered for entry in ledgers),
        sum(entry.left for entry in ledgers),
        sum(entry.delivered for entry in ledgers),
        sum(entry.breaks for entry in ledgers),
        sum(entry.crossfit_left for entry in ledgers),
        taken / available if available else None,
        best,
    )


def make_game(
    seed: int = 1,
    decisions: int = 36,
    *,
    wins: bool = True,
    points: bool = True,
    note: str | None = None,
    title: str = "Week 3: Saltmarsh at Ironvale",
    quarterback: str = "Osric Pendleby",
) -> PricedGame:
    """A whole synthetic game with about this many decisions.

    ``note`` is put on every fifth decision; ``wins`` or ``points`` off leave that ledger out, as
    for a log without clock or score, or for overtime.
    """
    rng = np.random.default_rng(seed)
    spot = _Spot(0, 0, 1, 10, 75)
    found: list[Decision] = []
    unpriced: list[UnpricedSnap] = []
    course: list[CoursePoint] = []
    change: dict[Currency, dict[str, float]] = {
        "points": {"priced": 0.0, "unpriced": 0.0, "between": 0.0},
        "wins": {"priced": 0.0, "unpriced": 0.0, "between": 0.0},
    }
    start = spot
    snap = 0
    while len(found) < decisions and spot.elapsed < GAME - 60:
        snap += 1
        after, following = _next(rng, spot)
        clip = f"{snap // 30}:{(snap * 2) % 60:02d}:{(snap * 37) % 60:02d}"
        priced = rng.uniform() < 0.6 or GAME - spot.elapsed < 200
        if priced:
            family = "fourth" if spot.down == 4 else rng.choice(["pass", "pass", "pass", "option"])
            raw = make_options(rng, spot, int(rng.integers(2, 8)), str(family))
            concept = None if family == "fourth" else str(rng.choice(CONCEPTS))
            decision = make_decision(
                rng, snap, clip, spot, after, raw,
                wins=wins, points=points, concept=concept,
                note=note if note and len(found) % 5 == 0 else None,
            )  # fmt: skip
            found.append(decision)
        else:
            unpriced.append(
                UnpricedSnap(
                    str(snap),
                    clip,
                    words(spot),
                    "hand-off, blocked as drawn",
                    spot.points if points else None,
                    after.points if points else None,
                    spot.wins if wins else None,
                    after.wins if wins else None,
                    "a plain hand-off holds no decision of the quarterback",
                )
            )
        for currency in ("points", "wins"):
            line = change[currency]  # type: ignore[index]
            step = getattr(after, currency) - getattr(spot, currency)
            line["priced" if priced else "unpriced"] += step
            line["between"] += getattr(following, currency) - getattr(after, currency)
        if wins:
            left = found[-1].wins.left if priced and found[-1].wins else None
            course.append(CoursePoint(str(snap), clip, spot.elapsed, spot.wins, left))
        spot = following
    kept: dict[Currency, bool] = {"points": points, "wins": wins}
    lines: dict[Currency, Lines | None] = {
        c: Lines(getattr(start, c), **change[c], end=getattr(spot, c)) if kept[c] else None
        for c in kept
    }
    totals: dict[Currency, dict[str, tuple[Total, ...]]] = {}
    total_left: dict[Currency, dict[str, float]] = {}
    for c in kept:
        if not kept[c]:
            continue
        totals[c] = {}
        for dimension in ("down", "field", "concept"):
            groups: dict[str, list[Decision]] = {}
            for d in found:
                name = d.concept or "none named" if dimension == "concept" else d.tags[dimension]
                groups.setdefault(name, []).append(d)
            totals[c][dimension] = tuple(_total(n, g, c) for n, g in groups.items())
        value = sum(e.crossfit_left for d in found if (e := getattr(d, c)) is not None)
        total_left[c] = {"low": 0.7 * value, "value": value, "high": 1.25 * value}
    used: dict[str, int] = {}
    for d in found:
        for assumption in d.assumptions:
            used[assumption.code] = used.get(assumption.code, 0) + 1
    everything = {c: _total("all", found, c) for c in kept if kept[c]}
    main: Currency = "wins" if wins else "points"
    verdicts = [getattr(d, main).verdict for d in found]
    options = {(d.snap, o.id): o for d in found for o in d.options}
    return PricedGame(
        title=title,
        us="Saltmarsh Herons",
        them="Ironvale Tinkers",
        quarterback=quarterback,
        level="professional",
        rules="professional 2025",
        charter="QX",
        headline={
            f"{c}_{name}": value
            for c in kept
            for name, value in (
                ("left", everything[c].left if kept[c] else None),
                ("taken", everything[c].taken if kept[c] else None),
            )
        },
        counts={
            "snaps": snap,
            "decisions": len(found),
            "unpriced": len(unpriced),
            "firm": verdicts.count("firm"),
            "slight": verdicts.count("slight"),
            "unsettled": verdicts.count("unsettled"),
        },
        lines=lines,
        totals=totals,
        total_left=total_left,
        course=tuple(course),
        decisions=tuple(found),
        unpriced=tuple(unpriced),
        assumptions=used,
        assumption_texts={code: TEXTS[code] for code in used},
        hits={
            "chosen": sum(options[d.snap, d.chosen].hit for d in found),
            "best": sum(options[d.snap, getattr(d, main).best].hit for d in found),
            "taken": float(sum(d.hit_taken is True for d in found)),
        },
        models=(
            {"name": "expected points", "version": "0.1.0", "hash": "4be1c09a77d2"},
            {"name": "win probability", "version": "0.1.0", "hash": "90d1f7a2c655"},
            {"name": "passes", "version": "0.1.0", "hash": "c3d94e10b8fa"},
        ),
        seed=seed,
        draws=10_000,
        refits=REFITS,
        warnings=(),
    )
