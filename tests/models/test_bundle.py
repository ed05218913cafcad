"""The bundle of fits: what is shipped, what is refused, what a rule set changes."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest
from pointsleft_models.bundle import (
    FAMILIES,
    LAW_FAMILIES,
    SPREAD,
    Models,
    load_models,
    load_worth,
    shipped_folder,
    shipped_levels,
)
from pointsleft_models.fitting.store import StoreError, load_fit, save_fit
from pointsleft_models.football.rules import RuleSetError, rule_set
from pointsleft_models.values.states import states


@pytest.fixture
def copied(tmp_path: Path) -> Path:
    return Path(shutil.copytree(shipped_folder("professional"), tmp_path / "fits"))


def test_every_family_is_shipped_and_fitted_on_the_same_resamples(models: Models) -> None:
    assert "professional" in shipped_levels()
    assert set(models.fits) == {*FAMILIES, SPREAD}
    cards = [fit.card for fit in models.fits.values()]
    assert {c.refits for c in cards} == {models.refits}
    assert models.refits >= 40
    assert len({c.scheme for c in cards}) == 1
    assert {c.level for c in cards} == {"professional"}


def test_a_folder_of_fits_is_the_same_as_the_shipped_ones(models: Models, copied: Path) -> None:
    again = load_models("professional", copied)
    assert {n: f.digest for n, f in again.fits.items()} == {
        n: f.digest for n, f in models.fits.items()
    }


@pytest.mark.parametrize("family", ["wins", "next-score", "kicking"])
def test_a_family_that_is_missing_is_named(copied: Path, family: str) -> None:
    for path in copied.glob(f"{family}.*"):
        path.unlink()
    with pytest.raises(StoreError, match=family):
        load_models("professional", copied)


def test_a_spread_is_no_part_of_every_level(copied: Path) -> None:
    college = load_models("college")
    assert SPREAD not in college.fits
    assert college.favoured is None
    for path in copied.glob("spread.*"):
        path.unlink()
    assert load_models("professional", copied).favoured is None


def test_a_spread_made_on_other_wins_is_refused(copied: Path) -> None:
    wins = load_fit(copied, "wins")
    moved = {name: values + np.float32(0.01) for name, values in wins.arrays.items()}
    save_fit(copied, wins.card, moved)
    with pytest.raises(StoreError, match="was made on other wins"):
        load_models("professional", copied)


def test_arrays_of_another_family_are_found_out(copied: Path) -> None:
    shutil.copy(copied / "going.npz", copied / "wins.npz")
    with pytest.raises(StoreError, match="wins"):
        load_models("professional", copied)


def test_a_level_or_season_that_is_not_there_lists_those_that_are(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match=r"'prep' \(shipped: .*professional"):
        load_models("prep")
    with pytest.raises(StoreError, match="pointsleft fit"):
        load_models("professional", tmp_path / "nothing")
    with pytest.raises(RuleSetError, match="2009 to 2025"):
        load_worth("professional", 1950)


def test_no_component_is_in_two_families(models: Models) -> None:
    from pointsleft_models.fitting.read import components_of

    names = [name for family in LAW_FAMILIES for name in components_of(models.fits[family])]
    assert len(names) == len(set(names))
    assert set(models.library.components) == set(names)


def test_a_rule_set_moves_what_rests_on_it_and_nothing_else(models: Models) -> None:
    """One fit under three eras: the kickoff and the try move, throws and runs do not."""
    eras = [models.under(rule_set("professional", season)) for season in (2010, 2014, 2019)]
    tries = [worth.points.try_points for worth in eras]
    assert tries[0] == tries[1] > tries[2]
    receiving = [float(worth.points.receiving(np.array([1500]))[0]) for worth in eras]
    assert receiving[0] > receiving[1]  # from the 30, fewer touchbacks
    at = states(yards_to_goal=[75, 40, 5])
    points = [worth.points.points(at) for worth in eras]
    assert not np.allclose(points[0], points[2])
    assert len({worth.two_point for worth in eras}) == 1
    assert all(worth.models is models for worth in eras)


def test_refits_of_points_and_wins_come_in_the_same_number(models: Models) -> None:
    worth = models.under(rule_set("professional", 2019))
    at = states(yards_to_goal=[60, 20])
    assert worth.points.points_all(at).shape == (1 + models.refits, 2)
    assert worth.wins.wins_all(at).shape == (1 + models.refits, 2)
