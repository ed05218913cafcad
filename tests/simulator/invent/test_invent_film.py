"""Invented film: skill shows, luck is luck, and a charter's noise is what he was given."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from pointsleft.invent.chart import window_word
from pointsleft.invent.film import Film, play_game
from pointsleft.invent.logs import Fixture, log_of
from pointsleft.invent.looks import draw_look
from pointsleft.invent.offers import Offer, choose, offer, tilted, word_of
from pointsleft.invent.opponents import Possessions, possessions
from pointsleft.invent.people import Charter, Opponent, Quarterback
from pointsleft.invent.playbook import concepts
from pointsleft.invent.playing import play_out
from pointsleft.invent.truth import graded_worth, long_run
from pointsleft.log import check_log, write_log
from pointsleft.log.concepts import shipped
from pointsleft.log.record import WINDOWS
from pointsleft.log.schema import plain
from pointsleft.pricing.execution import grade_table
from pointsleft.pricing.throws import ThrowModel
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation

NOBODY = Quarterback("N. N.", decision_error=0.5)
PERFECT = Charter("pp", window_slip=0, missed=0, unseen=0, timing_slip=0, blame_slip=0)


@pytest.fixture(scope="module")
def pool(worth: Worth) -> Possessions:
    return possessions(worth.rules, 300, 3)


@pytest.fixture(scope="module")
def film(worth: Worth, pool: Possessions) -> Film:
    return play_game(worth, pool, NOBODY, Opponent("x"), np.random.default_rng(4))


@pytest.fixture(scope="module")
def offers(worth: Worth) -> list[Offer]:
    rng = np.random.default_rng(8)
    found = []
    for down, distance, spot in [(1, 10, 75), (2, 7, 55), (3, 8, 40), (3, 3, 62), (1, 8, 8)] * 24:
        at = Situation(
            period=2, seconds=700, down=down, distance=distance, yards_to_goal=spot, lead=0,
            rules=worth.rules,
        )  # fmt: skip
        found.append(offer(worth, draw_look(at, rng)))
    return found


def test_the_playbook_calls_templates_of_the_log() -> None:
    assert {plain(name) for name in concepts()} <= set(shipped())


def test_the_same_seed_gives_the_same_log(
    worth: Worth, pool: Possessions, film: Film, tmp_path: Path
) -> None:
    fixture = Fixture("N. N.", "Us", "Them", 1, 2019, "x.mp4")
    again = play_game(worth, pool, NOBODY, Opponent("x"), np.random.default_rng(4))
    logs = [log_of(f, fixture, Charter("aa"), np.random.default_rng(1)) for f in (film, again)]
    assert logs[0] == logs[1]
    other = play_game(worth, pool, NOBODY, Opponent("x"), np.random.default_rng(5))
    assert log_of(other, fixture, Charter("aa"), np.random.default_rng(1)) != logs[0]


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("skipped", [0.0, 0.1])
def test_any_game_is_a_clean_log(
    seed: int, skipped: float, worth: Worth, pool: Possessions, tmp_path: Path
) -> None:
    rng = np.random.default_rng(100 + seed)
    game = play_game(worth, pool, NOBODY, Opponent("x", rush=1.5), rng)
    charter = Charter("aa", missed=0.3, timing_slip=0.4, skipped=skipped, clip_spread=2.0)
    log = log_of(game, Fixture("N. N.", "Us", "Them", 1, 2019, "x.mp4"), charter, rng)
    report = check_log(write_log(log, tmp_path / "log"))
    assert report.clean, str(report)
    assert not report.warnings


def test_no_error_takes_the_best_in_his_read(offers: list[Offer]) -> None:
    rng = np.random.default_rng(1)
    run = long_run(offers, Quarterback("q", 0.0), rng)
    assert run.left == pytest.approx(0, abs=1e-12)
    for found in offers:
        chosen = choose(found, Quarterback("q", 0.0), rng)
        assert found.look.read[chosen]
        assert found.worth[chosen] == found.worth[found.look.read].max()


def test_more_error_leaves_more(offers: list[Offer]) -> None:
    left = [
        long_run(offers, Quarterback("q", e), np.random.default_rng(1)).left for e in (0.2, 0.6, 2)
    ]
    assert left[0] < left[1] < left[2]


def test_accuracy_tilts_and_none_is_average(offers: list[Offer]) -> None:
    share, move, _ = grade_table()
    assert tilted(0.0) == pytest.approx(share)
    assert tilted(0.3) @ move > share @ move > tilted(-0.3) @ move
    found = next(o for o in offers if isinstance(o.models[0], ThrowModel))
    model = found.models[0]
    assert isinstance(model, ThrowModel)
    if not model.rush.free:  # over the judgements as they occur the plain law comes back
        assert share @ graded_worth(found, 0) == pytest.approx(found.worth[0], abs=1e-9)


def test_what_comes_of_a_choice_averages_to_its_worth(offers: list[Offer]) -> None:
    """Luck has no side: outcomes of an average quarterback average to the exact value."""
    rng = np.random.default_rng(2)
    gap = []
    for found in offers:
        if found.look.snap.defense.free_rusher:
            continue
        chosen = choose(found, NOBODY, rng)
        cells = found.values.cells("points", found.models[chosen].seconds)[0]
        for _ in range(20):
            played = play_out(found, chosen, NOBODY, rng)
            gap.append(cells[played.cell] - found.worth[chosen])
    z = np.mean(gap) / (np.std(gap) / np.sqrt(len(gap)))
    assert abs(z) < 4
    accurate = [
        found.values.cells("points", 6.0)[0][play_out(found, i, replace(NOBODY, accuracy=2.0),
                                                      rng).cell] - found.worth[i]
        for found in offers for i, m in enumerate(found.models) if m.kind == "throw"
        for _ in range(4)
    ]  # fmt: skip
    assert np.mean(accurate) > 0.1, "and an accurate one does better: the check can fail"


def test_touchdowns_count_the_yards_to_the_goal_line(film: Film) -> None:
    for made in film.snaps:
        done, at = made.snap.happened, made.snap.situation
        if done.touchdown and at is not None:
            assert done.yards == at.yards_to_goal


def test_window_words_slip_as_often_as_told() -> None:
    rng = np.random.default_rng(3)
    charter = replace(PERFECT, window_slip=0.3, leniency=0.8)
    words = [window_word(0.0, charter, rng) for _ in range(4000)]
    off = [WINDOWS.index(w) - WINDOWS.index("even") for w in words]
    assert np.mean(np.array(off) != 0) == pytest.approx(0.3, abs=0.03)
    assert np.mean(np.array([o for o in off if o]) < 0) == pytest.approx(0.8, abs=0.05)
    assert set(off) <= {-1, 0, 1}
    assert {window_word(x, PERFECT, rng) == word_of(x) for x in np.linspace(-2, 2, 9)} == {True}


def test_possessions_from_near_the_goal_score_more(pool: Possessions) -> None:
    near, far = pool.points[pool.near(20)].mean(), pool.points[pool.near(90)].mean()
    assert near > far + 1.5
    assert set(np.unique(pool.points)) <= {-8, -7, -6, -2, 0, 2, 3, 6, 7, 8}
