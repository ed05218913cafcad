"""What the laws need to know of a situation."""

from __future__ import annotations

from dataclasses import dataclass

from pointsleft_models.football.situation import Situation

#: Half-seconds stood in for an unknown clock: nothing late about it.
UNHURRIED = 900


@dataclass(frozen=True, slots=True)
class Setting:
    """The part of a situation that outcome laws condition on."""

    down: int
    distance: int
    yards_to_goal: int
    half: int
    half_seconds: int
    lead: int
    gun: bool = True
    box: int | None = None

    @property
    def to_go(self) -> int:
        return min(self.distance, 20)

    @property
    def near(self) -> int:
        return min(self.yards_to_goal, 30)

    def clock_codes(self) -> dict[str, int]:
        """Codes of the clock laws: time left, state of the score, half."""
        return {
            "late": min(self.half_seconds, 600),
            "state": state_code(self.lead),
            "half0": self.half - 1,
        }


def state_code(lead: int) -> int:
    """0 behind by two scores, 1 by one, 2 level, 3 ahead by one, 4 by two or more."""
    if lead <= -9:
        return 0
    if lead < 0:
        return 1
    if lead == 0:
        return 2
    return 3 if lead <= 8 else 4


def setting_of(situation: Situation, *, gun: bool = True, box: int | None = None) -> Setting:
    """The setting of a situation; an unknown clock is an unhurried one, an unknown score level."""
    seconds = situation.half_seconds
    return Setting(
        down=situation.down,
        distance=situation.distance,
        yards_to_goal=situation.yards_to_goal,
        half=min(situation.half, 2),
        half_seconds=UNHURRIED if seconds is None else seconds,
        lead=0 if situation.lead is None else situation.lead,
        gun=gun,
        box=box,
    )
