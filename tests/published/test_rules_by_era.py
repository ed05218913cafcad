"""Rules by era, from digests of the rule books (each to be confirmed against the year's book).

The two rules about out of bounds and the clock are from memory.
"""

from __future__ import annotations

import polars as pl
import pytest
from pointsleft_models.football.field import WIDTH, boundary_width
from pointsleft_models.football.rules import rule_set, rule_sets

PRO = range(2009, 2026)
COLLEGE = range(2012, 2026)


def pro(season: int) -> object:
    return rule_set("professional", season)


def college(season: int) -> object:
    return rule_set("college", season)


def expect(rules: object, name: str, value: object) -> None:
    assert getattr(rules, name) == value, (getattr(rules, "name", ""), name)


@pytest.mark.parametrize("season", PRO)
def test_professional_kicks_and_tries(season: int) -> None:
    """Kickoff from the 35 since 2011 (30 before); touchback 20 to 2015, 25 from 2016, 30 in
    2024, 35 in 2025, where a ball that bounced in still comes out to the 20; extra point from
    the 2 to 2014 and the 15 from 2015, when the defense may score too."""
    rules = pro(season)
    expect(rules, "kickoff_from", 35 if season >= 2011 else 30)
    touchback = 20 if season <= 2015 else 25 if season <= 2023 else 30 if season == 2024 else 35
    expect(rules, "touchback", touchback)
    expect(rules, "touchback_bounced", 20 if season >= 2024 else touchback)
    expect(rules, "punt_touchback", 20)
    expect(rules, "extra_point_snap", 15 if season >= 2015 else 2)
    expect(rules, "two_point_snap", 2)
    expect(rules, "defense_scores_on_try", season >= 2015)


@pytest.mark.parametrize("season", PRO)
def test_professional_overtime_and_clock(season: int) -> None:
    """Modified overtime in the play-offs of 2010 and in all games from 2012; ten minutes from
    2017 (regular season); both sides possess in the play-offs of 2022 and always in 2025.
    Ten-second runoff after the two-minute warning from 2017, in the last minute before."""
    rules = pro(season)
    regular = (
        "both-possess" if season >= 2025 else "first-touchdown" if season >= 2012 else "sudden"
    )
    playoff = (
        "both-possess" if season >= 2022 else "first-touchdown" if season >= 2010 else "sudden"
    )
    expect(rules, "overtime", regular)
    expect(rules, "playoff_overtime", playoff)
    expect(rules, "overtime_seconds", 600 if season >= 2017 else 900)
    expect(rules, "two_minute_stop", True)
    expect(rules, "runoff_seconds", 10)
    expect(rules, "runoff_window", 120 if season >= 2017 else 60)
    expect(rules, "first_down_stops_clock", "no")
    expect(rules, "out_of_bounds_stop_first_half", 120)
    expect(rules, "out_of_bounds_stop_second_half", 300)
    expect(rules, "lineman_downfield_yards", 1)


@pytest.mark.parametrize("season", COLLEGE)
def test_college(season: int) -> None:
    """Kickoff 35, touchback 25 (from 2012), tries from the 3, clock stopped at first downs until
    2023 and then in the last two minutes only; a two-minute time-out from 2024; overtime from
    the 25, two-point tries obligatory from the second period and two-point plays alone from the
    third since 2021."""
    rules = college(season)
    expect(rules, "kickoff_from", 35)
    expect(rules, "touchback", 25)
    expect(rules, "two_point_snap", 3)
    expect(rules, "extra_point_snap", 3)
    expect(rules, "first_down_stops_clock", "yes" if season < 2023 else "last two minutes")
    expect(rules, "two_minute_stop", season >= 2024)
    expect(rules, "overtime", "series")
    expect(rules, "overtime_spot", 25)
    if season >= 2021:
        expect(rules, "overtime_must_go_for_two_from", 2)
        expect(rules, "overtime_tries_only_from", 3)
    else:
        expect(rules, "overtime_must_go_for_two_from", 3)
    expect(rules, "lineman_downfield_yards", 3)


def test_the_field() -> None:
    """160 feet wide; hash marks 70 ft 9 in from the side line and 18 ft 6 in apart, in college
    60 ft and 40 ft."""
    assert pytest.approx(160 / 3) == WIDTH
    for level, side, apart in (("professional", 70.75, 18.5), ("college", 60.0, 40.0)):
        rules = rule_set(level)
        assert rules.hash_from_side_feet == side
        assert 160 - 2 * side == pytest.approx(apart)
        assert boundary_width(rules) == pytest.approx(side / 3)


def test_every_season_is_there_once() -> None:
    seasons = [(rules.level, rules.season) for rules in rule_sets()]
    assert len(set(seasons)) == len(seasons)
    assert {s for level, s in seasons if level == "professional"} >= set(PRO)
    assert {s for level, s in seasons if level == "college"} >= set(COLLEGE)


@pytest.mark.archive
def test_the_archive_plays_by_these_rules(archive: pl.DataFrame) -> None:
    """Where kickoffs were taken, where drives after touchbacks began, how long an extra point
    was and how long an overtime may last, season by season (measured)."""
    kicks = archive.filter((pl.col("kind") == "kickoff") & ~pl.col("no_play"))
    points = archive.filter((pl.col("kind") == "extra point") & ~pl.col("no_play"))
    overtime = archive.filter((pl.col("period") == 5) & (pl.col("stage") == "regular"))
    for season in range(2009, 2020):
        rules = rule_set("professional", season)
        here = kicks.filter(pl.col("season") == season)
        assert 100 - here["yards_to_goal"].mode()[0] == rules.kickoff_from, season
        downed = here.filter(pl.col("kick_result") == "touchback")
        assert 100 - downed["next_yards_to_goal"].mode()[0] == rules.touchback, season
        made = points.filter(pl.col("season") == season)["kick_result"] == "good"
        assert (made.mean() > 0.97) == (rules.extra_point_snap == 2), season
        longest = overtime.filter(pl.col("season") == season)["clock"].max()
        assert longest == rules.overtime_seconds, season
