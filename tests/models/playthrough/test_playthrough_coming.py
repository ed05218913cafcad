"""The next score of a recorded run, against the snaps that follow."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.coming import CLASS_OF, next_scores
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.result import Playthroughs
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import kickoff_start

Array = np.ndarray

GAMES = 300


@pytest.fixture(scope="module")
def run(parts: Parts) -> Playthroughs:
    return play_through(parts, kickoff_start(parts.rules), GAMES, 11, record=True)


def by_the_lead(log: dict[str, Array], coming: Array) -> int:
    """Snaps whose next score does not move the lead as it says, at the next snap after the score.

    Left out are scores after which a half ends, and those after which a kickoff is run back.
    """
    order = np.argsort(log["game"], kind="stable")
    game, half, offense, lead, points = (
        log[name][order] for name in ("game", "half", "offense", "lead", "points")
    )
    lead0 = np.where(offense == 0, lead, -lead)
    moves = {1: (6, 7, 8), 2: (3,), 3: (2,), 4: (-2,), 5: (-3,), 6: (-6, -7, -8)}
    wrong = 0
    for at in np.flatnonzero(points):
        if at + 1 == len(order) or game[at + 1] != game[at] or half[at + 1] != half[at]:
            continue
        moved = int(lead0[at + 1] - lead0[at]) * (1 if offense[at] == 0 else -1)
        run_back = moved not in sum(moves.values(), ())
        before = at
        while before >= 0 and game[before] == game[at] and half[before] == half[at]:
            if before < at and points[before]:
                break
            seen = moved if offense[before] == offense[at] else -moved
            wrong += int(not run_back and seen not in moves.get(int(coming[order[before]]), ()))
            before -= 1
    return wrong


def test_the_next_score_moves_the_lead_as_it_says(run: Playthroughs) -> None:
    assert by_the_lead(run.log, next_scores(run.log)[0]) == 0


def test_a_wrong_next_score_would_be_seen(run: Playthroughs) -> None:
    """Negative control: the class as the other side sees it, on one snap in a hundred."""
    coming = next_scores(run.log)[0]
    coming[::100] = np.where(coming[::100] == 0, 0, 7 - coming[::100])
    assert by_the_lead(run.log, coming) > 100


def test_a_snap_that_scores_has_its_own_score(run: Playthroughs) -> None:
    coming = next_scores(run.log)[0]
    for points, kind in CLASS_OF.items():
        scored = run.log["points"] == points
        assert scored.sum() > 0
        assert np.all(coming[scored] == kind)


def test_the_first_snap_has_the_next_score_of_the_run(run: Playthroughs) -> None:
    """But where the opening kickoff was run back, which came before it."""
    log = run.log
    coming, seconds = next_scores(log)
    first = np.unique(log["game"], return_index=True)[1]
    from0 = np.where((log["offense"] == 0) | (coming == 0), coming, 7 - coming)[first]
    level = log["lead"][first] == 0
    assert level.mean() > 0.9
    assert np.array_equal(from0[level], run.next_score[level])
    assert np.array_equal(seconds[first][level], run.next_score_seconds[level])


def test_a_score_counts_in_its_own_half_and_game_only() -> None:
    """Game 0: a touchdown of team 0 on the second snap, a field goal of team 1 in the second half,
    then nothing more; game 1: nothing, though game 2 scores at once."""
    log = {
        "game": np.array([0, 0, 0, 0, 0, 1, 2]),
        "half": np.array([1, 1, 1, 2, 2, 1, 1]),
        "seconds": np.array([910, 905, 890, 40, 30, 900, 800]),
        "used": np.array([5, 5, 40, 6, 5, 40, 4]),
        "offense": np.array([1, 0, 0, 1, 0, 0, 1]),
        "points": np.array([0, 6, 0, 3, 0, 0, -2]),
    }
    mixed = np.array([5, 0, 3, 1, 6, 2, 4])  # games in step, as the engine logs them
    kind, seconds = next_scores({name: column[mixed] for name, column in log.items()})
    back = np.argsort(mixed)
    assert kind[back].tolist() == [
        codes.TOUCHDOWN_AGAINST, codes.TOUCHDOWN, codes.NO_SCORE, codes.FIELD_GOAL,
        codes.NO_SCORE, codes.NO_SCORE, codes.SAFETY_AGAINST,
    ]  # fmt: skip
    assert seconds[back].tolist() == [900, 900, -1, 34, -1, -1, 796]


def test_time_outs_and_the_second_half_kickoff_are_on_record(run: Playthroughs) -> None:
    log = run.log
    order = np.argsort(log["game"], kind="stable")
    rows = {name: column[order] for name, column in log.items()}
    for side in ("own_timeouts", "opponent_timeouts"):
        assert rows[side].min() >= 0
        assert set(rows[side][rows["half"] < 3]) == {0, 1, 2, 3}
    both = rows["own_timeouts"] + rows["opponent_timeouts"]
    same = (rows["game"][1:] == rows["game"][:-1]) & (rows["half"][1:] == rows["half"][:-1])
    assert np.all(both[1:][same] <= both[:-1][same])
    assert np.array_equal(rows["receives"], rows["offense"] == 0)  # team 0 kicked off


def test_recording_changes_no_game(parts: Parts, run: Playthroughs) -> None:
    plain = play_through(parts, kickoff_start(parts.rules), GAMES, 11)
    assert plain.log == {}
    assert np.array_equal(plain.margin, run.margin)
