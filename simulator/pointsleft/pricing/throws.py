"""A throw as an option: how open, how long it takes, what the rush does to it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeVar

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.laws.lattice import OutcomeLaw, mix
from pointsleft_models.laws.passing import Throw, ThrowParts
from pointsleft_models.laws.setting import Setting
from scipy.optimize import brentq

from pointsleft.log.record import WINDOWS
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.protection import Protection, Rush, protection
from pointsleft.pricing.windows import openness, word_odds

Array = np.ndarray
Odds = TypeVar("Odds", float, np.ndarray)

#: Judgements beyond these (log odds) are not asked for.
WIDEST = 6.0


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
        clock = protection(worth.library, self.out_mean, self.rush, self.depth, refits=True)
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

    @cached_property
    def outcomes(self) -> Array:
        """(CELLS,) chance of every outcome under the point fit, the judgement at its own value."""
        odds = self.judged.value
        pick = pick_odds(odds)
        thrown = float(self.clock.on_time[0]) * np.array(self.clean.point(odds, pick))
        thrown += float(self.clock.hurried[0]) * np.array(self.pressed.point(odds, pick))
        # pressure moves the weights of a throw and none of its cells
        sacked = float(self.clock.sacked[0]) * self.sacked.mixture()[0]
        return np.asarray(thrown @ self.clean.cells[0] + sacked)

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


def odds_at(clean: ThrowParts, pressed: ThrowParts, clock: Protection, chance: float) -> float:
    """The judgement at which the throw is completed with this chance."""

    def gap(odds: float) -> float:
        return complete_chance(clean, pressed, clock, odds) - chance

    if gap(-WIDEST) >= 0:
        return -WIDEST
    if gap(WIDEST) <= 0:
        return WIDEST
    return float(brentq(gap, -WIDEST, WIDEST))


def _parts(worth: Worth, throw: Throw, at: Setting) -> tuple[ThrowParts, ThrowParts]:
    """In rhythm and under pressure, under every fit."""
    both = [(replace(throw, pressured=p), at) for p in (False, True)]
    clean, pressed = worth.passing.pieces(both, refits=True)
    return clean, pressed
