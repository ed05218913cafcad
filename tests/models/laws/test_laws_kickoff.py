"""Starts after a kick, under each era's rules; and components that are not there."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from pointsleft_models.bundle import Worth
from pointsleft_models.football.rules import RuleSet, rule_set, rule_sets
from pointsleft_models.football.situation import Situation
from pointsleft_models.laws.library import LawError
from pointsleft_models.laws.setting import Setting, setting_of


def share_at(worth: Worth, rules: RuleSet, line: int) -> float:
    return float(worth.points.kickoff.starts(rules).probability[line - 1])


@pytest.mark.parametrize("rules", rule_sets(), ids=lambda r: r.name)
def test_every_rule_set_has_a_proper_law_of_starts(worth: Worth, rules: RuleSet) -> None:
    for free_kick in (False, True):
        starts = worth.points.kickoff.starts(rules, free_kick=free_kick)
        total = starts.probability.sum() + starts.returned + starts.kept
        assert total == pytest.approx(1, abs=1e-9)
        assert starts.probability.min() >= 0
        assert 0 < starts.returned < 0.02
        assert 0 <= starts.kept < 0.06


@pytest.mark.parametrize(
    ("season", "line"), [(2010, 20), (2014, 20), (2019, 25), (2024, 30), (2025, 35)]
)
def test_touchbacks_come_out_where_the_rules_say(worth: Worth, season: int, line: int) -> None:
    rules = rule_set("professional", season)
    here = share_at(worth, rules, line)
    others = [share_at(worth, rules, at) for at in (20, 25, 30, 35) if at != line]
    assert here > 0.1
    assert here > 1.5 * max(others)


def test_the_kick_from_the_35_brought_touchbacks(worth: Worth) -> None:
    assert share_at(worth, rule_set("professional", 2011), 20) > 2 * share_at(
        worth, rule_set("professional", 2010), 20
    )


def test_a_pair_of_spots_without_a_law_says_what_to_do(worth: Worth) -> None:
    odd = replace(rule_set("professional", 2019), kickoff_from=40)
    with pytest.raises(
        ValueError, match="kick from the 40 with touchbacks at the 25; add the pair"
    ):
        worth.points.kickoff.starts(odd)


def test_each_refit_has_its_own_starts(worth: Worth) -> None:
    laws = [worth.points.kickoff.starts(worth.rules, refit=r).probability for r in range(5)]
    assert len({law.tobytes() for law in laws}) == 5
    assert np.std([law[24] for law in laws]) > 1e-5


def test_a_component_that_is_not_there_is_named(worth: Worth) -> None:
    library = worth.models.library
    with pytest.raises(LawError, match=r"no component 'tide'; there is .*fit --participation"):
        library.logit("tide")
    with pytest.raises(LawError, match="'two-point' is no law of yards"):
        library.low("two-point")
    assert not library.has("tide")
    assert library.has("run")


def test_a_setting_is_the_situation_as_the_laws_see_it() -> None:
    rules = rule_set("professional", 2019)
    known = Situation(2, 77, 3, 12, 40, -3, rules)
    assert setting_of(known, gun=False, box=7) == Setting(3, 12, 40, 1, 77, -3, False, 7)
    unknown = setting_of(Situation(3, None, 1, 30, 80, None, rules))
    assert (unknown.half, unknown.lead, unknown.half_seconds) == (2, 0, 900)
    assert (unknown.to_go, unknown.near) == (20, 30)
    overtime = setting_of(Situation(5, 300, 1, 10, 80, 0, rules))
    assert (overtime.half, overtime.half_seconds) == (2, 300)
    assert setting_of(known).clock_codes() == {"late": 77, "state": 1, "half0": 0}
