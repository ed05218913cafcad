"""Every player's own spread of single decisions: against known ones, and what it is for."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from pointsleft.bench.ranking import filmed
from pointsleft.players.rows import Rows
from pointsleft.players.spreads import LOG_SPREAD, moderated, own_spreads, play_spread

Array = np.ndarray


def normal_rows(spreads: Array, games: Array, plays: int, rng: np.random.Generator) -> Rows:
    """Plays of a normal law, each player's with a spread of his own."""
    player = np.repeat(np.arange(len(games)), games * plays)
    game = np.repeat(np.arange(games.sum()), plays)
    y = rng.normal(0, 0.2, games.sum())[game] + rng.normal(size=len(game)) * spreads[player]
    return Rows(
        y, np.ones(len(y)), np.zeros((len(y), 0)), {"player": player},
        {"player": len(games)}, game,
    )  # fmt: skip


# -- pulled toward one another ------------------------------------------------------------------


def test_variances_that_are_sure_are_not_pulled() -> None:
    square = np.array([0.5, 1.0, 3.0])
    found = moderated(square, np.full(3, 1e5), LOG_SPREAD)
    np.testing.assert_allclose(np.exp(2 * found.log), square, rtol=0.01)
    assert found.own.min() > 0.99


def test_variances_of_which_little_is_known_are_pulled_together() -> None:
    found = moderated(np.array([0.5, 1.0, 2.0]), np.full(3, 2.0), LOG_SPREAD)
    assert np.ptp(found.log) < 0.3 * np.log(2.0)
    unseen = moderated(np.array([0.9, 1.0, 1.1, 77.0]), np.array([50.0, 50, 50, 0]), LOG_SPREAD)
    assert unseen.own[3] == 0
    assert np.exp(2 * unseen.log[3]) == pytest.approx(1.0, rel=0.1)
    assert unseen.error[3] > unseen.error[0]


def test_the_closed_form_where_the_others_are_known() -> None:
    """Many others who are alike: a spread is theirs and his own, weighed by what each is worth."""
    others, his = np.full(400, 1.0), 1.3
    found = moderated(np.append(others, his), np.append(np.full(400, 300.0), 20.0), LOG_SPREAD)
    own = found.own[-1]
    expected = own * his + (1 - own) * 1.0
    assert np.exp(2 * found.log[-1]) == pytest.approx(expected, rel=0.03)


def test_intervals_of_the_spread_hold_the_truth() -> None:
    inside = []
    games = np.array([2, 2, 3, 4, 6, 9])
    for seed in range(150):
        rng = np.random.default_rng(seed)
        true = np.exp(rng.normal(0, LOG_SPREAD, len(games)))
        found = own_spreads(normal_rows(true, games, 25, rng))
        inside.append((found.low <= true) & (true <= found.high))
    assert 0.86 <= np.mean(inside) <= 0.94


# -- of plays -----------------------------------------------------------------------------------


def test_the_common_spread_is_kept() -> None:
    rng = np.random.default_rng(3)
    rows = normal_rows(np.array([0.5, 1.0, 1.5]), np.array([3, 4, 5]), 40, rng)
    found = own_spreads(rows)
    player = rows.groups["player"]
    assert (found.ratio[player] ** 2).mean() == pytest.approx(1)
    uneven = replace(rows, uneven=found.ratio)
    assert play_spread(uneven) == pytest.approx(play_spread(rows), rel=0.1)
    np.testing.assert_allclose(found.value, [0.5, 1.0, 1.5], rtol=0.15)


def test_one_game_tells_no_spread_of_ones_own() -> None:
    """One day with nothing left would make him seem surer than anybody."""
    rng = np.random.default_rng(5)
    rows = normal_rows(np.array([1e-3, 1.0, 1.0, 1.0]), np.array([1, 4, 4, 4]), 40, rng)
    found = own_spreads(rows)
    assert np.isnan(found.raw[0])
    assert found.own[0] == 0
    assert found.ratio[0] > 0.9
    assert found.low[0] < found.low[1]


def test_two_logs_of_one_game_count_once() -> None:
    rng = np.random.default_rng(6)
    rows = normal_rows(np.array([0.6, 1.0, 1.2]), np.array([3, 4, 5]), 40, rng)
    once = own_spreads(rows)
    half = np.full(2 * len(rows.y), 0.5)
    double = Rows(
        np.tile(rows.y, 2), half, np.zeros((2 * len(rows.y), 0)),
        {"player": np.tile(rows.groups["player"], 2)}, rows.sizes, np.tile(rows.game, 2),
        share=half,
    )  # fmt: skip
    twice = own_spreads(double)
    assert play_spread(double) == pytest.approx(play_spread(rows))
    np.testing.assert_allclose(twice.raw, once.raw, rtol=1e-9)
    np.testing.assert_allclose(twice.value, once.value, rtol=0.02)
    np.testing.assert_allclose(twice.high - twice.low, once.high - once.low, rtol=0.1)


def test_where_nobody_was_seen_twice_all_have_the_common_one() -> None:
    rows = normal_rows(np.ones(3), np.array([1, 1, 1]), 30, np.random.default_rng(1))
    found = own_spreads(rows)
    np.testing.assert_array_equal(found.ratio, 1.0)
    np.testing.assert_allclose(found.value, play_spread(rows))


# -- what it is for -----------------------------------------------------------------------------


def test_best_and_worst_are_covered_as_if_their_spreads_were_known() -> None:
    """And, as negative control: with one spread for all, they are not."""
    found = filmed(250, 0.5)
    known = {place: found["known"][place]["covered"] for place in ("first", "middle", "last")}
    for place, covered in known.items():
        assert found["each his own"][place]["covered"] == pytest.approx(covered, abs=0.02)
    common = found["one for all"]
    assert common["first"]["covered"] - known["first"] > 0.02
    assert known["last"] - common["last"]["covered"] > 0.02


def test_the_ends_of_a_usual_class_are_covered() -> None:
    found = filmed(250)
    for place in ("all", "first", "middle", "last"):
        assert 0.86 <= found["each his own"][place]["covered"] <= 0.94, place
    assert 0.86 <= found["spread"]["covered"] <= 0.94
