"""What a run, a scramble or a sack can come to."""

from __future__ import annotations

import numpy as np

from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS, from_stops
from pointsleft_models.laws.lattice import OutcomeLaw, gain_cells, law_of
from pointsleft_models.laws.library import Library
from pointsleft_models.laws.setting import Setting
from pointsleft_models.laws.turnovers import fumble_cells

Array = np.ndarray

GAP_CODES = {"middle": 1, "guard": 2, "tackle": 3, "end": 4}

#: Mean seconds that a run, a scramble and a sack take (common practice, no source).
RUN_SECONDS, SCRAMBLE_SECONDS, SACK_SECONDS = 5.0, 7.0, 5.0


class RushingLaw:
    """Laws of runs from one library of fits."""

    def __init__(self, library: Library) -> None:
        self._fits = library
        self._sacks: dict[tuple[int, bool, bool], OutcomeLaw] = {}

    def run(
        self,
        at: Setting,
        gap: str = "middle",
        *,
        odds: float = 0.0,
        lost_odds: float = 0.0,
        refits: bool = False,
    ) -> OutcomeLaw:
        """The law of a called run.

        Parameters
        ----------
        gap
            ``middle``, ``guard``, ``tackle`` or ``end``.
        odds
            Added to the log odds of being *stopped* at every yard: negative for a better run.
        lost_odds
            Added to the log odds of a lost fumble.
        """  # fmt: skip
        eta, low = self._run_eta(at, gap, refits)
        law = from_stops(expit(eta + odds))
        gains = np.arange(low, low + law.shape[1])
        values = {"stopped_at": np.clip(gains, -5, 20)}
        eta_lost = self._fits.logit("run fumbled").eta(values, refits=refits) + lost_odds
        lost = expit(eta_lost) * law
        clock = {**at.clock_codes(), "gap_code": GAP_CODES[gap]}
        out = self._fits.logit("ran out of bounds").probability(clock, refits=refits)
        return self._carry(law, lost, low, at, out, refits, "run", RUN_SECONDS)

    def run_law(self, at: Setting, gap: str = "middle", *, odds: float = 0.0) -> tuple[Array, int]:
        """Probability (n,) of net gains and the smallest gain; the last entry scores."""
        eta, low = self._run_eta(at, gap, False)
        return from_stops(expit(eta + odds))[0], low

    def _run_eta(self, at: Setting, gap: str, refits: bool) -> tuple[Array, int]:
        low = self._fits.low("run")
        columns = {
            "gap_code": GAP_CODES[gap],
            "to_go": at.to_go,
            "near": at.near,
            "box_code": at.box or 0,
            YARDS: np.arange(low, at.yards_to_goal),
        }
        eta = self._fits.logit("run").eta(columns, refits=refits)
        if at.box and self._fits.has("run+box"):
            eta = eta + self._fits.logit("run+box").eta(columns, refits=refits)
        return eta, low

    def scramble(self, at: Setting, *, odds: float = 0.0, refits: bool = False) -> OutcomeLaw:
        """The law of a scramble once the quarterback has taken off; ``odds`` as for runs."""
        law, low = self._scramble_law(at, odds, refits)
        values = {"to_go": at.to_go}
        share = self._fits.logit("scramble fumbled").probability(values, refits=refits)
        lost = share[:, None] * law
        out = self._scrambled_out(at, refits)
        return self._carry(law, lost, low, at, out, refits, "scramble", SCRAMBLE_SECONDS)

    def _scrambled_out(self, at: Setting, refits: bool) -> Array:
        """(fits, 1) chance of ending out of bounds; fits without it take that of an outside run."""
        clock = at.clock_codes()
        if self._fits.has("scrambled out of bounds"):
            return self._fits.logit("scrambled out of bounds").probability(clock, refits=refits)
        outside = {**clock, "gap_code": GAP_CODES["end"]}
        return self._fits.logit("ran out of bounds").probability(outside, refits=refits)

    def scramble_law(self, at: Setting, *, odds: float = 0.0) -> tuple[Array, int]:
        """Probability (n,) of net gains and the smallest gain; the last entry scores."""
        law, low = self._scramble_law(at, odds, False)
        return law[0], low

    def _scramble_law(self, at: Setting, odds: float, refits: bool) -> tuple[Array, int]:
        low = self._fits.low("scramble")
        columns = {"to_go": at.to_go, "near": at.near, YARDS: np.arange(low, at.yards_to_goal)}
        eta = self._fits.logit("scramble").eta(columns, refits=refits)
        return from_stops(expit(eta + odds)), low

    def _carry(
        self, law: Array, lost: Array, low: int, at: Setting, out: Array, refits: bool,
        kind: str, seconds: float,
    ) -> OutcomeLaw:  # fmt: skip
        share = lost.sum(1)
        kept = (law - lost) / (1 - share)[:, None]
        fumbled = gain_cells(lost / share[:, None], low, at.yards_to_goal, 0.0)
        return law_of(
            [
                (kind, 1 - share, gain_cells(kept, low, at.yards_to_goal, out)),
                ("fumbled away", share, fumble_cells(self._fits, fumbled, refits)),
            ],
            seconds=seconds,
        )

    def sack(self, at: Setting, *, refits: bool = False) -> OutcomeLaw:
        """The law of a sack that happens: yards lost, the ball lost, a safety."""
        key = at.yards_to_goal, at.gun, refits
        if key not in self._sacks:  # the same for every throw of a snap
            self._sacks[key] = self._sack(at, refits)
        return self._sacks[key]

    def _sack(self, at: Setting, refits: bool) -> OutcomeLaw:
        low = self._fits.low("sack")
        behind = 100 - at.yards_to_goal
        values = {"gun": int(at.gun), "behind": min(behind, 25)}
        columns = {**values, YARDS: np.arange(low, behind)}
        law = from_stops(expit(self._fits.logit("sack").eta(columns, refits=refits)))
        # a law of losses, safety last: turned round it is a law of gains that cannot score
        gains = np.concatenate([law[:, ::-1], np.zeros((len(law), 1))], axis=1)
        cells = gain_cells(_pad(gains, behind, at.yards_to_goal), -behind, at.yards_to_goal, 0.0)
        share = self._fits.logit("sack fumbled").probability(values, refits=refits)
        lost = fumble_cells(self._fits, cells, refits, sacked=True)
        return law_of(
            [("sacked", 1 - share, cells), ("fumbled away", share, lost)], seconds=SACK_SECONDS
        )


def _pad(gains: Array, behind: int, yards_to_goal: int) -> Array:
    """Fill a law of gains -behind..0 up with zeros to the goal line."""
    more = yards_to_goal + behind + 1 - gains.shape[1]
    return np.concatenate([gains[:, :-1], np.zeros((len(gains), more + 1))], axis=1)
