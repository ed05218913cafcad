"""One situation, seen from the team with the ball."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from pointsleft_models.football.rules import RuleSet

Hash = Literal["left", "middle", "right"]

#: Which possession of an overtime this is: the first, the answer to it, or sudden death.
OvertimePhase = Literal["first", "reply", "sudden"]

FIELD = 100


class SituationError(ValueError):
    """A situation that cannot occur; the message lists everything wrong with it."""


@dataclass(frozen=True, slots=True)
class Situation:
    """Everything known before the snap, from the view of the team with the ball.

    Attributes
    ----------
    period
        Quarter 1 to 4; 5 and above are overtime.
    seconds
        Seconds left in the period at the snap, ``None`` when not known.
    down, distance, yards_to_goal
        Down 1 to 4, yards to the line to gain, yards to the opponent's goal line (1 to 99).
    lead
        Points of the offense minus points of the defense, ``None`` when not known.
    own_timeouts, opponent_timeouts
        Time-outs left to the offense and to the defense, 0 to 3.
    receives_second_half
        Whether the offense receives the second-half kickoff. ``None``: not known.
    clock_running
        Whether the game clock runs at the snap. ``None``: not known.
    hash
        Hash mark seen from behind the offense.
    spread
        Points by which the offense was favoured before the game (negative: underdog).
    overtime_phase
        Only in overtime; ``None`` means "work it out from the score".
    rules
        The rule set: kickoff and touchback spots, try, overtime, clock, hash marks.
    """

    period: int
    seconds: int | None
    down: int
    distance: int
    yards_to_goal: int
    lead: int | None
    rules: RuleSet
    own_timeouts: int = 3
    opponent_timeouts: int = 3
    receives_second_half: bool | None = None
    clock_running: bool | None = None
    hash: Hash | None = None
    spread: float | None = None
    overtime_phase: OvertimePhase | None = None

    def __post_init__(self) -> None:
        faults = list(self._faults())
        if faults:
            raise SituationError("this situation cannot occur: " + "; ".join(faults))

    def _faults(self) -> list[str]:
        faults: list[str] = []
        if self.period < 1:
            faults.append(f"period {self.period} (1 to 4, overtime from 5)")
        longest = self.rules.period_seconds(self.period)
        if self.seconds is not None and not 0 <= self.seconds <= longest:
            faults.append(f"{self.seconds} seconds left in period {self.period} (0 to {longest})")
        if self.down not in (1, 2, 3, 4):
            faults.append(f"down {self.down} (1 to 4)")
        if not 1 <= self.yards_to_goal <= FIELD - 1:
            faults.append(f"{self.yards_to_goal} yards to goal (1 to 99)")
        elif not 1 <= self.distance <= self.yards_to_goal:
            faults.append(
                f"{self.distance} yards to go with {self.yards_to_goal} to the goal line "
                f"(1 to {self.yards_to_goal})"
            )
        for name, value in (("own", self.own_timeouts), ("opponent", self.opponent_timeouts)):
            if not 0 <= value <= 3:
                faults.append(f"{value} {name} time-outs (0 to 3)")
        return faults

    @property
    def overtime(self) -> bool:
        return self.period >= 5

    @property
    def half(self) -> int:
        """1 or 2 in regulation, 3 in overtime."""
        return 3 if self.overtime else 1 + (self.period > 2)

    @property
    def goal_to_go(self) -> bool:
        return self.distance >= self.yards_to_goal

    @property
    def half_seconds(self) -> int | None:
        """Seconds left in the half (in overtime: in the period)."""
        if self.seconds is None:
            return None
        if self.overtime:
            return self.seconds
        return self.seconds + (self.rules.period_seconds(1) if self.period in (1, 3) else 0)

    @property
    def game_seconds(self) -> int | None:
        """Seconds left in regulation (in overtime: in the period)."""
        if self.half_seconds is None:
            return None
        return self.half_seconds + (2 * self.rules.period_seconds(1) if self.half == 1 else 0)

    @property
    def two_minute(self) -> bool:
        """Inside the last two minutes of a half."""
        return self.half_seconds is not None and self.period != 1 and self.half_seconds <= 120

    @property
    def four_minute(self) -> bool:
        """Ahead inside the last four minutes of the game: the clock is the opponent."""
        return (
            self.half == 2
            and self.half_seconds is not None
            and self.half_seconds <= 240
            and self.lead is not None
            and self.lead > 0
        )

    @property
    def backed_up(self) -> bool:
        """Inside the own ten-yard line."""
        return self.yards_to_goal > 90

    @property
    def red_zone(self) -> bool:
        """Inside the opponent's twenty-yard line."""
        return self.yards_to_goal <= 20

    @property
    def has_wins(self) -> bool:
        """Whether win probability is defined: clock and score are known."""
        return self.seconds is not None and self.lead is not None

    @property
    def has_points(self) -> bool:
        """Whether expected points are defined (not in overtime)."""
        return not self.overtime

    def with_(self, **changes: object) -> Situation:
        """A copy with some attributes changed, checked again."""
        return replace(self, **changes)  # type: ignore[arg-type]
