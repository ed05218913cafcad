"""What a throw can come to.

A throw is caught, intercepted or incomplete; a catch runs on, goes out of bounds, scores or is
fumbled away. The fitted laws describe passes that were thrown; ``shift`` moves the log odds of
the catch for what the film says of this one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS, from_stops
from pointsleft_models.laws.lattice import (
    CELLS,
    SPOTS,
    STOPPED,
    OutcomeLaw,
    at_cell,
    carried_cells,
    laid_on_field,
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

#: The laws are fitted on throws whose depth the game book knows (``recipes/passing.py``). Among the
#: others are more misses, batted balls for one, and next to no interceptions: what they add to the
#: log odds of a catch, and of an interception on a miss, were they spread over all depths alike.
CATCH_NO_DEPTH, PICK_NO_DEPTH = -0.030, -0.049

_NO_DEPTH = {"complete": CATCH_NO_DEPTH, "intercepted": PICK_NO_DEPTH}

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
        return self._odds("complete", _Aimed([(throw, at)]), refits)[:, 0] + throw.odds

    def parts(self, throw: Throw, at: Setting, *, refits: bool = False) -> ThrowParts:
        """The pieces of the law of a throw that leaves the hand."""
        return self.pieces([(throw, at)], refits=refits)[0]

    def pieces(
        self, throws: Sequence[tuple[Throw, Setting]], *, refits: bool = False
    ) -> tuple[ThrowParts, ...]:
        """The pieces of several throws, each in its setting, which share every look-up."""
        aimed = _Aimed(throws)
        catch, pick = (self._odds(name, aimed, refits) for name in ("complete", "intercepted"))
        lost = self._fits.logit("fumbled").probability({"air": aimed.air}, refits=refits)
        lost = lost * (aimed.room > 0)  # a catch in the end zone is over
        cells = self._cells(aimed, refits)
        return tuple(
            ThrowParts(
                catch=catch[:, i] + own.odds,
                pick=pick[:, i] + own.pick_odds,
                lost=lost[:, i],
                cells=cells[:, aimed.place[i]],
                flight_seconds=BASE_SECONDS + SECONDS_A_YARD * max(own.air_yards, 0),
            )
            for i, own in enumerate(aimed.throws)
        )

    def law(self, throw: Throw, at: Setting, *, refits: bool = False) -> OutcomeLaw:
        """The law of a throw that leaves the hand."""
        return self.parts(throw, at, refits=refits).law()

    def _odds(self, name: str, aimed: _Aimed, refits: bool) -> Array:
        """(fits, throws) log odds of a component, moved by what is known of each throw."""
        values = aimed.values()
        total = self._fits.logit(name).eta(values, refits=refits) + _NO_DEPTH[name]
        for more, known in (
            ("pressure", aimed.pressure > 0),
            ("look", aimed.looked),
            ("route", aimed.routed & ~(aimed.looked & self._fits.has(f"{name}+look"))),
        ):
            if known.any() and self._fits.has(f"{name}+{more}"):
                total = total + known * self._fits.logit(f"{name}+{more}").eta(
                    values, refits=refits
                )
        return total

    def after_catch(self, throw: Throw, at: Setting, *, refits: bool = False) -> tuple[Array, int]:
        """Law (fits, n) of yards after the catch and its smallest value; the last entry scores."""
        stop = self._stops(_Aimed([(throw, at)]), refits)
        return from_stops(stop[:, 0]), self._fits.low("after")

    def _stops(self, aimed: _Aimed, refits: bool) -> Array:
        """(fits, k, n) chance of being stopped at each yard after the catch of every distinct
        throw, as far as the one with the most room runs."""
        low, room = self._fits.low("after"), aimed.room[aimed.first]
        values = {name: v[:, None] for name, v in aimed.values(aimed.first).items()}
        columns = {
            **values,
            "room": np.minimum(room, 30)[:, None],
            YARDS: np.arange(low, max(int(room.max()), low + 1))[None, :],
        }
        eta = self._fits.logit("after").eta(columns, refits=refits)
        looked = aimed.looked[aimed.first]
        if looked.any() and self._fits.has("after+look"):
            more = self._fits.logit("after+look").eta(columns, refits=refits)
            eta = eta + looked[:, None] * more
        return expit(eta)

    def _cells(self, aimed: _Aimed, refits: bool) -> Array:
        """(fits, k, 4, CELLS) of :data:`THROW_KINDS` for every distinct throw."""
        low = self._fits.low("after")
        air, room, goal = (x[aimed.first] for x in (aimed.air, aimed.room, aimed.yards_to_goal))
        stop = self._stops(aimed, refits)
        limit = np.where(room > 0, np.maximum(room - low, 0), 0)  # a catch in the end zone scores
        laid = laid_on_field(stop, room - low, limit, toward_goal=True)
        clock = aimed.values(aimed.first) | aimed.clock_codes(aimed.first)
        out = self._fits.logit("caught out of bounds").eta(clock, refits=refits)
        routed = aimed.routed[aimed.first]
        if routed.any() and self._fits.has("caught out of bounds+route"):
            more = self._fits.logit("caught out of bounds+route").eta(clock, refits=refits)
            out = out + routed * more
        after = carried_cells(laid, expit(out))
        spot = np.minimum(np.maximum(room, 1 - END_ZONE), SPOTS)
        cells = np.zeros((*after.shape[:2], len(THROW_KINDS), CELLS))
        cells[:, :, 0] = after
        cells[:, :, 1] = fumble_cells(self._fits, after, refits)
        cells[:, :, 2] = interception_cells(self._fits, air, spot, refits)
        cells[:, np.arange(len(goal)), 3, spot_cell(STOPPED, goal)] = 1.0
        return cells


class _Aimed:
    """Throws kept inside the field, each in its setting, as columns for look-ups.

    Attributes
    ----------
    first
        Place of each distinct throw: pressure moves odds and no cell.
    place
        Which of the distinct throws each throw is.
    """

    def __init__(self, throws: Sequence[tuple[Throw, Setting]]) -> None:
        self.settings = [at for _, at in throws]
        self.throws = [throw.aimed(at.yards_to_goal) for throw, at in throws]
        self.yards_to_goal = np.array([at.yards_to_goal for at in self.settings])
        self.air = np.array([t.air_yards for t in self.throws])
        self.room = self.yards_to_goal - self.air
        self.third = np.array([THIRD_CODES.get(t.third or "", 2) for t in self.throws])
        self.pressure = np.array(
            [0 if t.pressured is None else 1 + t.pressured for t in self.throws]
        )
        self.route = np.array([ROUTE_CODES.get(t.route or "", 0) for t in self.throws])
        self.shell = np.array([SHELL_CODES.get(t.shell or "", 0) for t in self.throws])
        self.routed = self.route > 0
        self.looked = self.routed & (self.shell > 0)
        self.first: list[int] = []
        self.place: list[int] = []
        places: dict[tuple[object, ...], int] = {}
        for i, (throw, at) in enumerate(zip(self.throws, self.settings, strict=True)):
            key = throw.air_yards, throw.third, throw.route, throw.shell, at
            place = places.setdefault(key, len(self.first))
            if place == len(self.first):
                self.first.append(i)
            self.place.append(place)

    def values(self, rows: list[int] | slice = slice(None)) -> dict[str, Array]:
        """Columns (throws,) of what the laws condition on."""
        columns = {
            "air": self.air,
            "third_code": self.third,
            "near": np.array([at.near for at in self.settings]),
            "in_end_zone": (self.room <= 0).astype(int),
            "down0": np.array([at.down - 1 for at in self.settings]),
            "pressure_code": self.pressure,
            "route_code": self.route,
            "shell_code": self.shell,
        }
        return {name: column[rows] for name, column in columns.items()}

    def clock_codes(self, rows: list[int]) -> dict[str, Array]:
        """Columns (throws,) of what the laws of the clock condition on."""
        codes = [self.settings[row].clock_codes() for row in rows]
        return {name: np.array([c[name] for c in codes]) for name in codes[0]}


def thrown_away(at: Setting) -> OutcomeLaw:
    """A legal throw-away: the down is lost and nothing else."""
    cells = at_cell(spot_cell(STOPPED, at.yards_to_goal))
    return law_of([("thrown away", np.ones(1), cells)], seconds=BASE_SECONDS)
