"""How a log is priced: draws, seed, and what is worked out."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PriceSettings:
    """Settings of a pricing run.

    Attributes
    ----------
    draws
        Draws of chosen and best for each decision's outcome spread.
    judgement_draws
        Joint draws of the analyst's judgements.
    seed
        Entropy of every draw.
    refits
        Whether the model spread is worked out.
    """

    draws: int = 10_000
    judgement_draws: int = 500
    seed: int = 1
    refits: bool = True


#: Share of refits from which a verdict is firm, and from which it is slight.
FIRM, SLIGHT = 0.90, 0.70

#: Central interval reported.
LOW, HIGH = 0.05, 0.95

#: Standard deviations from the middle of a normal to the ends of that interval.
Z90 = 1.6449
