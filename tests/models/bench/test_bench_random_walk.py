"""Random-walk football: the exact answer by other means, and the games as they are played."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.bench.coverage import Estimator, tabled, truth
from pointsleft_models.bench.random_walk import (
    LINES,
    MIDDLE,
    NOTHING,
    OURS,
    PLAYS,
    THEIRS,
    exact_wins,
    walk,
)
from pointsleft_models.bench.schemes import SCHEMES

Array = np.ndarray


def test_the_exact_answer_by_symmetry_and_at_the_ends() -> None:
    wins = exact_wins()
    assert wins[PLAYS, PLAYS, MIDDLE] == pytest.approx(0.5)
    inner = wins[:, :, 1:LINES]
    assert inner == pytest.approx(1 - inner[:, ::-1, ::-1])  # the other side's view
    assert wins[1, PLAYS, LINES - 1] == pytest.approx(0.75)  # scores half the time, or a tie
    assert wins[0, PLAYS + 1, 1] == 1


def test_the_exact_answer_is_how_often_games_are_won() -> None:
    walks = walk(60_000, np.random.default_rng(4))
    wins = exact_wins()
    for play, ahead, line in ((21, 1, 1), (40, -1, 2), (51, 0, 3), (30, 2, 2)):
        here = (walks.ahead[:, play] == ahead) & (walks.line[:, play] == line)
        share, n = walks.won[here].mean(), here.sum()
        assert n > 1000
        exact = wins[PLAYS - play, PLAYS + ahead, line]
        assert share == pytest.approx(exact, abs=4 * np.sqrt(0.25 / n))


def test_the_next_score_is_the_next_change_of_the_lead() -> None:
    walks = walk(300, np.random.default_rng(5))
    for game in range(300):
        for play in range(PLAYS - 1):
            later = walks.ahead[game, play + 1 :]
            changed = later[later != walks.ahead[game, play]]
            if len(changed):
                expected = OURS if changed[0] > walks.ahead[game, play] else THEIRS
                assert walks.coming[game, play] == expected
            elif walks.coming[game, play] != NOTHING:  # scored on the very last play
                assert walks.line[game, -1] in (1, LINES - 1)


@pytest.mark.parametrize("name", SCHEMES)
def test_every_scheme_keeps_the_mean_weight_at_one(name: str) -> None:
    rng = np.random.default_rng(6)
    game = np.repeat(np.arange(400), PLAYS)
    weights = [SCHEMES[name](rng, game) for _ in range(20)]
    assert np.mean(weights) == pytest.approx(1, abs=0.02)
    assert np.std([w.mean() for w in weights]) < 0.05
    if "plays" not in name and name != "rows":
        for w in weights:
            by_game = w.reshape(400, PLAYS)
            assert (by_game == by_game[:, :1]).all()  # whole games


def test_counts_are_sums_of_weights() -> None:
    walks = walk(50, np.random.default_rng(7))
    table = tabled(walks)
    weights = np.random.default_rng(8).random(50 * PLAYS)
    by_score, won = table.counts(weights)
    assert by_score.sum() == pytest.approx(weights.sum())
    assert won.sum() == pytest.approx((weights * np.repeat(walks.won, PLAYS)).sum())


def test_the_estimator_finds_the_truth_and_one_step_nearly_the_refit() -> None:
    rng = np.random.default_rng(9)
    table = tabled(walk(900, rng))
    met = np.bincount(table.cell) / len(table.cell)
    estimator = Estimator(table.at)
    point = estimator.fit(*table.counts(np.ones(900 * PLAYS)))
    assert met @ np.abs(point - truth(table.at)) < 0.025
    assert met @ np.abs(0.5 - truth(table.at)) > 0.2  # what knowing nothing would be off by
    game = np.repeat(np.arange(900), PLAYS)
    counts = [table.counts(SCHEMES["halves"](rng, game)) for _ in range(3)]
    full = np.array([estimator.refit(*c, full=True) for c in counts])
    step = np.array([estimator.refit(*c) for c in counts])
    assert met @ np.abs(step - full).mean(0) < 0.25 * (met @ np.abs(full - point).mean(0))
