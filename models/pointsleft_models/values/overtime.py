"""Win probability in overtime, from the chances of a drive under the rules of the season.

Overtime is a hundredth of the archive, so nothing is fitted on it. What a possession yields
follows from the next-score model with the score level: a team scores next either on this drive
or on a later one after the other side has had the ball. Under ``sudden`` the next score wins;
under ``first-touchdown`` a field goal on the first possession is answered; under
``both-possess`` a touchdown is too; a ``series`` alternates from a fixed spot.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from pointsleft_models.football.situation import OvertimePhase, Situation
from pointsleft_models.laws.lattice import (
    CELLS,
    DEFENSE_TOUCHDOWN,
    FIELD_GOAL,
    OTHER,
    RUNNING,
    SAFETY,
    SPOTS,
    STOPPED,
    TOUCHDOWN,
)
from pointsleft_models.laws.setting import Setting
from pointsleft_models.values.ending import end_value, knelt_to_the_end
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.states import States, states

Array = np.ndarray

#: Yards to goal at which the other side takes over on average when a drive fails.
TAKEOVER = 70

#: Clock at which drives are judged where the overtime has none.
OPEN_CLOCK = 1200

TWO_POINT = 0.48

#: Seconds between snaps in overtime (archive, tied late games).
BETWEEN_SNAPS = 30


@dataclass(frozen=True, slots=True)
class Drive:
    """Chances of one possession, (fits, n) each: touchdown, field goal, a score against."""

    touchdown: Array
    field_goal: Array
    against: Array


@dataclass(frozen=True)
class OvertimeValue:
    """Overtime under one rule set.

    Attributes
    ----------
    points
        Expected points (for the chances of the next score and the kickoff).
    kind
        How this overtime is decided.
    """

    points: ExpectedPoints
    kind: Literal["sudden", "first-touchdown", "both-possess", "series"]

    def _chances(self, at: States, refits: bool) -> Array:
        model = self.points.next_score
        level = at.even()
        return model.probabilities_all(level) if refits else model.probabilities(level)[None]

    def sudden(self, at: States, refits: bool = False) -> Array:
        """(fits, n) chance to win when the next score decides and none is a tie.

        A tie can be had where the rest can be knelt out; what is fitted there are heaves.
        """
        p = self._chances(at, refits)
        value = p[..., 1:4].sum(-1) + 0.5 * p[..., 0]
        return np.where(knelt_to_the_end(at), np.maximum(value, 0.5), value)

    def drive(self, at: States, refits: bool = False) -> Drive:
        """Chances of this possession alone.

        A score of ours comes on this drive, with d, or after a failed one, with r, the chance
        that we score next while they have the ball: p = d + (1 - d) r.
        """
        p = self._chances(at, refits)
        over = states(yards_to_goal=TAKEOVER, half=2, half_seconds=at.half_seconds)
        q = self._chances(over, refits)
        later = q[..., 4:].sum(-1)
        ours = p[..., 1:4].sum(-1)
        scored = np.clip((ours - later) / (1 - later), 0.0, 1.0)
        share = p[..., 1] / np.maximum(p[..., 1] + p[..., 2], 1e-9)
        return Drive(scored * share, scored * (1 - share), np.full_like(scored, 0.01))

    def _kicked_to(self, seconds: Array) -> States:
        """The receiver's first snap after a kickoff."""
        return states(
            yards_to_goal=100 - self.points.rules.touchback, half=2,
            half_seconds=np.maximum(seconds - 5, 1),
        )  # fmt: skip

    def _series_start(self, seconds: Array) -> States:
        spot = self.points.rules.overtime_spot or 25
        return states(yards_to_goal=spot, half=2, half_seconds=np.full(len(seconds), OPEN_CLOCK))

    def reply(self, at: States, refits: bool = False) -> Array:
        """(fits, n) chance to win on the answering possession; ``at.lead`` is what it trails by."""
        drive = self.drive(at, refits)
        lead = at.lead
        again = self._after_level(at, refits)
        by_goal = np.where(lead + 3 > 0, 1.0, np.where(lead + 3 == 0, again, 0.0))
        kick = self.points.try_points
        seven = np.where(lead + 7 > 0, 1.0, np.where(lead + 7 == 0, again, 0.0))
        six = np.where(lead + 6 > 0, 1.0, np.where(lead + 6 == 0, again, 0.0))
        eight = np.where(lead + 8 > 0, 1.0, np.where(lead + 8 == 0, again, 0.0))
        by_touchdown = np.maximum(
            kick * seven + (1 - kick) * six, TWO_POINT * eight + (1 - TWO_POINT) * six
        )
        nothing = 1 - drive.touchdown - drive.field_goal
        fails = np.where(lead > 0, 1.0, np.where(lead == 0, again, 0.0))
        return drive.touchdown * by_touchdown + drive.field_goal * by_goal + nothing * fails

    def _after_level(self, at: States, refits: bool) -> Array:
        """Our chance once an answered overtime is level again and they get the ball."""
        if self.kind == "series":
            return np.full((1, 1), 0.5)
        return 1 - self.sudden(self._kicked_to(at.half_seconds), refits)

    def first(self, at: States, refits: bool = False) -> Array:
        """(fits, n) chance to win on the first possession."""
        drive = self.drive(at, refits)
        nothing = 1 - drive.touchdown - drive.field_goal
        return (
            drive.touchdown * self._after_score(at, 7, refits)
            + drive.field_goal * self._after_score(at, 3, refits)
            + nothing * self._after_nothing(at, refits)
        )

    def _after_score(self, at: States, points: int, refits: bool) -> Array:
        """Our chance after scoring on the first possession."""
        if self.kind == "sudden" or (self.kind == "first-touchdown" and points > 3):
            return np.ones((1, 1))
        start = self._start(at.half_seconds)
        answer = States(
            **{n: getattr(start, n) for n in States.__slots__ if n != "lead"},
            lead=np.full(len(start), -points),
        )
        return 1 - self.reply(answer, refits)

    def _after_nothing(self, at: States, refits: bool) -> Array:
        """Our chance after a first possession without a score."""
        if self.kind == "series":
            return 1 - self.reply(self._series_start(at.half_seconds), refits)
        return 1 - self.sudden(
            states(yards_to_goal=TAKEOVER, half=2, half_seconds=at.half_seconds), refits
        )

    def _start(self, seconds: Array) -> States:
        if self.kind == "series":
            return self._series_start(seconds)
        return self._kicked_to(seconds)

    def wins(self, at: States, phase: OvertimePhase, refits: bool = False) -> Array:
        """(fits, n) chance to win of a snap in overtime."""
        if self.kind == "sudden" or phase == "sudden":
            return self.sudden(at, refits)
        return self.first(at, refits) if phase == "first" else self.reply(at, refits)

    def cells(self, at: Setting, phase: OvertimePhase, refits: bool = False) -> Array:
        """(fits, CELLS) chance to win after every outcome of a snap."""
        spots = np.arange(1, SPOTS + 1)
        gain = at.yards_to_goal - spots
        first_down = gain >= at.distance
        kept = first_down | (at.down < 4)
        seconds = max(at.half_seconds - BETWEEN_SNAPS, 1)
        keep = states(
            down=np.where(kept, np.where(first_down, 1, at.down + 1), 1),
            distance=np.where(first_down, 10, np.maximum(at.distance - gain, 1)),
            yards_to_goal=spots, half=2, half_seconds=seconds, lead=at.lead,
        )  # fmt: skip
        ours = self.wins(keep, phase, refits)
        lost = self._lost(at, phase, spots, seconds, refits)
        fits = ours.shape[0]
        out = np.zeros((fits, CELLS))
        out[:, RUNNING : RUNNING + SPOTS] = np.where(kept, ours, lost)
        out[:, STOPPED : STOPPED + SPOTS] = np.where(kept, ours, lost)
        out[:, OTHER : OTHER + SPOTS] = lost
        now = states(half=2, half_seconds=seconds)
        for cell, points in ((TOUCHDOWN, 7), (FIELD_GOAL, 3)):
            out[:, cell] = self._scored(now, at.lead, points, phase, refits)[:, 0]
        out[:, SAFETY] = 0.0
        out[:, DEFENSE_TOUCHDOWN] = 0.0
        return out

    def _lost(
        self, at: Setting, phase: OvertimePhase, spots: Array, seconds: int, refits: bool
    ) -> Array:
        """(fits, SPOTS) after the other side takes over."""
        if phase == "reply":
            return np.broadcast_to(end_value(np.array(at.lead)), (1, SPOTS)).copy()
        if self.kind == "series":
            start = self._series_start(np.full(SPOTS, seconds))
            return 1 - self.reply(start, refits)
        over = states(yards_to_goal=100 - spots, half=2, half_seconds=seconds)
        return 1 - self.sudden(over, refits)

    def _scored(
        self, now: States, lead: int, points: int, phase: OvertimePhase, refits: bool
    ) -> Array:
        if phase == "first":
            return np.asarray(self._after_score(now, points, refits))
        if phase == "sudden":
            return np.ones((1, 1))
        reached = lead + points
        if reached == 0:
            return np.asarray(self._after_level(now, refits))
        return np.full((1, 1), float(reached > 0))


def overtime_phase(situation: Situation) -> OvertimePhase:
    """The phase as logged, or worked out: a lead means that this possession is the answer."""
    if situation.overtime_phase is not None:
        return situation.overtime_phase
    if situation.lead:
        return "reply"
    series = situation.rules.overtime == "series"
    return "first" if series or situation.period == 5 else "sudden"
