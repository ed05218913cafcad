"""How far the ball flies: a throw across the field is longer than its air yards.

The fitted laws know air yards and the third of the field, since play-by-play has no hash mark.
What the hash adds is geometry, and what a yard of it costs is a judgement.
"""

from __future__ import annotations

from pointsleft_models.football.field import THIRD_CENTRE, flight_distance
from pointsleft_models.football.rules import RuleSet

from pointsleft.pricing.judgement_table import judged

#: The row of the table of judgements.
CODE = "flight.yard"


def extra_flight(rules: RuleSet, hash_mark: str | None, third: str | None, depth: float) -> float:
    """Yards by which the ball flies farther than it would from the middle of the field.

    Parameters
    ----------
    hash_mark
        Where the ball was snapped; unknown counts as the middle, and so adds nothing.
    third
        Third of the field thrown to.
    depth
        Yards up the field from the passer to the target.
    """
    across = THIRD_CENTRE[third or "middle"]
    return flight_distance(rules, hash_mark, across, depth) - flight_distance(
        rules, "middle", across, depth
    )


def flight_odds(extra: float) -> tuple[float, float, float]:
    """Move of the log odds of a catch for so many yards more: low, value, high."""
    row = judged(CODE)
    low, high = sorted((row.low * extra, row.high * extra))
    return low, row.value * extra, high
