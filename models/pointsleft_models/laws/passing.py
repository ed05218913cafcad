"""What a throw can come to.

A throw is caught, intercepted or incomplete; a catch runs on, goes out of bounds, scores or is
fumbled away. The fitted laws describe passes that were thrown; ``shift`` moves the log odds of
the catch for what the film says of this one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS, from_stops
from pointsleft_models.laws.lattice import (
    CELLS,
    SPOTS,
    STOPPED,
    TOUCHDOWN,
    OutcomeLaw,
    at_cell,
    gain_cells,
    law_of,
    spot_cell,
)
from pointsleft_models.laws.library import Library
from pointsleft_models.laws.setting import Setting
from pointsleft_models.laws.turnovers import fumble_cells, interception_cells
from pointsleft_models.laws.words import ROUTE_CODES, SHELL_CODES

Array = np.ndarray

#: A catch this far beyond the goal line is over the end line.
END_ZONE = 10

THIRD_CODES = {"left": 1, "middle": 2, "right": 3}

THROW_KINDS = ("complete", "fumbled away", "intercepted", "incomplete")

#: Mean seconds of a throw: to the top of the drop and through the air (archive, incompletions).
BASE_SECONDS, SECONDS_A_YARD, RUN_AFTER_SECONDS = 4.9, 0.05, 2.0


@dataclass(frozen=True, slots=True)
class Throw:
    """A throw as the laws see it.

    Attributes
    ----------
    air_yards
        From the line of scrimmage to the catch.
    third, route, shell
        Words, ``None`` when not known.
    pressured
        Under pressure or not; ``None``: as passes are on average.
    odds
        Added to the log odds of a catch, (fits,) or a number.
    pick_odds
        Added to the log odds of an interception among passes not caught.
    """

    air_yards: int
    third: str | None = None
    route: str | None = None
    shell: str | None = None
    pressured: bool | None = None
    odds: float = 0.0
    pick_odds: float = 0.0

    def aimed(self, yards_to_goal: int) -> Throw:
        """The same throw kept inside the field: no catch beyond the end line."""
        deepest = yards_to_goal + END_ZONE - 1
        return self if self.air_yards <= deepest else replace(self, air_yards=deepest)


@dataclass(frozen=True, slots=True)
class ThrowParts:
    """A throw before its weights are set: a judgement moves weights and nothing else.

    Attributes
    ----------
    catch, pick
        (fits,) log odds of a catch, and of an interception among passes not caught.
    lost
        (fits,) chance that a caught ball is fumbled away.
    cells
        (fits, 4, CELLS) of :data:`THROW_KINDS`.
    """

    catch: Array
    pick: Array
    lost: Array
    cells: Array
    flight_seconds: float

    def weights(self, odds: Array | float = 0.0, pick_odds: Array | float = 0.0) -> Array:
        """(..., 4) chances of :data:`THROW_KINDS` with the odds of catch and pick moved.

        The shifts broadcast against (fits,).
        """
        caught, picked = expit(self.catch + odds), expit(self.pick + pick_odds)
        return np.stack(
            [
                caught * (1 - self.lost),
                caught * self.lost,
                (1 - caught) * picked,
                (1 - caught) * (1 - picked),
            ],
            axis=-1,
        )

    def point(self, odds: float = 0.0, pick_odds: float = 0.0) -> tuple[float, ...]:
        """The point fit's chances of :data:`THROW_KINDS` as plain numbers, for speed."""
        caught = 1 / (1 + math.exp(-float(self.catch[0]) - odds))
        picked = 1 / (1 + math.exp(-float(self.pick[0]) - pick_odds))
        lost, missed = float(self.lost[0]), 1 - caught
        return caught * (1 - lost), caught * lost, missed * picked, missed * (1 - picked)

    def seconds(self, odds: float = 0.0) -> float:
        """Mean seconds that the play takes."""
        caught = sum(self.point(odds)[:2])
        return self.flight_seconds + RUN_AFTER_SECONDS * caught

    def law(self, odds: float = 0.0, pick_odds: float = 0.0) -> OutcomeLaw:
        """The law with the odds of catch and pick moved."""
        weights = self.weights(odds, pick_odds)
        return OutcomeLaw(THROW_KINDS, weights, self.cells, self.seconds(odds))


