"""The rule set of a season of a play table."""

from __future__ import annotations

from pointsleft_models.football.rules import RuleSet, rule_set, rule_sets


def rules_of(level: str, season: int) -> RuleSet:
    """The rules of a season; the nearest there are where the season has none."""
    known = [r.season for r in rule_sets() if r.level == level]
    if not known:
        return rule_set(level)  # says which levels there are
    return rule_set(level, min(max(season, min(known)), max(known)))
