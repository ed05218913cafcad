"""A throw as an option: how open, how long it takes, what the rush does to it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.laws.lattice import OutcomeLaw, mix
from pointsleft_models.laws.passing import Throw, ThrowParts
from pointsleft_models.laws.setting import Setting
from scipy.optimize import brentq

from pointsleft.log.record import UNSEEN, WINDOWS, LoggedOption, Range, Snap
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
from pointsleft.pricing.model import Judged, OptionModel
from pointsleft.pricing.protection import Protection, Rush, ball_out, depth_of, protection

Array = np.ndarray
Odds = TypeVar("Odds", float, np.ndarray)

#: Without and with pressure, as the laws code them.
BOTH = np.array([0, 1])

#: Judgement of how much later a rusher is by why he came free; and the reason that frees nobody.
LATER = {"beaten": "rush.beaten", "stunt": "rush.stunt"}
HELD = "held-too-long"

#: Judgements beyond these (log odds) are not asked for.
WIDEST = 6.0


def openness(air_yards: int) -> float:
    """How much more open thrown passes of this depth are than the middle of the window scale."""
    deep = max(air_yards - 5, 0)
    return judged("window.selection").value + judged("window.selection.depth").value * deep


def word_odds(word: str) -> Judged:
    """A window word on the log-odds scale, with its range."""
    row = judged(f"window.{word}")
    return Judged("", word, row.value, row.low, row.high)


@dataclass(frozen=True, kw_only=True)
class ThrowModel(OptionModel):
    """A throw; its judgement is the log odds by which it is easier than thrown passes are.

    Attributes
    ----------
    clean, pressed
        The throw in rhythm and under pressure, point fit.
    clock
        Chances that it comes off in rhythm, hurried, or not at all.
    flight
        The part of the judgement that is not the window: log odds for a longer flight.
    """

    worth: Worth
    setting: Setting
    throw: Throw
    clean: ThrowParts
    pressed: ThrowParts
    sacked: OutcomeLaw
    clock: Protection
    rush: Rush
    out_mean: float
    depth: float
    flight: float = 0.0

    def law(self, judgement: float | None = None, *, refits: bool = False) -> OutcomeLaw:
        odds = self.judged.value if judgement is None else judgement
        if not refits:
            return self._mixed(self.clean, self.pressed, self.sacked, self.clock, odds)
        worth, at = self.worth, self.setting
        clean, pressed = _parts(worth, self.throw, at)
        clock = protection(worth.models.library, self.out_mean, self.rush, self.depth, refits=True)
        return self._mixed(clean, pressed, worth.rushing.sack(at, refits=True), clock, odds)

    def _mixed(
        self, clean: ThrowParts, pressed: ThrowParts, sacked: OutcomeLaw, clock: Protection,
        odds: float,
    ) -> OutcomeLaw:  # fmt: skip
        pick = pick_odds(odds)
        return mix(
            [
                (clock.on_time, clean.law(odds, pick)),
                (clock.hurried, pressed.law(odds, pick)),
                (clock.sacked, sacked),
            ]
        )

    def value(self, cells: Array) -> float:
        odds = self.judged.value
        branches = self.clean.cells[0] @ cells
        total = float(self.clock.sacked[0]) * float(self.sacked.value(cells)[0])
        for share, parts in (
            (self.clock.on_time[0], self.clean),
            (self.clock.hurried[0], self.pressed),
        ):
            chances = parts.point(odds, pick_odds(odds))
            total += float(share) * sum(w * b for w, b in zip(chances, branches, strict=True))
        return float(total)

    def values(self, judgements: Array, cells: Array) -> Array:
        odds = np.asarray(judgements, dtype=float)[:, None]
        out = np.zeros(len(odds))
        for share, parts in (
            (self.clock.on_time[0], self.clean),
            (self.clock.hurried[0], self.pressed),
        ):
            weights = parts.weights(odds, pick_odds(odds))[:, 0, :]
            out += share * (weights @ (parts.cells[0] @ cells))
        return out + self.clock.sacked[0] * float(self.sacked.value(cells)[0])

    def chance(self, judgement: float | None = None) -> float | None:
        """Chance of a completion once the ball is thrown."""
        return self._complete(self.judged.value if judgement is None else judgement)

    def _complete(self, odds: float) -> float:
        return complete_chance(self.clean, self.pressed, self.clock, odds)

    def say(self, judgement: float) -> str:
        return f"{self.window_at(judgement)} ({100 * self._complete(judgement):.0f}% complete)"

    def window_at(self, judgement: float) -> str | None:
        level = judgement - self.flight + openness(self.throw.air_yards)
        return min(WINDOWS, key=lambda w: abs(word_odds(w).value - level))


def pick_odds(odds: Odds) -> Odds:
    """Move of the log odds of an interception that goes with one of the catch."""
    return -judged("window.pick").value * odds


def complete_chance(
    clean: ThrowParts, pressed: ThrowParts, clock: Protection, odds: float
) -> float:
    """Chance of a completion given that the ball is thrown, point fit."""
    on_time, hurried = float(clock.on_time[0]), float(clock.hurried[0])
    if on_time + hurried <= 0:
        return 0.0
    on, off = sum(clean.point(odds)[:2]), sum(pressed.point(odds)[:2])
    return (on_time * on + hurried * off) / (on_time + hurried)


def _parts(worth: Worth, throw: Throw, at: Setting) -> tuple[ThrowParts, ThrowParts]:
    """In rhythm and under pressure, under every fit."""
    both = [replace(throw, pressured=p) for p in (False, True)]
    clean, pressed = worth.passing.pieces(both, at, refits=True)
    return clean, pressed


@dataclass(frozen=True, slots=True)
class ReadyThrow:
    """A logged throw as the laws see it, with its pieces in rhythm and under pressure."""

    throw: Throw
    clean: ThrowParts
    pressed: ThrowParts
    assumed: tuple[str, ...]


def ready_throws(worth: Worth, at: Setting, snap: Snap) -> dict[str, ReadyThrow]:
    """Every throw of a snap by id, worked out together since they share their look-ups."""
    logged = [option for option in snap.options if option.kind == "throw"]
    if not logged:
        return {}
    assumed: list[list[str]] = [[] for _ in logged]
    throws = [
        _throw(snap, option, said).aimed(at.yards_to_goal)
        for option, said in zip(logged, assumed, strict=True)
    ]
    both = [replace(throw, pressured=p) for throw in throws for p in (False, True)]
    parts = worth.passing.pieces(both, at)
    return {
        option.id: ReadyThrow(throws[i], parts[2 * i], parts[2 * i + 1], tuple(assumed[i]))
        for i, option in enumerate(logged)
    }


def throw_model(
    worth: Worth, at: Setting, snap: Snap, option: LoggedOption, in_read: Judged, label: str,
    ready: ReadyThrow,
) -> ThrowModel:  # fmt: skip
    """A logged throw as an option model."""
    assumed = list(ready.assumed)
    throw, clean, pressed = ready.throw, ready.clean, ready.pressed
    gun = snap.call.alignment in ("gun", "pistol")
    steps, hitches = _drop(snap, option, gun, assumed)
    fake = snap.call.family == "play-action"
    out_mean = ball_out(steps, hitches, gun=gun, fake=fake)
    if option.reaction > 1:
        out_mean = _late(snap, gun, fake)
    rush = rush_of(snap)
    depth = depth_of(steps, gun=gun)
    clock = protection(worth.models.library, out_mean, rush, depth, refits=False)
    main = _window(snap, option, throw, assumed, lambda p: _odds_at(clean, pressed, clock, p))
    flight = 0.0
    if option.chance is None:
        assert snap.situation is not None
        longer = extra_flight(
            worth.rules, snap.situation.hash, throw.third, throw.air_yards + depth
        )
        if longer:
            assumed.append(CODE)
        low, flight, high = flight_odds(longer)
        main = replace(main, value=main.value + flight, low=main.low + low, high=main.high + high)
    on_time, hurried, sacked = (float(x[0]) for x in (clock.on_time, clock.hurried, clock.sacked))
    hits = _hits(worth)
    return ThrowModel(
        id=option.id, kind=option.kind, label=label, judged=main, in_read=in_read,
        group=option.group, place=option.place, air_yards=throw.air_yards, third=throw.third,
        window=option.window, reaction=option.reaction, seconds=clean.seconds(main.value),
        on_time=on_time, sack=sacked,
        hit=on_time * hits[0] + hurried * hits[1] + sacked * judged("hit.sack").value,
        assumed=tuple(assumed), worth=worth, setting=at, throw=throw, clean=clean,
        pressed=pressed, sacked=worth.rushing.sack(at), clock=clock, rush=rush,
        out_mean=out_mean, depth=depth, flight=flight,
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


def _window(
    snap: Snap, option: LoggedOption, throw: Throw, assumed: list[str], odds_at: object
) -> Judged:
    """The main judgement of a throw, relative to passes that were thrown."""
    subject = f"window of {option.id}"
    if option.chance is not None:
        return _stated(subject, option.chance, odds_at)
    chosen = snap.happened.chosen == option.id
    if option.window is None and chosen:
        row = judged("window.thrown")
        selection = judged("window.selection").value
        assumed.append(row.code)
        return Judged(
            subject, "as thrown passes are", row.value - selection, row.low - selection,
            row.high - selection,
        )  # fmt: skip
    moved = openness(throw.air_yards)
    word = option.window
    if word is None:
        word, row = "default", judged("window.default")
        assumed.append(row.code)
        said = "even (assumed)"
    elif word == UNSEEN:
        assumed.append("window.unseen")
        row, said = judged("window.unseen"), "not visible"
    else:
        row, said = judged(f"window.{word}"), word
    low = word_odds(option.window_low).value if option.window_low else row.low
    high = word_odds(option.window_high).value if option.window_high else row.high
    value = min(max(row.value, low), high)
    return Judged(subject, said, value - moved, low - moved, high - moved)


def _stated(subject: str, chance: Range, odds_at: object) -> Judged:
    low, value, high = (
        odds_at(min(max(p, 0.005), 0.995))  # type: ignore[operator]
        for p in (chance.low, chance.value, chance.high)
    )
    return Judged(subject, f"{100 * chance.value:.0f}% complete", value, low, high)


def _odds_at(clean: ThrowParts, pressed: ThrowParts, clock: Protection, chance: float) -> float:
    """The judgement at which the throw is completed with this chance."""

    def gap(odds: float) -> float:
        return complete_chance(clean, pressed, clock, odds) - chance

    if gap(-WIDEST) >= 0:
        return -WIDEST
    if gap(WIDEST) <= 0:
        return WIDEST
    return float(brentq(gap, -WIDEST, WIDEST))


def _hits(worth: Worth) -> tuple[float, float]:
    """Hits to expect on a throw without and with pressure."""
    library = worth.models.library
    if not library.has("hit"):
        return judged("hit.clean").value, judged("hit.pressed").value
    values = library.logit("hit").probability({"pressed": BOTH})[0]
    return float(values[0]), float(values[1])
