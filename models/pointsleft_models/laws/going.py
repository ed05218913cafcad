"""Going for it when no play is named: what third and fourth downs come to."""

from __future__ import annotations

import numpy as np

from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS, from_stops
from pointsleft_models.laws.lattice import (
    CELLS,
    OTHER,
    OutcomeLaw,
    at_cell,
    gain_cells,
    law_of,
    spot_cell,
)
from pointsleft_models.laws.library import Library
from pointsleft_models.laws.setting import Setting

Array = np.ndarray

GO_SECONDS = 6.0

#: Share of tries that end out of bounds (archive, third and fourth downs).
OUT_SHARE = 0.09


class GoingLaw:
    """The pooled law of a try for the line to gain."""

    def __init__(self, library: Library) -> None:
        self._fits = library

    def gains(self, at: Setting, *, odds: float = 0.0, refits: bool = False) -> tuple[Array, int]:
        """(fits, n) law of net gains when the ball is kept, and the smallest gain."""
        low = self._fits.low("go")
        values = {
            "to_go": at.to_go,
            "near": at.near,
            "down0": at.down - 1,
            YARDS: np.arange(low, at.yards_to_goal),
        }
        stop = expit(self._fits.logit("go").eta(values, refits=refits) + odds)
        return from_stops(stop), low

    def law(self, at: Setting, *, odds: float = 0.0, refits: bool = False) -> OutcomeLaw:
        """The law of a try; ``odds`` moves the log odds of being stopped at every yard."""
        law, low = self.gains(at, odds=odds, refits=refits)
        values = {"to_go": at.to_go, "down0": at.down - 1}
        lost = self._fits.logit("go lost").probability(values, refits=refits)
        spot = int(np.clip(at.yards_to_goal - 5, 1, 99))
        taken = at_cell(spot_cell(OTHER, spot))
        return law_of(
            [
                ("run", 1 - lost, gain_cells(law, low, at.yards_to_goal, OUT_SHARE)),
                ("intercepted", lost, np.broadcast_to(taken, (1, CELLS))),
            ],
            seconds=GO_SECONDS,
        )

    def conversion(self, at: Setting, *, odds: float = 0.0, refits: bool = False) -> Array:
        """(fits,) chance that the line to gain is reached and the ball kept."""
        law, low = self.gains(at, odds=odds, refits=refits)
        values = {"to_go": at.to_go, "down0": at.down - 1}
        lost = self._fits.logit("go lost").probability(values, refits=refits)
        return (1 - lost) * law[:, at.distance - low :].sum(1)
