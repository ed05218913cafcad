"""A library speaks of one season's game, and shares what no year moves."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.bundle import Models, load_models
from pointsleft_models.football.rules import rule_set
from pointsleft_models.laws.library import Library
from pointsleft_models.laws.setting import Setting
from pointsleft_models.laws.years import FIRST_SEASON, LAST_SEASON, LAST_YEAR, year_of

THROW = {"air": 12, "third_code": 1, "near": 30, "in_end_zone": 0, "down0": 0}


def catch(library: Library) -> float:
    return float(library.logit("complete").probability(THROW)[0])


def test_the_law_of_a_season_is_the_fit_at_its_year(models: Models) -> None:
    fit = models.library.components["complete"]
    for season in (FIRST_SEASON, 2012, LAST_SEASON):
        columns = {name: np.array([value]) for name, value in THROW.items()}
        eta = fit.eta({**columns, "year": np.array([season - FIRST_SEASON])})[0]
        assert catch(models.library.of(season)) == pytest.approx(1 / (1 + np.exp(-eta)), abs=1e-5)


def test_more_throws_are_caught_in_later_years(models: Models) -> None:
    early, late = (catch(models.library.of(s)) for s in (FIRST_SEASON, LAST_SEASON))
    assert 0.02 < late - early < 0.08


def test_seasons_beyond_the_archive_are_taken_as_its_ends(models: Models) -> None:
    assert [year_of(s) for s in (1999, FIRST_SEASON, LAST_SEASON, 2031)] == [
        0, 0, LAST_YEAR, LAST_YEAR,
    ]  # fmt: skip
    assert catch(models.library.of(2031)) == catch(models.library.of(LAST_SEASON))


def test_without_a_season_the_year_has_to_be_told(models: Models) -> None:
    law = load_models().library.logit("complete")
    with pytest.raises(KeyError, match="year"):
        law.eta(THROW)
    told = float(law.probability({**THROW, "year": LAST_YEAR})[0])
    assert told == pytest.approx(catch(models.library.of(LAST_SEASON)), abs=1e-6)


def test_what_no_year_moves_is_tabulated_once(models: Models) -> None:
    one, other = models.library.of(2010), models.library.of(2018)
    assert one.logit("intercepted") is other.logit("intercepted")
    assert one.logit("complete") is not other.logit("complete")


def test_what_is_cached_across_seasons_does_not_move_with_them(models: Models) -> None:
    """Going is worked out once for all seasons where fourth downs are priced by the thousand."""
    at = Setting(4, 3, 45, 1, 900, 0)
    early, late = (models.under(rule_set("professional", s)).going for s in (2010, 2019))
    assert np.array_equal(early.law(at).weights, late.law(at).weights)
