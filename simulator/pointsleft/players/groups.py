"""Situations by which a player is looked at: dimension -> group of a decision."""

from __future__ import annotations

from collections.abc import Mapping

from pointsleft.pricing.result import Decision

#: Dimensions in the order in which they are shown, and what each says.
DIMENSIONS: Mapping[str, str] = {
    "down": "down",
    "pressure": "whether pressure was logged",
    "shell": "coverage played",
    "side": "side of the field on which the best option lay",
    "depth": "how deep the best option lay",
    "play family": "play family",
    "concept": "concept called",
    "quarter": "quarter",
    "score": "score when the ball was snapped",
}

#: Groups that have an order of their own; others stand by how often they came up.
ORDER = {
    name: at
    for at, name in enumerate(
        (
            "first down", "second down", "third down", "fourth down",
            "no pressure logged", "pressure",
            "left", "middle", "right",
            "behind the line", "0 to 9 yards", "10 to 19 yards", "20 yards and more", "no throw",
            "first quarter", "second quarter", "third quarter", "fourth quarter", "overtime",
            "behind by 9 and more", "behind by 1 to 8", "level", "ahead by 1 to 8",
            "ahead by 9 and more",
        )
    )
}  # fmt: skip

_QUARTERS = ("first quarter", "second quarter", "third quarter", "fourth quarter")

#: Points that one score with its try can bring.
ONE_SCORE = 8


def groups_of(decision: Decision) -> dict[str, str]:
    """The groups of a decision, by dimension; what was not logged is left out.

    Where the best option lay (side and depth) may differ between points and wins, so it is kept
    with each ledger and not here. It is the best option and not the chosen one on purpose: what
    he chose is the decision itself, and a group must not be made by it.
    """
    found = {k: v for k, v in decision.tags.items() if k in (*DIMENSIONS, "field", "clock")}
    period, lead = decision.facts.get("period"), decision.facts.get("lead")
    if isinstance(period, int):
        found["quarter"] = _QUARTERS[period - 1] if 1 <= period <= 4 else "overtime"
    if isinstance(lead, int):
        found["score"] = score_group(lead)
    if decision.concept is not None:
        found["concept"] = decision.concept
    return found


def score_group(lead: int) -> str:
    """The score in words.

    >>> score_group(-9), score_group(0), score_group(8)
    ('behind by 9 and more', 'level', 'ahead by 1 to 8')
    """
    if lead == 0:
        return "level"
    far = abs(lead) > ONE_SCORE
    side = "ahead" if lead > 0 else "behind"
    return f"{side} by {ONE_SCORE + 1} and more" if far else f"{side} by 1 to {ONE_SCORE}"
