"""Where a drive starts after a kickoff, under any rule set."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YardageLaw
from pointsleft_models.football.rules import RuleSet

Array = np.ndarray

#: Own yard line after a free kick that is not run back (rule books).
FREE_KICK_TOUCHBACK = 20

#: Kicking spot and touchback spot -> code in the fits.
ERAS: dict[tuple[int, int], int] = {(30, 20): 1, (35, 20): 2, (35, 25): 3}
FREE_KICK = 4

#: Rule sets with no season in the archive: (kicked from, touchback) -> (code borrowed, share of
#: touchbacks, yards added to a returned start). From memory; see docs/judgements.md.
BORROWED: dict[tuple[int, int], tuple[int, float, int]] = {
    (35, 30): (3, 0.64, 4),
    (35, 35): (3, 0.20, 5),
}

#: Seconds that a returned kick takes off the clock (common practice, no source).
RETURN_SECONDS = 5


@dataclass(frozen=True, slots=True)
class Starts:
    """Where the receiving team starts.

    Attributes
    ----------
    probability
        (99,) chance of a start at own yard line 1 to 99.
    returned
        Chance that the return scores.
    kept
        Chance that the kicking team has the ball (at the spot ``kept_at``, its own yards to
        goal).
    """

    probability: Array
    returned: float
    kept: float
    kept_at: int = 25


@dataclass(frozen=True)
class KickoffLaw:
    """Fitted touchbacks, returns and lost returns."""

    touchback: FittedLogit
    kept: FittedLogit
    start: YardageLaw

    def starts(self, rules: RuleSet, *, free_kick: bool = False, refit: int = 0) -> Starts:
        """The law of the start of the next drive.

        Parameters
        ----------
        free_kick
            After a safety instead of a kickoff.
        refit
            0 for the point fit, r for the r-th refit.
        """
        spot = FREE_KICK_TOUCHBACK if free_kick else rules.touchback
        code, share, added = self._code(rules, free_kick)
        columns: Mapping[str, Array] = {"era": np.array([code])}

        def at(logit: FittedLogit) -> float:
            b = logit.stacked()[refit]
            return float(expit(logit.basis.design(columns, float) @ b)[0])

        touchback = at(self.touchback) if share is None else share
        kept = at(self.kept)
        returns = self._returns(code, refit)
        if added:
            moved = np.zeros_like(returns)
            moved[added:] = returns[:-added]
            moved[-1] += returns[-added:].sum()
            returns = moved
        probability = (1 - kept) * (1 - touchback) * returns[:99]
        probability[spot - 1] += (1 - kept) * touchback
        return Starts(probability, float((1 - kept) * (1 - touchback) * returns[99:].sum()), kept)

    def _returns(self, code: int, refit: int) -> Array:
        law = self.start.law({"era": code}, 100, all_refits=refit > 0)
        return law[refit] if refit > 0 else law

    def _code(self, rules: RuleSet, free_kick: bool) -> tuple[int, float | None, int]:
        if free_kick:
            return FREE_KICK, None, 0
        key = (rules.kickoff_from, rules.touchback)
        if key in ERAS:
            return ERAS[key], None, 0
        if key in BORROWED:
            return BORROWED[key]
        raise ValueError(
            f"no kickoff law for a kick from the {key[0]} with touchbacks at the {key[1]}; "
            "add the pair to ERAS or BORROWED in pointsleft_models.laws.kickoff"
        )
