"""Expected points: look-ups are the fit, scores are worth what the rules give, the half ends."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.rules import rule_set
from pointsleft_models.football.situation import Situation
from pointsleft_models.values.at_least import LATE
from pointsleft_models.values.next_score import CLASSES, QUESTIONS, class_probabilities
from pointsleft_models.values.states import States, state_of, states
from value_states import random_states

Array = np.ndarray

#: Look-up tables are kept in single precision.
SINGLE = 5e-5


def direct(worth: Worth, at: States, refit: int = 0) -> Array:
    """Class chances straight from bases and coefficients."""
    questions = worth.points.next_score.questions
    answers = {q: questions[q].only(refit).probability(at.columns()) for q in QUESTIONS}
    return class_probabilities(answers)


def test_classes_of_a_tree_of_answers() -> None:
    """A touchdown of ours? Failing that, another score of ours? Failing both, one of theirs?"""
    answers = {
        q: np.array([p]) for q, p in zip(QUESTIONS, (0.3, 0.4, 0.7, 0.5, 0.9, 0.6), strict=True)
    }
    found = dict(zip(CLASSES, class_probabilities(answers)[0], strict=True))
    assert found == pytest.approx(
        {
            "none": 0.7 * 0.6 * 0.3,
            "touchdown": 0.3,
            "field goal": 0.7 * 0.4 * 0.9,
            "safety": 0.7 * 0.4 * 0.1,
            "touchdown against": 0.7 * 0.6 * 0.7 * 0.5,
            "field goal against": 0.7 * 0.6 * 0.7 * 0.5 * 0.6,
            "safety against": 0.7 * 0.6 * 0.7 * 0.5 * 0.4,
        }
    )


def test_looking_up_is_evaluating_the_basis(worth: Worth) -> None:
    at = random_states(400)
    chances = worth.points.next_score.probabilities(at)
    assert chances == pytest.approx(direct(worth, at), abs=SINGLE)
    assert chances.sum(1) == pytest.approx(1, abs=1e-5)
    assert chances.min() >= 0


def test_every_refit_is_a_fit_of_its_own(worth: Worth) -> None:
    at, refits = random_states(60, 1), worth.points.refits
    every = worth.points.next_score.probabilities_all(at)
    assert every.shape == (1 + refits, 60, 7)
    for refit in (0, 1, refits):
        assert every[refit] == pytest.approx(direct(worth, at, refit), abs=SINGLE)
    assert len(np.unique(every[:, 0], axis=0)) == 1 + refits


def test_both_is_as_it_is_and_with_the_score_level(worth: Worth) -> None:
    at, model = random_states(80, 2), worth.points.next_score
    as_is, level = model.both(at)
    assert as_is == pytest.approx(model.probabilities(at), abs=SINGLE)
    assert level == pytest.approx(model.probabilities(at.even()), abs=SINGLE)
    as_is_all, level_all = model.both_all(at)
    assert as_is_all == pytest.approx(model.probabilities_all(at), abs=SINGLE)
    assert level_all == pytest.approx(model.probabilities_all(at.even()), abs=SINGLE)


def test_points_of_all_fits_begin_with_the_point_fit(worth: Worth) -> None:
    at = random_states(300, 3)
    point, every = worth.points.points(at), worth.points.points_all(at)
    assert every.shape == (1 + worth.points.refits, 300)
    assert every[0] == pytest.approx(point, abs=1e-3)
    alone = worth.points.only(2).fitted(worth.points.eased(at))[0]
    assert every[2] == pytest.approx(alone, abs=1e-3)
    assert worth.points.only(0) is worth.points


def test_a_point_means_the_same_at_every_score(worth: Worth) -> None:
    at = random_states(50, 4)
    moved = replace(at, lead=at.lead + 11)
    assert (worth.points.points(at) == worth.points.points(moved)).all()


def test_kickoff_values_of_all_fits_begin_with_the_point_fit(worth: Worth) -> None:
    seconds = np.array([0, 1, 17, 120, 900, 1800])
    points = worth.points
    for one, every in (
        (points.receiving, points.receiving_all),
        (points.receiving_free_kick, points.receiving_free_kick_all),
    ):
        assert every(seconds).shape == (1 + points.refits, 6)
        assert every(seconds)[0] == pytest.approx(one(seconds), abs=1e-9)


def test_a_kickoff_is_worth_about_what_its_starts_are_worth(worth: Worth) -> None:
    """k is its own definition: the receiver's points over the law of starts, and returns."""
    seconds = 1500
    law = worth.points.kickoff.starts(worth.rules)
    lines = np.arange(1, 100)
    at = states(yards_to_goal=100 - lines, half_seconds=seconds - 5)
    k = float(worth.points.receiving(np.array([seconds]))[0])
    by_hand = float(law.probability @ worth.points.points(at))
    by_hand += law.returned * (6 + worth.points.try_points - k) - law.kept * 4
    assert k == pytest.approx(by_hand, abs=0.05)
    assert 0.2 < k < 1.2


