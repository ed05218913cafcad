"""Every law in one list, each under the same call, for the contract they all keep."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from pointsleft_models.bundle import Worth
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
    OutcomeLaw,
    at_cell,
    law_of,
    spot_cell,
)
from pointsleft_models.laws.passing import Throw, thrown_away
from pointsleft_models.laws.setting import Setting
from pointsleft_models.laws.turnovers import fumble_cells, interception_cells

Array = np.ndarray


def spots(block: int, least: int = 1, most: int = SPOTS) -> set[int]:
    """Cells of the spots ``least`` .. ``most`` yards to goal of one block."""
    return {spot_cell(block, s) for s in range(max(least, 1), min(most, SPOTS) + 1)}


def taken_over(least: int = 1, most: int = SPOTS) -> set[int]:
    """The other side has the ball, or has scored with it."""
    return spots(OTHER, least, most) | {DEFENSE_TOUCHDOWN}


def kept(least: int = 1, most: int = SPOTS) -> set[int]:
    return spots(RUNNING, least, most) | spots(STOPPED, least, most)


@dataclass(frozen=True)
class Family:
    """A law.

    Attributes
    ----------
    law
        Makes it for a setting, point fit or refits too.
    may
        Cells that can come of it under the rules of the game, whatever the fit.
    fitted
        Whether anything about it is estimated.
    """

    name: str
    law: Callable[[Worth, Setting, bool], OutcomeLaw]
    may: Callable[[Setting], set[int]]
    fitted: bool = True


def _throw(throw: Throw) -> Callable[[Worth, Setting, bool], OutcomeLaw]:
    return lambda w, at, refits: w.passing.law(throw, at, refits=refits)


def _after_a_throw(air: int) -> Callable[[Setting], set[int]]:
    """A catch may be lost ten yards behind where it was made, not more."""
    return lambda at: (
        kept(most=max(at.yards_to_goal - min(air, 0) + 10, at.yards_to_goal))
        | taken_over()
        | {TOUCHDOWN, SAFETY}
    )


def _run(w: Worth, at: Setting, refits: bool) -> OutcomeLaw:
    return w.rushing.run(at, "tackle", odds=-0.2, lost_odds=0.9, refits=refits)


def _after_a_run(at: Setting) -> set[int]:
    return kept(most=at.yards_to_goal + 12) | taken_over() | {TOUCHDOWN, SAFETY}


def _missed(at: Setting) -> set[int]:
    return {FIELD_GOAL, spot_cell(OTHER, min(max(at.yards_to_goal + 8, 20), SPOTS))}


def _interception(
    spot_of: Callable[[Setting], int],
) -> Callable[[Worth, Setting, bool], OutcomeLaw]:
    def law(w: Worth, at: Setting, refits: bool) -> OutcomeLaw:
        spot = np.array([spot_of(at)])
        cells = interception_cells(w.models.library, at.yards_to_goal - spot, spot, refits)[:, 0]
        return law_of([("intercepted", np.ones(len(cells)), cells)], seconds=6.0)

    return law


def _fumble(w: Worth, at: Setting, refits: bool) -> OutcomeLaw:
    carried = at_cell(spot_cell(RUNNING, at.yards_to_goal))
    cells = fumble_cells(w.models.library, carried, refits, sacked=True)
    return law_of([("fumbled away", np.ones(len(cells)), cells)], seconds=5.0)


def kickoff_law(w: Worth, free_kick: bool, refits: bool) -> OutcomeLaw:
    """Starts after a kick from the kicking side's view: a start at the receiver's own yard line
    L leaves L yards to goal."""
    kickoff, rules = w.points.kickoff, w.rules
    fits = 1 + len(kickoff.start.stop.refits) if refits else 1
    starts = [kickoff.starts(rules, free_kick=free_kick, refit=r) for r in range(fits)]
    weights = np.array([[1 - s.kept, s.kept] for s in starts])
    cells = np.zeros((fits, 2, CELLS))
    for i, s in enumerate(starts):
        cells[i, 0, OTHER : OTHER + SPOTS] = s.probability / (1 - s.kept)
        cells[i, 0, DEFENSE_TOUCHDOWN] = s.returned / (1 - s.kept)
        cells[i, 1, spot_cell(STOPPED, s.kept_at)] = 1.0
    return OutcomeLaw(("punted", "regained"), weights, cells, 6.0)


THROWS = {
    "slant": Throw(6, "middle", "slant", "three-deep", pressured=False),
    "post": Throw(38, "middle", "post", "quarters", pressured=True, odds=0.5, pick_odds=-0.3),
    "screen": Throw(-5, "left", "screen"),
    "unknown": Throw(14),
}

FAMILIES = (
    *(Family(f"throw: {name}", _throw(t), _after_a_throw(t.air_yards))
      for name, t in THROWS.items()),
    Family("run", _run, _after_a_run),
    Family("scramble", lambda w, at, r: w.rushing.scramble(at, refits=r), _after_a_run),
    Family(
        "sack",
        lambda w, at, r: w.rushing.sack(at, refits=r),
        lambda at: spots(RUNNING, at.yards_to_goal) | taken_over(at.yards_to_goal) | {SAFETY},
    ),
    Family(
        "throw-away",
        lambda w, at, r: thrown_away(at),
        lambda at: {spot_cell(STOPPED, at.yards_to_goal)},
        fitted=False,
    ),
    Family("field goal", lambda w, at, r: w.kicking.field_goal(at, refits=r), _missed),
    Family(
        "punt",
        lambda w, at, r: w.kicking.punt(at, refits=r),
        lambda at: taken_over() | spots(STOPPED),
    ),
    Family("going", lambda w, at, r: w.going.law(at, odds=0.3, refits=r), _after_a_run),
    Family(
        "kickoff",
        lambda w, at, r: kickoff_law(w, False, r),
        lambda at: taken_over() | {spot_cell(STOPPED, 25)},
    ),
    Family(
        "free kick",
        lambda w, at, r: kickoff_law(w, True, r),
        lambda at: taken_over() | {spot_cell(STOPPED, 25)},
    ),
    Family("interception", _interception(lambda at: max(at.yards_to_goal - 12, 1)),
           lambda at: taken_over()),
    Family("interception in the end zone", _interception(lambda at: -4), lambda at: taken_over()),
    Family("fumble", _fumble,
           lambda at: {spot_cell(OTHER, at.yards_to_goal), DEFENSE_TOUCHDOWN}),
)  # fmt: skip


def setting(
    down: int, distance: int, yards_to_goal: int, *, half: int = 1, half_seconds: int = 900,
    lead: int = 0, gun: bool = True, box: int | None = None,
) -> Setting:  # fmt: skip
    return Setting(down, distance, yards_to_goal, half, half_seconds, lead, gun, box)


SETTINGS = {
    "own 1": setting(1, 10, 99),
    "own 1, fourth": setting(4, 12, 99, gun=False, half=2, lead=-17),
    "own 5, long": setting(3, 40, 95, box=6),
    "own 25": setting(1, 10, 75, box=7),
    "midfield, fourth and 1": setting(4, 1, 50, gun=False, box=9),
    "opp 32, third": setting(3, 7, 32, half=2, half_seconds=100, lead=-4),
    "opp 4, goal": setting(2, 4, 4, box=8),
    "opp 1, fourth": setting(4, 1, 1, gun=False, half=2, half_seconds=4, lead=-6),
    "opp 1, no time": setting(1, 1, 1, half=1, half_seconds=1, lead=3),
}