class PassingLaw:
    """Laws of throws from one library of fits."""

    def __init__(self, library: Library) -> None:
        self._fits = library

    def catch_odds(self, throw: Throw, at: Setting, *, refits: bool = False) -> Array:
        """Log odds (fits,) of a catch."""
        throw = throw.aimed(at.yards_to_goal)
        return self._odds("complete", throw, at, refits) + throw.odds

    def pick_chance(self, throw: Throw, at: Setting, *, refits: bool = False) -> Array:
        """Chance (fits,) of an interception among passes not caught."""
        throw = throw.aimed(at.yards_to_goal)
        return expit(self._odds("intercepted", throw, at, refits) + throw.pick_odds)

    def parts(self, throw: Throw, at: Setting, *, refits: bool = False) -> ThrowParts:
        """The pieces of the law of a throw that leaves the hand."""
        return self.pieces(throw, at, (throw.pressured,), refits=refits)[0]

    def pieces(
        self, throw: Throw, at: Setting, pressured: tuple[bool | None, ...], *, refits: bool = False
    ) -> tuple[ThrowParts, ...]:
        """The same throw under several kinds of pressure, which move its odds and no cell."""
        throw = throw.aimed(at.yards_to_goal)
        after = self._after(throw, at, refits)
        spot = min(max(at.yards_to_goal - throw.air_yards, -END_ZONE + 1), SPOTS)
        lost = self._fits.logit("fumbled").probability({"air": throw.air_yards}, refits=refits)
        branches = [
            after,
            fumble_cells(self._fits, after, at, refits),
            interception_cells(self._fits, throw.air_yards, spot, refits),
            at_cell(spot_cell(STOPPED, at.yards_to_goal)),
        ]
        fits = max(len(c) for c in branches)
        cells = np.empty((fits, len(branches), CELLS))
        for i, branch in enumerate(branches):
            cells[:, i] = branch
        flight = BASE_SECONDS + SECONDS_A_YARD * max(throw.air_yards, 0)
        return tuple(
            ThrowParts(
                catch=self._odds("complete", own, at, refits) + own.odds,
                pick=self._odds("intercepted", own, at, refits) + own.pick_odds,
                lost=lost,
                cells=cells,
                flight_seconds=flight,
            )
            for own in (replace(throw, pressured=p) for p in pressured)
        )

    def _odds(self, name: str, throw: Throw, at: Setting, refits: bool) -> Array:
        values = self._values(throw, at)
        eta = self._fits.logit(name).eta(values, refits=refits)
        return eta + self._added(name, throw, values, refits)

    def law(self, throw: Throw, at: Setting, *, refits: bool = False) -> OutcomeLaw:
        """The law of a throw that leaves the hand."""
        return self.parts(throw, at, refits=refits).law()

    def _values(self, throw: Throw, at: Setting) -> dict[str, int]:
        return {
            "air": throw.air_yards,
            "third_code": THIRD_CODES.get(throw.third or "", 0) or 2,
            "near": min(at.yards_to_goal, 30),
            "in_end_zone": int(throw.air_yards >= at.yards_to_goal),
            "down0": at.down - 1,
            "pressure_code": 0 if throw.pressured is None else 1 + throw.pressured,
            "route_code": ROUTE_CODES.get(throw.route or "", 0),
            "shell_code": SHELL_CODES.get(throw.shell or "", 0),
        }

    def _added(
        self, name: str, throw: Throw, values: dict[str, int], refits: bool
    ) -> Array | float:
        total: Array | float = 0.0
        if throw.pressured is not None and self._fits.has(f"{name}+pressure"):
            total = total + self._fits.logit(f"{name}+pressure").eta(values, refits=refits)
        if values["route_code"] and values["shell_code"] and self._fits.has(f"{name}+look"):
            total = total + self._fits.logit(f"{name}+look").eta(values, refits=refits)
        elif values["route_code"] and self._fits.has(f"{name}+route"):
            total = total + self._fits.logit(f"{name}+route").eta(values, refits=refits)
        return total

    def after_catch(self, throw: Throw, at: Setting, *, refits: bool = False) -> tuple[Array, int]:
        """Law (fits, n) of yards after the catch and its smallest value; the last entry scores."""
        throw = throw.aimed(at.yards_to_goal)
        room = at.yards_to_goal - throw.air_yards
        low = self._fits.low("after")
        values = self._values(throw, at)
        columns = {**values, "room": min(room, 30), YARDS: np.arange(low, room)}
        eta = self._fits.logit("after").eta(columns, refits=refits)
        if values["route_code"] and values["shell_code"] and self._fits.has("after+look"):
            eta = eta + self._fits.logit("after+look").eta(columns, refits=refits)
        return from_stops(expit(eta)), low

    def _after(self, throw: Throw, at: Setting, refits: bool) -> Array:
        if throw.air_yards >= at.yards_to_goal:
            return at_cell(TOUCHDOWN)
        law, low = self.after_catch(throw, at, refits=refits)
        values = self._values(throw, at)
        clock = {**values, **at.clock_codes()}
        eta = self._fits.logit("caught out of bounds").eta(clock, refits=refits)
        if values["route_code"] and self._fits.has("caught out of bounds+route"):
            eta = eta + self._fits.logit("caught out of bounds+route").eta(clock, refits=refits)
        return gain_cells(law, low + throw.air_yards, at.yards_to_goal, expit(eta))


def thrown_away(at: Setting) -> OutcomeLaw:
    """A legal throw-away: the down is lost and nothing else."""
    cells = at_cell(spot_cell(STOPPED, at.yards_to_goal))
    return law_of([("thrown away", np.ones(1), cells)], seconds=BASE_SECONDS)
