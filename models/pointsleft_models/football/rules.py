"""Rule sets as data: one row a level and season in ``rules.csv``.

Sources: digests of the professional and college rule books (kickoff, touchback, try and
overtime changes), each to be confirmed against the year's book; rows marked "from memory"
in ``docs/rule-sets.md`` were not looked up.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass, fields
from functools import cache
from importlib.resources import files
from typing import Literal

Level = Literal["professional", "college"]
Overtime = Literal["sudden", "first-touchdown", "both-possess", "series"]


class RuleSetError(ValueError):
    """No such rule set; the message lists those there are."""


@dataclass(frozen=True, slots=True)
class RuleSet:
    """The rules that move a value: spots in yards from the own goal line, times in seconds.

    Attributes
    ----------
    kickoff_from
        Own yard line of the kickoff.
    touchback, touchback_bounced
        Own yard line after a kickoff touchback; the second where the ball touched the field
        before the end zone.
    free_kick_from
        Own yard line of the free kick after a safety.
    punt_touchback
        Own yard line after a touchback of any kind but a kickoff.
    extra_point_snap, two_point_snap
        Yards to goal of the snap of either try.
    overtime, playoff_overtime
        ``sudden``: next score wins. ``first-touchdown``: a touchdown on the first possession
        wins, a field goal is answered. ``both-possess``: either side has the ball once.
        ``series``: alternating series from ``overtime_spot``.
    out_of_bounds_stop_first_half, out_of_bounds_stop_second_half
        Last seconds of the half in which the clock stays stopped after a runner goes out.
    """

    level: Level
    season: int
    quarter_seconds: int
    kickoff_from: int
    touchback: int
    touchback_bounced: int
    free_kick_from: int
    punt_touchback: int
    extra_point_snap: int
    two_point_snap: int
    defense_scores_on_try: bool
    overtime: Overtime
    playoff_overtime: Overtime
    overtime_seconds: int
    overtime_spot: int | None
    overtime_must_go_for_two_from: int | None
    overtime_tries_only_from: int | None
    two_minute_stop: bool
    first_down_stops_clock: str
    out_of_bounds_stop_first_half: int
    out_of_bounds_stop_second_half: int
    runoff_seconds: int
    runoff_window: int
    hash_from_side_feet: float
    lineman_downfield_yards: int

    @property
    def name(self) -> str:
        return f"{self.level} {self.season}"

    def period_seconds(self, period: int) -> int:
        """Length of a period in seconds."""
        return self.quarter_seconds if period <= 4 else self.overtime_seconds


def _read(value: str, kind: str) -> object:
    if value == "":
        return None
    if kind.startswith("int"):
        return int(value)
    if kind == "float":
        return float(value)
    if kind == "bool":
        return value == "yes"
    return value


@cache
def _table() -> dict[tuple[str, int], RuleSet]:
    text = files(__package__).joinpath("rules.csv").read_text(encoding="utf-8")
    kinds = {f.name: str(f.type) for f in fields(RuleSet)}
    sets: dict[tuple[str, int], RuleSet] = {}
    for row in csv.DictReader(text.splitlines()):
        values = {name: _read(value, kinds[name]) for name, value in row.items()}
        rules = RuleSet(**values)  # type: ignore[arg-type]
        sets[rules.level, rules.season] = rules
    return sets


def rule_sets() -> tuple[RuleSet, ...]:
    """Every rule set there is, by level and season."""
    return tuple(_table().values())


def rule_set(level: str = "professional", season: int | None = None) -> RuleSet:
    """The rule set of a level and season; the newest when no season is given.

    >>> rule_set("professional", 2014).touchback, rule_set("professional", 2016).touchback
    (20, 25)

    Raises
    ------
    RuleSetError
        When the table has no such row.
    """
    table = _table()
    levels = sorted({key[0] for key in table})
    if level not in levels:
        raise RuleSetError(f"no rule set for level {level!r}; there is {' and '.join(levels)}")
    seasons = sorted(key[1] for key in table if key[0] == level)
    wanted = seasons[-1] if season is None else season
    if (level, wanted) not in table:
        raise RuleSetError(
            f"no {level} rule set for season {wanted}; there is {seasons[0]} to {seasons[-1]}"
        )
    return table[level, wanted]
