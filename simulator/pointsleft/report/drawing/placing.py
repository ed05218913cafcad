"""Where the options of a snap stand on the field, in yards, before anything is drawn.

Across: yards from the left side line seen from behind the offense. Along: yards from the
offense's own goal line (its end line is -10, the opponent's 110).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from pointsleft_models.football.field import END_ZONE, THIRD_CENTRE, WIDTH
from pointsleft_models.football.situation import FIELD

from pointsleft.pricing.result import PricedOption

Role = Literal["chosen", "best", "both", "other"]
Shape = Literal["throw", "run", "kick", "away"]

#: The passer is drawn this far behind the line whatever his drop.
DROP = 7.0

#: A runner's arrow ends this far past the line: it shows the direction, not the gain.
RUN_REACH = 4.0
KICK_REACH = 9.0

#: Options of one third at nearly one depth are set side by side this far from its centre.
_SIDE_BY_SIDE = 6.2
_SAME_DEPTH = 2.5

#: Options of one third, one behind the other, are set this far to either side.
_BEHIND = 2.0

SHAPES: dict[str, Shape] = {
    "throw": "throw",
    "give": "run",
    "keep": "run",
    "pitch": "run",
    "run": "run",
    "scramble": "run",
    "go": "run",
    "throw-away": "away",
    "field-goal": "kick",
    "punt": "kick",
}


@dataclass(frozen=True, slots=True)
class Scene:
    """What is the same for every option of a snap; ``ball`` is the ball's place across."""

    yards_to_goal: int
    distance: int
    ball: float
    hash_from_side: float

    @property
    def line(self) -> float:
        """Line of scrimmage along the field."""
        return float(FIELD - self.yards_to_goal)

    @property
    def gain_line(self) -> float:
        """Line to gain along the field."""
        return self.line + min(self.distance, self.yards_to_goal)

    @property
    def passer(self) -> tuple[float, float]:
        return self.ball, max(self.line - DROP, -END_ZONE + 1.0)


@dataclass(frozen=True, slots=True)
class Placed:
    """An option on the field: where it starts and where it ends (across, along)."""

    id: str
    shape: Shape
    role: Role
    start: tuple[float, float]
    end: tuple[float, float]


def role_of(identity: str, chosen: str, best: str) -> Role:
    """What an option was: chosen, best, both or neither."""
    if identity == chosen:
        return "both" if identity == best else "chosen"
    return "best" if identity == best else "other"


def _target(option: PricedOption, shape: Shape, scene: Scene) -> tuple[float, float]:
    across = THIRD_CENTRE.get(option.third or "middle", WIDTH / 2)
    if shape == "throw":
        depth = scene.line + (option.air_yards or 0)
        return across, min(max(depth, -END_ZONE + 1.0), FIELD + END_ZONE - 1.0)
    if shape == "away":
        return (0.6 if option.third == "left" else WIDTH - 0.6), scene.line + 1.5
    if shape == "kick":
        return (WIDTH / 2 + scene.ball) / 2, scene.line + KICK_REACH
    if option.kind == "go":
        return scene.ball, scene.gain_line + 0.5
    if option.third is None:
        across = scene.ball
    return across, scene.line + RUN_REACH


def _start(option: PricedOption, scene: Scene) -> tuple[float, float]:
    across, along = scene.passer
    if option.kind in ("give", "run", "go"):
        return across, along + 2.5
    return across, along


def _same_spot(placed: Sequence[Placed]) -> list[list[int]]:
    """Indices of options grouped by (nearly) one place, nearest to the line first."""
    groups: list[list[int]] = []
    for i in sorted(range(len(placed)), key=lambda i: (placed[i].end[1], placed[i].end[0], i)):
        across, along = placed[i].end
        for group in groups:
            x, y = placed[group[0]].end
            if abs(x - across) < 3 and abs(y - along) < _SAME_DEPTH:
                group.append(i)
                break
        else:
            groups.append([i])
    return groups


def _set_apart(placed: Sequence[Placed]) -> list[Placed]:
    """Options of one third set apart: at one depth side by side, one behind the other a little
    to either side, so that no line hides another."""
    moved = list(placed)
    seen: dict[int, int] = {}
    for group in _same_spot(placed):
        third = round(placed[group[0]].end[0] / (WIDTH / 6))
        turn = seen.get(third, 0)
        seen[third] = turn + 1
        shift = 0.0 if turn == 0 else (-_BEHIND if turn % 2 else _BEHIND)
        for place, i in enumerate(sorted(group)):
            if placed[i].shape == "away":
                continue
            share = place / (len(group) - 1) * 2 - 1 if len(group) > 1 else 0.0
            reach = _SIDE_BY_SIDE * min(1.0, len(group) / 4)
            across = min(max(placed[i].end[0] + share * reach + shift, 0.8), WIDTH - 0.8)
            moved[i] = replace(placed[i], end=(across, placed[i].end[1]))
    return moved


def place(
    options: Sequence[PricedOption], chosen: str, best: str, scene: Scene
) -> tuple[tuple[Placed, ...], tuple[str, ...]]:
    """Places of the options that can be drawn, and the ids of those that cannot.

    A throw whose depth was not logged has no place. A side that was not logged is drawn in the
    middle. Nothing ends beyond the end line.
    """
    placed: list[Placed] = []
    without: list[str] = []
    for option in options:
        shape = SHAPES.get(option.kind)
        if shape is None or (shape == "throw" and option.air_yards is None):
            without.append(option.id)
            continue
        role = role_of(option.id, chosen, best)
        start = _start(option, scene)
        placed.append(Placed(option.id, shape, role, start, _target(option, shape, scene)))
    return tuple(_set_apart(placed)), tuple(without)
