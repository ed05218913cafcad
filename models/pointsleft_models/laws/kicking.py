"""Field goals and punts as outcomes of a snap."""

from __future__ import annotations

import numpy as np

from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS, from_stops
from pointsleft_models.football.field import KICK_EXTRA
from pointsleft_models.laws.lattice import (
    CELLS,
    DEFENSE_TOUCHDOWN,
    FIELD_GOAL,
    OTHER,
    SPOTS,
    STOPPED,
    OutcomeLaw,
    at_cell,
    law_of,
    spot_cell,
)
from pointsleft_models.laws.library import Library
from pointsleft_models.laws.setting import Setting

Array = np.ndarray

#: Yards behind the line from which a field goal is kicked.
HOLD = 8
TOUCHBACK_SPOT = 20
#: Yards from which the fit has too few kicks to bend: from there its log odds go straight on.
STRAIGHT_FROM = 64
#: Beyond this distance nobody has made one (from memory: 68 yards).
LONGEST_KICK = 70
#: Yards lost when a punt is blocked (common practice, no source).
BLOCKED_LOSS = 10
KICK_SECONDS, PUNT_SECONDS = 5.0, 11.0


class KickingLaw:
    """Laws of kicks from one library of fits, as good as those of its season."""

    def __init__(self, library: Library) -> None:
        self._fits = library

    def make_chance(self, yards: int | Array, *, refits: bool = False) -> Array:
        """Chance (fits, ...) that a field goal of so many yards is good."""
        return expit(self.make_odds(yards, refits=refits))

    def make_odds(self, yards: int | Array, *, refits: bool = False) -> Array:
        """Log odds (fits, ...) of a field goal of so many yards.

        The fit is flat beyond its last knot, as if legs had no end; so the log odds go on there
        as they fall over its last stretch. Of 9 kicks longer than that the archive has none good.
        """
        fit = self._fits.logit("field goal")

        def fitted(at: int | Array) -> Array:
            return fit.eta({"kick_yards": at}, refits=refits)

        odds = fitted(np.minimum(yards, STRAIGHT_FROM))
        beyond = np.maximum(np.asarray(yards) - STRAIGHT_FROM, 0)
        if not beyond.any():
            return odds
        a_yard = fitted(STRAIGHT_FROM) - fitted(STRAIGHT_FROM - 1)
        return odds + beyond * a_yard.reshape(len(a_yard), *(1,) * beyond.ndim)

    def field_goal(self, at: Setting, *, odds: float = 0.0, refits: bool = False) -> OutcomeLaw:
        """The law of a field goal try, the log odds of a make moved by ``odds``.

        A miss is the other side's ball where it was kicked, at least its own 20.
        """
        yards = at.yards_to_goal + KICK_EXTRA
        made = expit(self.make_odds(yards, refits=refits) + odds)
        if yards > LONGEST_KICK:
            made = np.zeros_like(made)
        blocked = self._fits.logit("field goal blocked").probability(
            {"kick_yards": yards}, refits=refits
        )
        spot = min(max(at.yards_to_goal + HOLD, TOUCHBACK_SPOT), SPOTS)
        return law_of(
            [
                ("good", made, at_cell(FIELD_GOAL)),
                ("missed", (1 - made) * (1 - blocked), at_cell(spot_cell(OTHER, spot))),
                ("blocked", (1 - made) * blocked, at_cell(spot_cell(OTHER, spot))),
            ],
            seconds=KICK_SECONDS,
        )

    def punt(self, at: Setting, *, farther: float = 0.0, refits: bool = False) -> OutcomeLaw:
        """The law of a punt: blocked, lost by the other side, a touchback, or played.

        Parameters
        ----------
        farther
            Yards by which the other side starts farther up on average, touchbacks included.
        """
        values = {"yards_to_goal": at.yards_to_goal}
        blocked = self._fits.logit("punt blocked").probability(values, refits=refits)
        kept = self._fits.logit("punt kept").probability(values, refits=refits)
        touchback = self._fits.logit("punt touchback").probability(values, refits=refits)
        starts = np.arange(1, SPOTS + 1)
        eta = self._fits.logit("punt").eta({**values, YARDS: starts}, refits=refits)
        law = from_stops(expit(eta))
        played = np.zeros((len(law), CELLS))
        played[:, OTHER + starts - 1] = _moved(law[:, :-1], farther / (1 - touchback))
        played[:, DEFENSE_TOUCHDOWN] = law[:, -1]
        mean = (law[:, :-1] @ starts) / np.maximum(law[:, :-1].sum(1), 1e-9)
        regained = int(np.clip(mean[0], 1, SPOTS))
        back = min(at.yards_to_goal + BLOCKED_LOSS, SPOTS)
        away = (1 - blocked) * (1 - kept)
        return law_of(
            [
                ("blocked", blocked, at_cell(spot_cell(OTHER, back))),
                ("regained", (1 - blocked) * kept, at_cell(spot_cell(STOPPED, regained))),
                ("punted", away * touchback, at_cell(spot_cell(OTHER, TOUCHBACK_SPOT))),
                ("punted", away * (1 - touchback), played),
            ],
            seconds=PUNT_SECONDS,
        )


def _moved(law: Array, by: Array) -> Array:
    """A law (fits, n) of starts moved by yards (fits,) that need not be whole; ends hold."""
    if not np.any(by):
        return law
    out = np.zeros_like(law)
    last = law.shape[1] - 1
    for fit, yards in enumerate(np.broadcast_to(by, len(law))):
        whole = int(np.floor(yards))
        for step, share in ((whole, 1 - (yards - whole)), (whole + 1, yards - whole)):
            to = np.clip(np.arange(last + 1) + step, 0, last)
            np.add.at(out[fit], to, share * law[fit])
    return out
