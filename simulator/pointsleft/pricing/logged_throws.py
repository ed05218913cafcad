"""From the throws of a log to option models: depth, drop and rush as logged, or as is usual."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.laws.passing import Throw, ThrowParts
from pointsleft_models.laws.setting import Setting

from pointsleft.log.record import LoggedOption, Snap
from pointsleft.pricing.depths import (
    FAMILY_DROP,
    GENERAL_SHELLS,
    SHELLS,
    UNKNOWN_DEPTH,
    USUAL,
    law_route,
)
from pointsleft.pricing.flight import CODE, extra_flight, flight_odds
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.model import Judged
from pointsleft.pricing.protection import (
    Pocket,
    Protection,
    Rush,
    ball_out,
    depth_of,
    protections,
)
from pointsleft.pricing.throws import ThrowModel, odds_at
from pointsleft.pricing.windows import window_judgement

#: Without and with pressure, as the laws code them.
BOTH = np.array([0, 1])

#: Judgement of how much later a rusher is by why he came free; and the reason that frees nobody.
LATER = {"beaten": "rush.beaten", "stunt": "rush.stunt"}
HELD = "held-too-long"


@dataclass(frozen=True, slots=True)
class ReadyThrow:
    """A logged throw as the laws see it, with its pieces in rhythm and under pressure.

    Attributes
    ----------
    pocket, clock
        What the protection clock runs on, and what it says.
    hits
        Hits to expect on a throw without and with pressure.
    assumed
        Codes of the judgements that stood in for what the log did not say.
    """

    throw: Throw
    clean: ThrowParts
    pressed: ThrowParts
    pocket: Pocket
    clock: Protection
    hits: tuple[float, float]
    assumed: tuple[str, ...]


def ready_throws(
    worth: Worth, snaps: Sequence[tuple[Setting, Snap]]
) -> list[dict[str, ReadyThrow]]:
    """Every throw of every snap by id, worked out together since they share their look-ups."""
    logged = [
        (i, at, snap, option)
        for i, (at, snap) in enumerate(snaps)
        for option in snap.options
        if option.kind == "throw"
    ]
    found: list[dict[str, ReadyThrow]] = [{} for _ in snaps]
    if not logged:
        return found
    assumed: list[list[str]] = [[] for _ in logged]
    throws = [
        _throw(snap, option, said).aimed(at.yards_to_goal)
        for (_, at, snap, option), said in zip(logged, assumed, strict=True)
    ]
    pockets = [
        _pocket(snap, option, said)
        for (_, _, snap, option), said in zip(logged, assumed, strict=True)
    ]
    parts = worth.passing.pieces(
        [
            (replace(throw, pressured=pressured), at)
            for throw, (_, at, _, _) in zip(throws, logged, strict=True)
            for pressured in (False, True)
        ]
    )
    clocks = protections(worth.library, pockets)
    hits = _hits(worth)
    for at, (i, _, _, option) in enumerate(logged):
        found[i][option.id] = ReadyThrow(
            throws[at], parts[2 * at], parts[2 * at + 1], pockets[at], clocks[at], hits,
            tuple(assumed[at]),
        )  # fmt: skip
    return found


def throw_model(
    worth: Worth, at: Setting, snap: Snap, option: LoggedOption, in_read: Judged, label: str,
    ready: ReadyThrow, also: tuple[str, ...] = (),
) -> ThrowModel:  # fmt: skip
    """A logged throw as an option model; ``also`` are codes that were assumed besides."""
    assumed = list(ready.assumed)
    throw, clean, pressed, clock = ready.throw, ready.clean, ready.pressed, ready.clock
    main = window_judgement(
        snap, option, throw.air_yards, assumed, lambda p: odds_at(clean, pressed, clock, p)
    )
    flight = 0.0
    if option.chance is None:
        assert snap.situation is not None
        longer = extra_flight(
            worth.rules, snap.situation.hash, throw.third, throw.air_yards + ready.pocket.depth
        )
        if longer:
            assumed.append(CODE)
            low, flight, high = flight_odds(longer)
            main = replace(
                main, value=main.value + flight, low=main.low + low, high=main.high + high
            )
    on_time, hurried, sacked = (float(x[0]) for x in (clock.on_time, clock.hurried, clock.sacked))
    clean_hit, pressed_hit = ready.hits
    return ThrowModel(
        id=option.id, kind=option.kind, label=label, judged=main, in_read=in_read,
        group=option.group, place=option.place, air_yards=throw.air_yards, third=throw.third,
        window=option.window, reaction=option.reaction, seconds=clean.seconds(main.value),
        on_time=on_time, sack=sacked,
        hit=on_time * clean_hit + hurried * pressed_hit + sacked * judged("hit.sack").value,
        assumed=(*assumed, *also), worth=worth, setting=at, throw=throw, clean=clean,
        pressed=pressed, sacked=worth.rushing.sack(at), clock=clock, rush=ready.pocket.rush,
        out_mean=ready.pocket.out_mean, depth=ready.pocket.depth, flight=flight,
    )  # fmt: skip


def _throw(snap: Snap, option: LoggedOption, assumed: list[str]) -> Throw:
    usual = USUAL.get(option.route or "")
    route = law_route(option.route)
    if option.route is not None and route is None:
        assumed.append("route.unknown")
    air = option.air_yards
    if air is None:
        air = usual[0] if usual else UNKNOWN_DEPTH
        assumed.append("air.default")
    third = option.third
    if third is None:
        third = (usual[1] if usual else None) or "right"
        assumed.append("third.default")
    shell = snap.defense.shell_after or snap.defense.shell_before
    known = SHELLS.get(shell or "")
    if known is None and shell in GENERAL_SHELLS:
        known = GENERAL_SHELLS[shell]
        assumed.append("shell.general")
    return Throw(air, third, route, known)


def _pocket(snap: Snap, option: LoggedOption, assumed: list[str]) -> Pocket:
    gun = snap.call.alignment in ("gun", "pistol")
    steps, hitches = _drop(snap, option, gun, assumed)
    fake = snap.call.family == "play-action"
    late = option.reaction > 1
    out_mean = _late(snap, gun, fake) if late else ball_out(steps, hitches, gun=gun, fake=fake)
    return Pocket(out_mean, rush_of(snap), depth_of(steps, gun=gun))


def _drop(snap: Snap, option: LoggedOption, gun: bool, assumed: list[str]) -> tuple[int, int]:
    steps, hitches = option.drop, option.hitches
    if steps is None:
        assumed.append("drop.default")
        usual = FAMILY_DROP.get(snap.call.family or "drop-back", (5, 1))
        steps = max(usual[0] - int(judged("drop.gun").value), 0) if gun else usual[0]
        later = max((option.place or 1) - 1, 0)
        hitches = usual[1] + later if hitches is None else hitches
    return steps, hitches or 0


def _late(snap: Snap, gun: bool, fake: bool) -> float:
    """Ball-out time of a second reaction: after the last of the first."""
    first = [
        ball_out(o.drop or 5, o.hitches or 0, gun=gun, fake=fake)
        for o in snap.options
        if o.reaction == 1 and o.kind == "throw"
    ]
    return max(first, default=2.6) + judged("drop.late").value


def rush_of(snap: Snap) -> Rush:
    """The rush as logged.

    Why a man came free says when: who was blocked first comes later, and who came only because
    the ball was held threatens no option that would have been out.
    """
    d = snap.defense
    late = LATER.get(d.free_why or "")
    return Rush(
        d.rushers,
        bool(d.free_rusher) and d.free_why != HELD,
        d.free_depth or 0.0,
        d.free_side,
        judged(late).value if late else 0.0,
    )


def _hits(worth: Worth) -> tuple[float, float]:
    """Hits to expect on a throw without and with pressure."""
    library = worth.library
    if not library.has("hit"):
        return judged("hit.clean").value, judged("hit.pressed").value
    values = library.logit("hit").probability({"pressed": BOTH})[0]
    return float(values[0]), float(values[1])
