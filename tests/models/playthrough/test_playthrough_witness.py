"""The second witness: one situation played out to the next score and to the end."""

from __future__ import annotations

import pytest
from pointsleft_models.bundle import Models
from pointsleft_models.football.rules import rule_set
from pointsleft_models.football.situation import Situation
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.start import Opening
from pointsleft_models.playthrough.teams import Teams
from pointsleft_models.playthrough.witness import second_witness
from pointsleft_models.values.points import ExpectedPoints

RULES = rule_set("professional", 2016)

LAST_KICK = Situation(4, 2, 4, 5, 20, -2, RULES)
LATE = Situation(4, 45, 1, 10, 40, -4, RULES, own_timeouts=0)


@pytest.fixture(scope="module")
def points(models: Models) -> ExpectedPoints:
    return models.under(RULES).points


def test_a_last_kick_wins_as_often_as_its_law_is_good(
    parts: Parts, teams: Teams, points: ExpectedPoints, models: Models
) -> None:
    """Behind by two with two seconds left the kick is the game; the law is that of the kicks."""
    seen = second_witness(
        parts, teams, points, LAST_KICK, games=6000, opening=Opening(call="field goal")
    )
    assert seen.wins is not None
    assert seen.wins_error is not None
    law = float(models.under(RULES).kicking.make_chance(38)[0])
    assert seen.wins == pytest.approx(law, abs=4 * seen.wins_error)


def test_the_clock_is_that_at_the_snap(parts: Parts, teams: Teams, points: ExpectedPoints) -> None:
    """A clock that runs at the snap has run already: no wait is drawn before it."""
    still, runs = (
        second_witness(parts, teams, points, LATE.with_(clock_running=r), games=2000, seed=3)
        for r in (False, True)
    )
    assert still.wins == runs.wins
    assert still.points == runs.points


def test_a_seed_of_several_numbers_is_another_run(
    parts: Parts, teams: Teams, points: ExpectedPoints
) -> None:
    one, same, other = (
        second_witness(parts, teams, points, LATE, games=500, seed=seed)
        for seed in ([5, 1], [5, 1], [5, 2])
    )
    assert one.wins == same.wins
    assert one.chances.tolist() != other.chances.tolist()


def test_without_clock_and_score_there_are_points_only(
    parts: Parts, teams: Teams, points: ExpectedPoints
) -> None:
    seen = second_witness(parts, teams, points, Situation(1, None, 1, 10, 60, None, RULES),
                          games=300, seconds=1200)  # fmt: skip
    assert seen.points is not None
    assert seen.wins is None
