"""Random snaps for the tests of pricing: every kind of option, every kind of result."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from hypothesis import strategies as st
from pointsleft.log.record import (
    BLAME_PARTIES,
    OPTION_KINDS,
    PLACEMENTS,
    RESULTS,
    SECURITIES,
    TIMINGS,
    UNSEEN,
    WINDOWS,
    Call,
    Defense,
    Flag,
    Happened,
    LoggedOption,
    Range,
    Read,
    Snap,
)
from pointsleft.pricing.depths import SHELLS, USUAL
from pointsleft.pricing.result import Decision
from pointsleft.pricing.settings import PriceSettings
from pointsleft.pricing.snap import price_snap
from pointsleft_models.bundle import Worth
from pointsleft_models.football.rules import rule_set
from pointsleft_models.football.situation import Situation

RULES = rule_set("professional", 2019)

FAMILIES = ("drop-back", "quick", "play-action", "rpo", "option", "qb-run")

#: Nothing drawn and no refits: what is left is exact.
EXACT = PriceSettings(draws=0, judgement_draws=10, refits=False)

#: Refits too.
WITH_REFITS = PriceSettings(draws=0, judgement_draws=10)


def situation(**changes: Any) -> Situation:
    """An unhurried second and seven at the own 40."""
    plain: dict[str, Any] = {
        "period": 2, "seconds": 600, "down": 2, "distance": 7, "yards_to_goal": 60, "lead": -3,
        "rules": RULES,
    }  # fmt: skip
    return Situation(**(plain | changes))


def throw(name: str, **more: Any) -> LoggedOption:
    return LoggedOption(name, "throw", **more)


POST = throw("post", route="post", air_yards=24, third="middle", window="step", place=1)
DIG = throw("dig", route="dig", air_yards=14, third="middle", window="even", place=2)
FLAT = throw("flat", route="flat", air_yards=1, third="right", window="loose", place=3)


def snap(
    *options: LoggedOption, chosen: str | None = None, at: Situation | None = None,
    happened: Happened | None = None, **more: Any,
) -> Snap:  # fmt: skip
    """A snap with these options, the last one chosen if none is said to be."""
    options = options or (POST, DIG, FLAT)
    fields: dict[str, Any] = {
        "number": "1", "clip": "0:01", "tempo": None, "play_clock": None,
        "call": Call(family="drop-back", alignment="gun"), "defense": Defense(rushers=4),
        "read": Read(),
    }  # fmt: skip
    happened = happened or Happened(result="complete", yards=5)
    return Snap(
        situation=at or situation(),
        happened=replace(happened, chosen=chosen or happened.chosen or options[-1].id),
        options=options,
        **(fields | more),
    )


def priced(
    worth: Worth, row: Snap, following: Snap | None = None, settings: PriceSettings = EXACT,
    seed: int = 1,
) -> Decision:  # fmt: skip
    return price_snap(worth, row, following, settings, np.random.default_rng(seed))


# -- strategies ------------------------------------------------------------------------------


@st.composite
def situations(draw: st.DrawFn, *, overtime: bool = True) -> Situation:
    """Any situation, in overtime too; the clock and the score are sometimes not known."""
    period = draw(st.sampled_from([1, 2, 3, 4, 4, *([5] if overtime else [])]))
    spot = draw(st.sampled_from([1, 2, 4, 9, 20, 32, 50, 75, 90, 98, 99]) | st.integers(1, 99))
    known = draw(st.sampled_from([True, True, True, False]))
    late = draw(st.booleans())
    longest = 30 if late else RULES.period_seconds(period)
    return Situation(
        period=period,
        seconds=draw(st.integers(1, longest)) if known or period == 5 else None,
        down=draw(st.integers(1, 4)),
        distance=draw(st.integers(1, min(spot, 40))),
        yards_to_goal=spot,
        lead=draw(st.integers(-17, 17)) if known else draw(st.sampled_from([None, 0])),
        rules=RULES,
        own_timeouts=draw(st.integers(0, 3)),
        opponent_timeouts=draw(st.integers(0, 3)),
        receives_second_half=draw(st.sampled_from([None, True, False])),
        clock_running=draw(st.sampled_from([None, True, False])),
        hash=draw(st.sampled_from([None, "left", "middle", "right"])),
    )


@st.composite
def ranges(draw: st.DrawFn) -> Range:
    low, value, high = sorted(draw(st.tuples(*[st.integers(0, 100)] * 3)))
    return Range(value / 100, low / 100, high / 100)


@st.composite
def options(draw: st.DrawFn, kind: str, name: str) -> LoggedOption:
    """One option of a kind, with much or little said about it."""
    some = st.none() | ranges()
    common: dict[str, Any] = {
        "place": draw(st.none() | st.integers(1, 5)),
        "in_read": draw(some),
        "reaction": draw(st.sampled_from([1, 1, 1, 2])),
    }
    if kind == "throw":
        common |= {
            "route": draw(st.none() | st.sampled_from([*USUAL, "moonshot"])),
            "air_yards": draw(st.none() | st.integers(-8, 60)),
            "third": draw(st.sampled_from([None, "left", "middle", "right"])),
            "window": draw(st.none() | st.sampled_from([*WINDOWS, UNSEEN])),
            "drop": draw(st.sampled_from([None, 0, 1, 3, 5, 7])),
            "hitches": draw(st.sampled_from([None, 0, 1, 3])),
            "chance": draw(some),
        }
    elif kind in ("give", "keep", "pitch", "run"):
        common |= {
            "gap": draw(st.sampled_from([None, "middle", "guard", "tackle", "end"])),
            "side": draw(st.sampled_from([None, "field", "boundary"])),
        }
    elif kind in ("field-goal", "go"):
        common |= {"chance": draw(some)}
    return LoggedOption(name, kind, **common)


@st.composite
def option_lists(draw: st.DrawFn) -> tuple[LoggedOption, ...]:
    """Two to five options; sometimes two of them share a read group."""
    kinds = draw(st.lists(st.sampled_from(OPTION_KINDS), min_size=2, max_size=5))
    made = [draw(options(kind, f"{kind} {i}")) for i, kind in enumerate(kinds)]
    if draw(st.booleans()):
        for i in (0, 1):
            share = draw(st.integers(0, 50)) / 100
            made[i] = replace(made[i], group="A", in_read=Range(share, 0.0, 0.5))
    return tuple(made)


@st.composite
def flags(draw: st.DrawFn) -> Flag:
    return Flag(
        side=draw(st.sampled_from(["offense", "defense"])),
        when=draw(st.sampled_from([None, "before", "dead", "live", "after"])),
        decision=draw(st.sampled_from([None, "accepted", "declined", "offset"])),
        yards=draw(st.none() | st.sampled_from([5, 10, 15])),
    )


@st.composite
def happenings(draw: st.DrawFn, chosen: str) -> Happened:
    """Any result, in or out of step with the rest: a charter may have logged it so."""
    return Happened(
        chosen=chosen,
        result=draw(st.none() | st.sampled_from(RESULTS)),
        yards=draw(st.none() | st.integers(-12, 60)),
        touchdown=draw(st.sampled_from([False] * 4 + [True])),
        safety=draw(st.sampled_from([False] * 6 + [True])),
        defense_scored=draw(st.sampled_from([False] * 6 + [True])),
        fumble=draw(st.sampled_from([None, None, "kept", "lost"])),
        ended=draw(st.sampled_from([None, "in", "out", "slide"])),
        end_yards_to_goal=draw(st.none() | st.integers(1, 99)),
        placement=draw(st.none() | st.sampled_from(PLACEMENTS)),
        timing=draw(st.none() | st.sampled_from(TIMINGS)),
        security=draw(st.none() | st.sampled_from(SECURITIES)),
        hit=draw(st.sampled_from([None, True, False])),
        flag=draw(st.none() | flags()),
    )


@st.composite
def blames(draw: st.DrawFn) -> dict[str, dict[str, float]]:
    """Shares of every entry that sum to one."""
    out = {}
    for entry in ("offered", "left", "delivered", "breaks"):
        first = draw(st.integers(0, 100)) / 100
        one, two = draw(st.permutations(BLAME_PARTIES))[:2]
        out[entry] = {one: first, two: 1 - first}
    return out


@st.composite
def snaps(draw: st.DrawFn, *, number: str = "1", overtime: bool = True) -> Snap:
    """A decision of any kind."""
    opts = draw(option_lists())
    chosen = draw(st.sampled_from(opts)).id
    return Snap(
        number=number,
        clip=None,
        situation=draw(situations(overtime=overtime)),
        tempo=None,
        play_clock=None,
        call=Call(
            alignment=draw(st.sampled_from([None, "under", "pistol", "gun"])),
            family=draw(
                st.sampled_from(
                    [None, "drop-back", "quick", "play-action", "rpo", "option", "qb-run"]
                )
            ),
        ),
        defense=Defense(
            shell_after=draw(st.none() | st.sampled_from([*SHELLS, "one high"])),
            box=draw(st.none() | st.integers(4, 10)),
            blockers=draw(st.none() | st.integers(5, 8)),
            rushers=draw(st.none() | st.integers(2, 8)),
            free_rusher=draw(st.sampled_from([None, None, False, True])),
            free_side=draw(st.sampled_from([None, "left", "middle", "right"])),
            free_depth=draw(st.none() | st.integers(0, 12).map(float)),
        ),
        read=Read(
            key=draw(st.sampled_from([None, "end"])),
            key_action=draw(st.sampled_from([None, "crash", "sit", "scrape", "widen", "drop"])),
        ),
        happened=draw(happenings(chosen)),
        options=opts,
        blame=draw(st.none() | blames()),
    )


def in_read_of(row: Snap, decision: Decision) -> list[tuple[float, str | None]]:
    """Chance in the read and read group of every option; the chosen one was certainly there."""
    return [
        (1.0, None) if logged.id == decision.chosen else (priced.in_read, logged.group)
        for logged, priced in zip(row.options, decision.options, strict=True)
    ]


def expected_best(values: Sequence[float], reads: Sequence[tuple[float, str | None]]) -> float:
    """The expectation of the best of what was in the read, subset by subset."""
    blocks: dict[str, list[tuple[float, float]]] = {}
    for i, (value, (chance, group)) in enumerate(zip(values, reads, strict=True)):
        blocks.setdefault(group or f"#{i}", []).append((value, chance))
    total = 0.0

    def go(left: list[list[tuple[float, float]]], best: float, weight: float) -> None:
        nonlocal total
        if weight <= 0:
            return
        if not left:
            total += weight * best
            return
        first, rest = left[0], left[1:]
        for value, chance in first:
            go(rest, max(best, value), weight * chance)
        none = 1 - sum(c for _, c in first)
        if none > 1e-12:
            go(rest, best, weight * none)

    go(list(blocks.values()), -np.inf, 1.0)
    return total
