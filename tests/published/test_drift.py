"""Values against themselves: no drift over the archive, and laws worth what situations are."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np
import polars as pl
import pytest
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.checks.called_plays import CalledPlays, called_plays
from pointsleft_models.checks.drift import drift
from pointsleft_models.football.rules import rule_set
from pointsleft_models.laws.passing import ThrowParts

Under = Callable[[int], Worth]

pytestmark = pytest.mark.archive

DISTANCES = {"1 to 3": (1, 3), "4 to 6": (4, 6), "7 to 10": (7, 10), "11 and more": (11, 40)}


@pytest.fixture(scope="module")
def drifted(archive: pl.DataFrame, models: Models) -> pl.DataFrame:
    return drift(models, archive)


@pytest.fixture(scope="module")
def under(models: Models) -> Under:
    """Values and laws of a season, made once."""
    return cache(lambda season: models.under(rule_set("professional", season)))


def mean_step(rows: pl.DataFrame) -> float:
    return float((rows["after"] - rows["before"]).to_numpy().mean())


def test_points_do_not_drift(drifted: pl.DataFrame) -> None:
    """V(next) - V(now) averages to 0 within .02 over the archive."""
    assert len(drifted) > 400_000
    assert abs(mean_step(drifted)) < 0.02


def test_points_do_not_drift_in_any_season(drifted: pl.DataFrame) -> None:
    """Under its own rules every season stays within .05; a wrong kickoff would show here."""
    for (season,), rows in drifted.group_by("season"):
        assert abs(mean_step(rows)) < 0.05, season


def test_a_forgotten_kickoff_would_be_seen(drifted: pl.DataFrame, models: Models) -> None:
    """The same sum with scores counted gross drifts by more than is allowed."""
    k = float(models.under(rule_set("professional", 2016)).points.receiving(np.array([900]))[0])
    scored = pl.col("points_offense").is_in([3, 6]).cast(pl.Float64)
    gross = drifted.with_columns(after=pl.col("after") + k * scored)
    assert abs(mean_step(gross)) > 0.02


def groups(drifted: pl.DataFrame, down: int) -> dict[str, pl.DataFrame]:
    """Distance groups of a down with at least 10,000 plays."""
    rows = drifted.filter(pl.col("down") == down)
    split = {n: rows.filter(pl.col("distance").is_between(*ends)) for n, ends in DISTANCES.items()}
    return {name: group for name, group in split.items() if len(group) >= 10_000}


#: The group that is off by more than the rest; see its own test.
SECOND_AND_LONG = 2, "11 and more"


def by_distance(under: Under, rows: pl.DataFrame, what: str) -> CalledPlays:
    found = called_plays(under, rows, np.random.default_rng(20260), draws=1500)
    print(f"{what}: {found}")
    assert found.error < 0.01
    return found


@pytest.mark.parametrize("down", [1, 2, 3])
def test_called_plays_are_worth_their_situations(
    drifted: pl.DataFrame, under: Under, down: int
) -> None:
    """The laws, mixed as teams call them, average to V(situation) within .05 by down."""
    rows = drifted.filter(pl.col("down") == down)
    found = called_plays(under, rows, np.random.default_rng(20260), draws=900)
    print(f"down {down}: {found}")
    assert found.error < 0.02
    assert abs(found.gap) < 0.05


@pytest.mark.parametrize("down", [1, 2, 3])
def test_called_plays_are_worth_their_situations_by_distance(
    drifted: pl.DataFrame, under: Under, down: int
) -> None:
    """And by distance, in groups of 10,000 plays and more.

    On third and eleven or more the situation is worth more than any call: one play in nine is
    a flag, mostly on the defense and mostly a first down, and no law of a call has it. There
    the sum with the flags must hold.
    """
    for name, rows in groups(drifted, down).items():
        if (down, name) == SECOND_AND_LONG:
            continue
        found = by_distance(under, rows, f"down {down}, {name}")
        long = (down, name) == (3, "11 and more")
        assert abs(found.with_flags if long else found.gap) < 0.05, name


@pytest.mark.xfail(strict=True, reason="second and eleven or more: calls .053 +- .006 above V")
def test_called_plays_are_worth_their_situations_on_second_and_long(
    drifted: pl.DataFrame, under: Under
) -> None:
    down, name = SECOND_AND_LONG
    found = by_distance(under, groups(drifted, down)[name], f"down {down}, {name}")
    assert abs(found.gap) < 0.05


def test_called_plays_notice_a_law_that_is_too_good(
    drifted: pl.DataFrame, under: Under, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every throw caught a little more often: first and ten would show it."""
    honest = ThrowParts.weights
    monkeypatch.setattr(
        ThrowParts, "weights", lambda self, odds=0.0, pick=0.0: honest(self, odds + 0.5, pick)
    )
    rows = groups(drifted, 1)["7 to 10"]
    assert abs(called_plays(under, rows, np.random.default_rng(20260)).gap) > 0.05
