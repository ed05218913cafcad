"""Where a play-through starts, and what is forced on its first snap."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from pointsleft_models.football.rules import RuleSet
from pointsleft_models.football.situation import Situation
from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.board import Board
from pointsleft_models.values.overtime import overtime_phase

Array = np.ndarray

Call = Literal[
    "run", "pass", "go", "punt", "field goal", "kneel", "spike", "let score", "safety",
]  # fmt: skip
Phase = Literal["snap", "try", "kickoff", "free kick"]

CALLS: dict[str, int] = {
    "run": codes.CALL_RUN,
    "pass": codes.CALL_PASS,
    "go": codes.CALL_PLAY,
    "punt": codes.CALL_PUNT,
    "field goal": codes.CALL_KICK,
    "kneel": codes.CALL_KNEEL,
    "spike": codes.CALL_SPIKE,
    "let score": codes.CALL_LET_SCORE,
    "safety": codes.CALL_SAFETY,
}


@dataclass(frozen=True, slots=True)
class Opening:
    """What is decided from outside at the start; everything after is as the teams play.

    Attributes
    ----------
    call
        The first snap: ``go`` is a run or a pass as teams choose, ``let score`` is the defense
        standing aside, ``safety`` the offense giving itself up in its end zone. A called snap
        draws no flag.
    keep
        The call is made on every snap of this possession until fourth down.
    answered
        The defense calls time after every such snap while it can. What sides do late says little
        of it: those that could not get the ball back by their time-outs did not call them.
    last_kick
        With ``keep``: the snaps set up a field goal. Once the play clock outlasts the half the
        offense lets it run down and calls time (its time-outs are saved for that), and it kicks
        then, when it has little time for anything else, and on fourth down.
    timeout
        Side that calls time before the first snap (the clock, if it ran, stands still).
    try_
        The try at the start (phase ``try``).
    kickoff
        The kickoff at the start, or after that try.
    """

    call: Call | None = None
    keep: bool = False
    answered: bool = False
    last_kick: bool = False
    timeout: Literal["own", "opponent"] | None = None
    try_: Literal["kick", "two points"] | None = None
    kickoff: Literal["deep", "onside"] | None = None


@dataclass(frozen=True, slots=True)
class Start:
    """One situation from which every game of a run starts; team 0 is the offense of it.

    In the phases ``try`` and ``kickoff`` the offense is the side that scored and kicks; in
    ``free kick`` the side that conceded the safety and kicks.

    Attributes
    ----------
    half, seconds
        1, 2 or 3 (overtime); seconds left in the half.
    lead
        Points of the offense minus those of the defense.
    points
        Points of both sides so far (only added to the totals).
    receives_second_half
        Whether the offense does; ``None``: every other game.
    clock_running
        The clock runs: the first wait is drawn before the first snap.
    possessions
        Possessions of this overtime that are over.
    """

    half: int
    seconds: int
    lead: int = 0
    down: int = 1
    distance: int = 10
    yards_to_goal: int = 75
    own_timeouts: int = 3
    opponent_timeouts: int = 3
    receives_second_half: bool | None = None
    clock_running: bool = False
    phase: Phase = "snap"
    possessions: int = 0
    points: int = 0

    def with_(self, **changes: object) -> Start:
        """A copy with some attributes changed."""
        return replace(self, **changes)  # type: ignore[arg-type]

    def board(self, games: int) -> Board:
        """So many games at this start."""

        def full(value: int) -> Array:
            return np.full(games, value, dtype=np.int64)

        receives = self.receives_second_half
        second = np.arange(games) % 2 if receives is None else full(0 if receives else 1)
        return Board(
            game=np.arange(games),
            half=full(self.half),
            clock=full(self.seconds),
            offense=full(0),
            difference=full(self.lead),
            total=full(self.points),
            timeouts0=full(self.own_timeouts),
            timeouts1=full(self.opponent_timeouts),
            second=second,
            down=full(self.down),
            distance=full(min(self.distance, self.yards_to_goal)),
            yards_to_goal=full(self.yards_to_goal),
            spiking=np.zeros(games, bool),
            ordered=np.ones(games, bool),
            possessions=full(self.possessions),
            strength0=np.zeros(games, np.float32),
            strength1=np.zeros(games, np.float32),
            over=np.zeros(games, bool),
        )


def kickoff_start(rules: RuleSet) -> Start:
    """The opening kickoff: team 0 kicks in every game, so team 0 receives the second half."""
    return Start(
        half=1, seconds=2 * rules.quarter_seconds, phase="kickoff", receives_second_half=True
    )


def start_of(situation: Situation, *, seconds: int = 900, lead: int = 0) -> Start:
    """The start of a situation; ``seconds`` (in the half) and ``lead`` fill in what is unknown."""
    half_seconds = situation.half_seconds
    possessions = 0
    if situation.overtime:
        possessions = {"first": 0, "reply": 1, "sudden": 2}[overtime_phase(situation)]
    return Start(
        half=situation.half,
        seconds=seconds if half_seconds is None else half_seconds,
        lead=lead if situation.lead is None else situation.lead,
        down=situation.down,
        distance=situation.distance,
        yards_to_goal=situation.yards_to_goal,
        own_timeouts=situation.own_timeouts,
        opponent_timeouts=situation.opponent_timeouts,
        receives_second_half=situation.receives_second_half,
        clock_running=bool(situation.clock_running),
        possessions=possessions,
    )
