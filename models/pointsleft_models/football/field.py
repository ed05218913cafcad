"""The field to scale: widths and lengths in yards."""

from __future__ import annotations

import math

from pointsleft_models.football.rules import RuleSet

#: Width of the field, rule book: 160 feet.
WIDTH = 160 / 3

#: Depth of an end zone.
END_ZONE = 10

#: Yards added to yards to goal for the length of a kick: end zone and hold
#: (common practice, no source).
KICK_EXTRA = 18

#: Where the middle of each third lies across the field, yards from the left side line.
THIRD_CENTRE = {"left": WIDTH / 6, "middle": WIDTH / 2, "right": 5 * WIDTH / 6}


def hash_offset(rules: RuleSet, hash_mark: str | None) -> float:
    """Yards from the left side line to the ball on a hash mark (middle when unknown)."""
    edge = rules.hash_from_side_feet / 3
    return {"left": edge, "right": WIDTH - edge}.get(hash_mark or "middle", WIDTH / 2)


def boundary_width(rules: RuleSet) -> float:
    """Yards between a ball on the hash mark and the near side line (the boundary)."""
    return rules.hash_from_side_feet / 3


def flight_distance(rules: RuleSet, hash_mark: str | None, across: float, depth: float) -> float:
    """Yards the ball flies from the passer to a spot.

    Parameters
    ----------
    across
        Target, yards from the left side line.
    depth
        Yards from the passer to the target, up the field (air yards plus the drop).
    """
    return math.hypot(across - hash_offset(rules, hash_mark), depth)
