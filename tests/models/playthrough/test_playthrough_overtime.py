"""Overtime under every rule."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.football.rules import RuleSet, rule_set
from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.load import load_playthrough
from pointsleft_models.playthrough.result import Playthroughs
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import Start

GAMES = 3000
LEVEL = Start(2, 1, 0, 4, 30, 95)  # one second: a punt or a heave, then overtime


def play(rules: RuleSet, **more: bool) -> Playthroughs:
    parts, _ = load_playthrough(rules)
    return play_through(parts, LEVEL, GAMES, 1, record=True, **more)  # type: ignore[arg-type]


def extra(run: Playthroughs) -> dict[str, np.ndarray]:
    """Log of overtime, game by game."""
    order = np.argsort(run.log["game"], kind="stable")
    kept = run.log["half"][order] == 3
    return {name: column[order][kept] for name, column in run.log.items()}


def scores_of(log: dict[str, np.ndarray]) -> dict[int, list[int]]:
    """Points of every score of overtime, by game."""
    found: dict[int, list[int]] = {}
    for game, points in zip(log["game"], log["points"], strict=True):
        if points:
            found.setdefault(int(game), []).append(int(points))
    return found


def test_sudden_death_ends_with_the_first_score() -> None:
    run = play(rule_set("professional", 2009))
    assert all(len(points) == 1 for points in scores_of(extra(run)).values())
    ties = run.margin[run.overtime] == 0
    assert 0 < ties.mean() < 0.2


def test_a_first_field_goal_is_answered() -> None:
    """Under the rule of 2012 a field goal first may be followed by another score; a touchdown
    first may not."""
    by_game = scores_of(extra(play(rule_set("professional", 2016))))
    assert any(points[0] == 3 and len(points) > 1 for points in by_game.values())
    assert all(len(points) == 1 for points in by_game.values() if points[0] == 6)
    assert all(len(points) <= 3 for points in by_game.values())


def test_both_possess_answers_a_touchdown() -> None:
    by_game = scores_of(extra(play(rule_set("professional", 2025))))
    assert any(points[0] == 6 and len(points) > 1 for points in by_game.values())


def test_a_series_has_no_ties_and_no_clock() -> None:
    run = play(rule_set("college", 2021))
    assert np.all(run.margin[run.overtime] != 0)
    log = extra(run)
    assert len(np.unique(log["seconds"])) == 1
    first = np.concatenate([[True], log["game"][1:] != log["game"][:-1]])
    assert set(log["yards_to_goal"][first]) == {25}


def test_a_playoff_game_has_no_ties() -> None:
    run = play(rule_set("professional", 2016), playoff=True)
    assert np.all(run.margin[run.overtime] != 0)


@pytest.mark.parametrize("season", [2009, 2016, 2025])
def test_overtime_is_nearly_even(season: int) -> None:
    """Who wins the coin is even; team 0 never has it more often."""
    run = play(rule_set("professional", season))
    wins = run.wins[run.overtime & (run.next_score == codes.NO_SCORE)]
    assert abs(wins.mean() - 0.5) < 4 * 0.5 / np.sqrt(len(wins))
