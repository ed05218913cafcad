"""Stretching the clock of a snap, and the pace of rules."""

from __future__ import annotations

from dataclasses import replace

import polars as pl
import pytest
from pointsleft_models.bench.coverage_football import league_parts
from pointsleft_models.bench.pace import pace_of, pace_study, stretched
from pointsleft_models.bench.simulated_league import simulated_league
from pointsleft_models.bundle import Models
from pointsleft_models.football.rules import rule_set
from pointsleft_models.values.states import states

FITS, COLLEGE = rule_set("professional", 2016), rule_set("college", 2016)


def test_no_half_is_longer_than_a_half() -> None:
    assert stretched(states(half_seconds=[0, 100, 1700]), 1.12).half_seconds.tolist() == [
        0,
        112,
        1800,
    ]


def test_the_clock_of_college_rules_leaves_more_snaps() -> None:
    """One stop in five snaps, of ten seconds; two of twenty-five are eight in a hundred."""
    assert 1.03 < pace_of(COLLEGE, FITS, 1500) < 1.15
    assert pace_of(FITS, FITS, 200) == 1
    silent = replace(COLLEGE, first_down_stops_clock="no")  # control: the stop is what does it
    assert pace_of(silent, FITS, 1500) < 1.03


def test_a_pace_that_is_not_there_is_seen(models: Models) -> None:
    """Games under the rules of the fits: no pace helps, and a wide one harms."""
    plays = simulated_league(league_parts(), 250, 5).with_columns(
        pl.col("game").cast(pl.String), season=pl.lit(2016)
    )
    found = pace_study(plays, models, FITS, FITS, 20)
    assert found.of_the_rules == 1
    assert found.rows == pytest.approx(250 * 130, rel=0.15)
    last = found.paced[-1]
    assert last.wins.value > 0
    assert last.next_score.value > found.paced[0].next_score.value
    assert 0 < found.paced[0].wins_moved < last.wins_moved < 0.05
