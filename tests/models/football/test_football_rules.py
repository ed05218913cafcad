"""Rule sets: each change of era, and what an unknown season is answered with.

Dates come from digests of the rule books.
"""

from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest
from pointsleft_models.football.rules import RuleSet, RuleSetError, rule_set, rule_sets

PRO = range(2009, 2026)
COLLEGE = range(2012, 2026)


def test_every_season_is_there_once() -> None:
    found = [(r.level, r.season) for r in rule_sets()]
    assert sorted(found) == sorted(
        [("professional", s) for s in PRO] + [("college", s) for s in COLLEGE]
    )


@pytest.mark.parametrize(
    ("name", "by_season"),
    [
        ("kickoff_from", {2009: 30, 2010: 30, 2011: 35, 2025: 35}),
        ("touchback", {2010: 20, 2015: 20, 2016: 25, 2023: 25, 2024: 30, 2025: 35}),
        ("touchback_bounced", {2015: 20, 2016: 25, 2023: 25, 2024: 20, 2025: 20}),
        ("punt_touchback", {2009: 20, 2016: 20, 2024: 20, 2025: 20}),
        ("free_kick_from", {2009: 20, 2025: 20}),
        ("extra_point_snap", {2014: 2, 2015: 15, 2025: 15}),
        ("two_point_snap", {2009: 2, 2025: 2}),
        ("defense_scores_on_try", {2014: False, 2015: True}),
        (
            "overtime",
            {2009: "sudden", 2011: "sudden", 2012: "first-touchdown", 2024: "first-touchdown",
             2025: "both-possess"},
        ),
        (
            "playoff_overtime",
            {2009: "sudden", 2010: "first-touchdown", 2021: "first-touchdown",
             2022: "both-possess", 2025: "both-possess"},
        ),
        ("overtime_seconds", {2016: 900, 2017: 600, 2025: 600}),
        ("runoff_window", {2016: 60, 2017: 120}),
        ("two_minute_stop", {2009: True, 2025: True}),
        ("lineman_downfield_yards", {2019: 1}),
    ],
)  # fmt: skip
def test_professional_eras(name: str, by_season: dict[int, object]) -> None:
    for season, value in by_season.items():
        assert getattr(rule_set("professional", season), name) == value, season


@pytest.mark.parametrize(
    ("name", "by_season"),
    [
        ("kickoff_from", {2012: 35, 2025: 35}),
        ("touchback", {2012: 25, 2025: 25}),
        ("extra_point_snap", {2012: 3, 2025: 3}),
        ("two_point_snap", {2012: 3, 2025: 3}),
        ("overtime", {2012: "series", 2025: "series"}),
        ("overtime_spot", {2012: 25, 2025: 25}),
        ("overtime_must_go_for_two_from", {2018: 3, 2020: 3, 2021: 2, 2025: 2}),
        ("overtime_tries_only_from", {2018: None, 2019: 5, 2020: 5, 2021: 3, 2025: 3}),
        ("two_minute_stop", {2023: False, 2024: True}),
        ("first_down_stops_clock", {2022: "yes", 2023: "last two minutes"}),
        ("hash_from_side_feet", {2012: 60.0, 2025: 60.0}),
        ("lineman_downfield_yards", {2019: 3}),
    ],
)
def test_college_eras(name: str, by_season: dict[int, object]) -> None:
    for season, value in by_season.items():
        assert getattr(rule_set("college", season), name) == value, season


@pytest.mark.parametrize("rules", rule_sets(), ids=lambda r: r.name)
def test_every_row_could_be_a_rule_book(rules: RuleSet) -> None:
    assert rules.quarter_seconds == 900
    for spot in (rules.kickoff_from, rules.touchback, rules.touchback_bounced):
        assert 1 <= spot <= 50
    assert rules.touchback_bounced <= rules.touchback
    assert rules.two_point_snap <= rules.extra_point_snap
    assert (rules.overtime == "series") == (rules.overtime_spot is not None)
    assert (rules.overtime == "series") == (rules.overtime_seconds == 0)
    assert 0 < rules.hash_from_side_feet < 80
    assert rules.period_seconds(4) == 900
    assert rules.period_seconds(5) == rules.overtime_seconds


def test_the_newest_when_no_season_is_given() -> None:
    assert rule_set("professional").season == max(PRO)
    assert rule_set("college").season == max(COLLEGE)
    assert rule_set().level == "professional"
    assert rule_set().name == f"professional {max(PRO)}"


@pytest.mark.parametrize("season", [2008, 2026, 1969])
def test_an_unknown_season_lists_what_there_is(season: int) -> None:
    with pytest.raises(RuleSetError, match=f"season {season}; there is 2009 to 2025"):
        rule_set("professional", season)


def test_an_unknown_level_lists_what_there_is() -> None:
    with pytest.raises(RuleSetError, match="level 'sandlot'; there is college and professional"):
        rule_set("sandlot", 2019)


def test_rules_do_not_change_under_anybody() -> None:
    with pytest.raises(FrozenInstanceError):
        rule_set().touchback = 1  # type: ignore[misc]
