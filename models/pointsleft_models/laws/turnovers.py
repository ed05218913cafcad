"""Where the ball goes when the other side takes it."""

from __future__ import annotations

import numpy as np

from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.laws.lattice import (
    CELLS,
    DEFENSE_TOUCHDOWN,
    OTHER,
    RUNNING,
    SAFETY,
    SPOTS,
    STOPPED,
    TOUCHDOWN,
    laid_on_field,
    returned_cells,
    spot_cell,
)
from pointsleft_models.laws.library import Library

Array = np.ndarray

#: Own yard line after a touchback of an interception, from the offense's view 20 to go.
TOUCHBACK_SPOT = 20


def interception_cells(library: Library, air_yards: Array, spot: Array, refits: bool) -> Array:
    """(fits, k, CELLS) after interceptions at ``spot`` yards to goal (k,) (0 and below: end zone)
    of balls thrown ``air_yards`` (k,)."""
    tables = library.logit("interception return")
    low = library.low("interception return")
    deep = np.maximum(spot, 1)
    field = SPOTS + 1 - deep
    columns = {
        "air": air_yards[:, None],
        "goal_near": np.minimum(field, 60)[:, None],
        YARDS: np.arange(low, int(field.max()))[None, :],
    }
    stop = expit(tables.eta(columns, refits=refits))
    cells = returned_cells(laid_on_field(stop, deep + low, field - low, toward_goal=False))
    if (spot > 0).all():
        return cells
    kneel = library.logit("end zone touchback").probability({"air": air_yards}, refits=refits)
    touchback = np.zeros(CELLS)
    touchback[spot_cell(OTHER, TOUCHBACK_SPOT)] = 1.0
    share = (kneel * (spot <= 0))[..., None]
    return share * touchback + (1 - share) * cells


def fumble_cells(library: Library, carried: Array, refits: bool, *, sacked: bool = False) -> Array:
    """(fits, ..., CELLS) when a ball carried to the cells ``carried`` is lost there.

    The other side takes over where the carrier was stopped, or returns it for a score; a ball
    lost in the offense's own end zone is a touchdown of the defense.
    """
    scored = library.logit("fumble returned").probability({"sacked": int(sacked)}, refits=refits)
    share = scored.reshape(-1, *(1,) * (carried.ndim - 1))
    kept = carried[..., RUNNING : RUNNING + SPOTS] + carried[..., STOPPED : STOPPED + SPOTS]
    out = np.zeros((max(len(carried), len(scored)), *carried.shape[1:]))
    out[..., OTHER : OTHER + SPOTS] = kept * (1 - share)
    # at the goal line the defense falls on it in its end zone: a touchback
    out[..., spot_cell(OTHER, TOUCHBACK_SPOT)] += carried[..., TOUCHDOWN]
    out[..., DEFENSE_TOUCHDOWN] = kept.sum(-1) * share[..., 0] + carried[..., SAFETY]
    return out
