"""Where the ball goes when the other side takes it."""

from __future__ import annotations

import numpy as np

from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS, from_stops
from pointsleft_models.laws.lattice import (
    CELLS,
    DEFENSE_TOUCHDOWN,
    OTHER,
    RUNNING,
    SAFETY,
    SPOTS,
    STOPPED,
    TOUCHDOWN,
    spot_cell,
    takeover_cells,
)
from pointsleft_models.laws.library import Library
from pointsleft_models.laws.setting import Setting

Array = np.ndarray

#: Own yard line after a touchback of an interception, from the offense's view 20 to go.
TOUCHBACK_SPOT = 20


def interception_cells(library: Library, air_yards: int, spot: int, refits: bool) -> Array:
    """(fits, CELLS) after an interception at ``spot`` yards to goal (0 and below: end zone)."""
    tables = library.logit("interception return")
    low = library.low("interception return")
    deep = max(spot, 1)
    field = SPOTS + 1 - deep
    columns = {
        "air": air_yards,
        "goal_near": min(field, 60),
        YARDS: np.arange(low, field),
    }
    law = from_stops(expit(tables.eta(columns, refits=refits)))
    cells = takeover_cells(law, low, deep, len(law))
    if spot > 0:
        return cells
    kneel = library.logit("end zone touchback").probability({"air": air_yards}, refits=refits)
    touchback = np.zeros(CELLS)
    touchback[spot_cell(OTHER, TOUCHBACK_SPOT)] = 1.0
    share = np.asarray(kneel)[:, None]
    return share * touchback + (1 - share) * cells


def fumble_cells(
    library: Library, carried: Array, at: Setting, refits: bool, *, sacked: bool = False
) -> Array:
    """(fits, CELLS) when a ball carried to the cells ``carried`` is lost there.

    The other side takes over where the carrier was stopped, or returns it for a score; a ball
    lost in the offense's own end zone is a touchdown of the defense.
    """
    scored = library.logit("fumble returned").probability({"sacked": int(sacked)}, refits=refits)
    fits = max(len(carried), len(scored))
    share = scored[:, None]
    kept = carried[:, RUNNING : RUNNING + SPOTS] + carried[:, STOPPED : STOPPED + SPOTS]
    out = np.zeros((fits, CELLS))
    out[:, OTHER : OTHER + SPOTS] = kept * (1 - share)
    # at the goal line the defense falls on it in its end zone: a touchback
    out[:, spot_cell(OTHER, TOUCHBACK_SPOT)] += carried[:, TOUCHDOWN]
    out[:, DEFENSE_TOUCHDOWN] = kept.sum(1) * share[:, 0] + carried[:, SAFETY]
    return out
