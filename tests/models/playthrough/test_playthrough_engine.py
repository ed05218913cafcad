"""Whole games: nothing is lost, nothing runs backwards, and the same seed plays the same games."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.result import Playthroughs
from pointsleft_models.playthrough.run import BATCH, play_through
from pointsleft_models.playthrough.start import kickoff_start
from pointsleft_models.playthrough.teams import Teams

GAMES = 400


@pytest.fixture(scope="module")
def run(parts: Parts, teams: Teams) -> Playthroughs:
    return play_through(parts, kickoff_start(parts.rules), GAMES, 5, teams=teams, record=True)


def ordered(run: Playthroughs) -> dict[str, np.ndarray]:
    """The log with each game's snaps together, in the order of play."""
    order = np.argsort(run.log["game"], kind="stable")
    return {name: column[order] for name, column in run.log.items()}


def clock_faults(log: dict[str, np.ndarray]) -> int:
    """Snaps at which a clock or a half ran backwards, or time was made or lost within a drive."""
    same = (log["game"][1:] == log["game"][:-1]) & (log["half"][1:] == log["half"][:-1])
    back = (log["half"][1:] < log["half"][:-1]) & (log["game"][1:] == log["game"][:-1])
    rises = same & (log["seconds"][1:] > log["seconds"][:-1])
    kept = same & (log["points"][:-1] == 0)
    lost = kept & (log["seconds"][1:] != log["seconds"][:-1] - log["used"][:-1])
    return int(back.sum() + rises.sum() + lost.sum())


def down_faults(log: dict[str, np.ndarray]) -> int:
    """Snaps that do not follow from the one before: after a play that is no flag and no kick."""
    follows = (
        (log["game"][1:] == log["game"][:-1])
        & (log["half"][1:] == log["half"][:-1])
        & (log["points"][:-1] == 0)
        & (log["event"][:-1] <= codes.SPIKE)
        & (log["start"][:-1] == 0)
    )
    first = log["gain"][:-1] >= log["distance"][:-1]
    spot = log["yards_to_goal"][:-1] - log["gain"][:-1]
    turned = follows & ~first & (log["down"][:-1] == 4)
    kept = follows & ~turned
    down = np.where(first, 1, log["down"][:-1] + 1)
    faults = kept & (
        (log["offense"][1:] != log["offense"][:-1])
        | (log["down"][1:] != down)
        | (log["yards_to_goal"][1:] != spot)
    )
    faults |= turned & (
        (log["offense"][1:] == log["offense"][:-1])
        | (log["down"][1:] != 1)
        | (log["yards_to_goal"][1:] != 100 - spot)
    )
    return int(faults.sum())


def test_every_point_is_on_the_board(run: Playthroughs) -> None:
    """Points of plays, tries between none and two a touchdown, and kickoff returns."""
    log = run.log
    scored = np.bincount(log["game"], np.abs(log["points"]), minlength=GAMES)
    touchdowns = np.bincount(log["game"], np.abs(log["points"]) == 6, minlength=GAMES)
    rest = run.total - scored
    returned = rest > 2 * touchdowns  # only a kickoff return can add more
    assert np.all(rest >= 0)
    assert returned.mean() < 0.1
    assert np.all((run.total - run.margin) % 2 == 0)


def test_the_lead_of_a_snap_follows_from_the_points_before_it(run: Playthroughs) -> None:
    log = ordered(run)
    lead0 = np.where(log["offense"] == 0, log["lead"], -log["lead"])
    same = log["game"][1:] == log["game"][:-1]
    quiet = same & (log["points"][:-1] == 0) & (log["half"][1:] == log["half"][:-1])
    assert np.all(lead0[1:][quiet] == lead0[:-1][quiet])


def test_no_clock_runs_backwards(run: Playthroughs) -> None:
    assert clock_faults(ordered(run)) == 0


def test_a_clock_that_ran_backwards_would_be_seen(run: Playthroughs) -> None:
    """Negative control."""
    log = ordered(run)
    log["seconds"] = log["seconds"].copy()
    log["seconds"][57] += 400
    assert clock_faults(log) > 0


def test_downs_follow_from_yards(run: Playthroughs) -> None:
    assert down_faults(ordered(run)) == 0


@pytest.mark.parametrize("column", ["down", "yards_to_goal", "offense"])
def test_a_wrong_down_would_be_seen(run: Playthroughs, column: str) -> None:
    """Negative control."""
    log = ordered(run)
    play = np.flatnonzero(
        (log["event"] <= codes.SACK) & (log["start"] == 0) & (log["points"] == 0)
        & (log["down"] == 2) & (log["seconds"] > 200)
    )[3]  # fmt: skip
    log[column] = log[column].copy()
    log[column][play + 1] = 1 - log[column][play + 1] if column == "offense" else 98
    assert down_faults(log) > 0


def test_the_ball_is_on_the_field(run: Playthroughs) -> None:
    log = run.log
    assert log["yards_to_goal"].min() >= 1
    assert log["yards_to_goal"].max() <= 99
    assert set(np.unique(log["down"])) == {1, 2, 3, 4}
    assert np.all(log["distance"] <= log["yards_to_goal"])
    assert np.all(log["distance"] >= 1)
    assert np.all(log["gain"] <= log["yards_to_goal"])
    assert np.all((log["seconds"] >= 1) & (log["seconds"] <= 1800))


def test_the_same_seed_plays_the_same_games(parts: Parts, teams: Teams) -> None:
    start = kickoff_start(parts.rules)
    first, again = (play_through(parts, start, 300, 9, teams=teams) for _ in range(2))
    other = play_through(parts, start, 300, 10, teams=teams)
    assert np.array_equal(first.margin, again.margin)
    assert np.array_equal(first.snaps, again.snaps)
    assert not np.array_equal(first.margin, other.margin)


def test_the_number_of_workers_changes_nothing(parts: Parts, teams: Teams) -> None:
    games = 2 * BATCH + 100
    start = kickoff_start(parts.rules).with_(half=2, seconds=60)
    one = play_through(parts, start, games, 3, teams=teams)
    two = play_through(parts, start, games, 3, teams=teams, workers=2)
    assert np.array_equal(one.margin, two.margin)
    assert np.array_equal(one.strength, two.strength)


def test_equal_teams_win_as_often(parts: Parts) -> None:
    """By symmetry; the coin decides nothing, a tie is half a win."""
    wins, error = play_through(parts, kickoff_start(parts.rules), 20000, 1).win_probability()
    assert abs(wins - 0.5) <= 4 * error


def test_a_better_team_wins_more_often(parts: Parts, teams: Teams) -> None:
    """Seven points better, as the store says how far a point reaches: 7 points of margin."""
    better = Teams(0.0, 0.0, 7.0, teams.equal, teams.reach, teams.level_reach)
    done = play_through(parts, kickoff_start(parts.rules), 8000, 1, teams=better)
    error = done.margin.std() / np.sqrt(len(done))
    assert abs(done.margin.mean() - 7.0) <= 0.5 + 4 * error