def test_the_free_kick_after_a_safety_is_worth_more(worth: Worth) -> None:
    seconds = np.array([300, 900, 1700])
    assert (worth.points.receiving_free_kick(seconds) > worth.points.receiving(seconds) + 0.1).all()


def test_no_time_left_is_worth_no_kickoff(worth: Worth) -> None:
    assert worth.points.receiving(np.array([0]))[0] == pytest.approx(0, abs=0.02)
    assert worth.points.receiving(np.array([3]))[0] < 0.15


def test_far_from_the_goal_as_the_half_runs_out(worth: Worth) -> None:
    """First and ten at the own 20 with 3 seconds left: within .1 of nothing (published)."""
    at = states(yards_to_goal=80, half=[1, 2], half_seconds=3)
    assert worth.points.points(at) == pytest.approx(0, abs=0.1)
    assert worth.points.points_all(at).mean(0) == pytest.approx(0, abs=0.1)


def test_gross_is_net_and_the_kickoffs_that_follow(worth: Worth) -> None:
    at = random_states(200, 5)
    # neither held against harder situations nor knelt out
    at = at.take((at.down < 3) & (at.half_seconds > LATE))
    chances = worth.points.next_score.probabilities(at.even())
    touchdown = 6 + worth.points.try_points
    worths = np.array([0, touchdown, 3, 2, -2, -3, -touchdown])
    assert worth.points.gross_points(at) == pytest.approx(chances @ worths, abs=1e-4)
    early = states(yards_to_goal=[10, 40], half_seconds=1500)
    net, gross = worth.points.points(early), worth.points.gross_points(early)
    assert (gross > net).all()


@pytest.mark.parametrize(
    ("season", "other", "higher"),
    [(2014, 2019, True), (2010, 2011, None), (2019, 2025, True)],
)
def test_one_fit_serves_every_rule_set(
    models: Models, season: int, other: int, higher: bool | None
) -> None:
    """Kickoffs under later rules start farther out, so receiving one is worth more."""
    k = [
        float(models.under(rule_set("professional", s)).points.receiving(np.array([1500]))[0])
        for s in (season, other)
    ]
    assert k[0] != k[1]
    if higher is not None:
        assert (k[1] > k[0]) == higher


def test_the_try_follows_from_the_rules(models: Models) -> None:
    """A kick from the 15 is missed more often than one from the 2."""
    before, after = (
        models.under(rule_set("professional", s)).points.try_points for s in (2014, 2015)
    )
    assert 0.97 < before <= 1
    assert 0.92 < after < 0.96


def test_a_situation_as_states(worth: Worth) -> None:
    known = Situation(
        2, 75, 3, 4, 31, -6, worth.rules, own_timeouts=1, opponent_timeouts=2,
        receives_second_half=False, spread=2.5,
    )  # fmt: skip
    at = state_of(known)
    assert len(at) == 1
    assert [int(getattr(at, n)[0]) for n in ("down", "distance", "yards_to_goal", "half")] == [
        3, 4, 31, 1,
    ]  # fmt: skip
    assert (at.half_seconds[0], at.game_seconds[0], at.lead[0]) == (75, 1875, -6)
    assert (at.own_timeouts[0], at.opponent_timeouts[0]) == (1, 2)
    assert (at.receives[0], at.spread[0]) == (-1, 2.5)
    unknown = state_of(Situation(3, None, 1, 10, 60, None, worth.rules), seconds=1350)
    assert (unknown.half_seconds[0], unknown.lead[0], unknown.receives[0]) == (1350, 0, 0)
    second = Situation(3, 60, 1, 10, 60, 0, worth.rules, receives_second_half=True)
    assert state_of(second).receives[0] == 0


def test_a_distance_beyond_the_goal_line_is_goal_to_go() -> None:
    at = states(distance=10, yards_to_goal=[4, 10, 60])
    assert list(at.distance) == [4, 10, 10]
