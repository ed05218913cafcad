"""One game's calls: from a log, from a play table, and the shares inside a play."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from engine import snap
from pointsleft.calls.downs import downs
from pointsleft.calls.game import GameCalls, call_of, calls_of_log, calls_of_table
from pointsleft.calls.play_table import FourthDowns
from pointsleft.calls.turn import Turn, critical, turn_map
from pointsleft.cli.demo import demo_log
from pointsleft.log import read_log
from pointsleft.report.calls_page import MOST_ROWS, calls_page
from pointsleft.report.game_calls_text import game_calls_text
from pointsleft_models.bundle import Models, Worth


@pytest.fixture(scope="module")
def game(models: Models) -> GameCalls:
    return calls_of_log(read_log(demo_log()), models)


@pytest.fixture(scope="module")
def turn(worth: Worth) -> Turn:
    return turn_map(worth)


def test_the_demo_game_in_order(game: GameCalls) -> None:
    assert [c.called for c in game.calls] == ["punt", "punt", "field goal", "field goal", "go"]
    for call in game.calls:
        for currency, settled in call.priced.settled.items():
            assert call.left[currency] >= 0
            if settled.best == call.called:
                assert call.left[currency] == 0


def test_the_calls_share_and_the_quarterbacks_stand_apart(game: GameCalls) -> None:
    """The speed option on fourth and one: the kick is the bench's and no part of the play."""
    option = game.calls[-1]
    assert option.inside is not None
    assert option.inside.chosen == "pitch"
    assert set(option.inside.best.values()) <= {"keep", "pitch"}
    assert all(v >= 0 for v in option.inside.left.values())
    assert [c.inside is None for c in game.calls] == [True] * 4 + [False]


def test_the_worse_option_costs_the_quarterback_and_not_the_call(models: Models) -> None:
    """The same fourth down with the other option taken: offered stays, left does not."""
    log = read_log(demo_log())
    at = next(i for i, s in enumerate(log.snaps) if s.call.family == "option" and s.situation
              and s.situation.down == 4)  # fmt: skip
    row = log.snaps[at]
    kept = replace(row, happened=replace(row.happened, chosen="keep"))
    pair = []
    for one in (row, kept):
        found = calls_of_log(replace(log, snaps=(one,)), models).calls[0].inside
        assert found is not None
        pair.append(found)
    assert pair[0].offered["points"] == pytest.approx(pair[1].offered["points"])
    assert pair[0].left["points"] == pytest.approx(0)
    assert pair[1].left["points"] > 0.01


def test_what_was_called_is_read_off_the_row() -> None:
    def said(**cells: object) -> str:
        return call_of(snap(down=4, distance=3, **cells))

    assert said(options="fg* punt", result="no-good") == "field goal"
    assert said(family="kick", result="punt") == "punt"
    assert said(options="hitch5/s* flat2/l", result="complete", yards=6) == "go"
    assert said(family="kick", result="blocked") == ""
    assert said() == ""


def one_game(count: int) -> FourthDowns:
    many = np.arange(count)
    names = np.full(count, "<b>Larks</b>", dtype=object)
    return FourthDowns(
        at=downs(distance=1 + many % 9, yards_to_goal=30 + many, half=1, half_seconds=1000),
        called=np.full(count, 2), season=np.full(count, 2019), week=np.full(count, 1),
        game=names, team=names, opponent=names, play=many, period=np.full(count, 1),
        clock=np.full(count, 100), level="professional", left_out={},
    )  # fmt: skip


def test_a_game_of_a_play_table(models: Models) -> None:
    found = calls_of_table(one_game(3), np.arange(3), models, title="a game", team="Larks")
    assert [c.label for c in found.calls] == ["play 0", "play 1", "play 2"]
    assert found.total("wins") >= 0


def test_text_fits_eighty_columns(game: GameCalls) -> None:
    text = game_calls_text(game)
    assert max(map(len, text.splitlines())) <= 80
    assert "offered by the call" in text


def test_the_sheet_escapes_what_strangers_wrote(game: GameCalls, turn: Turn) -> None:
    page = calls_page(replace(game, title="<script>alert(1)</script>", team="a&b"), turn)
    assert "<script" not in page
    assert "&lt;script&gt;" in page
    assert "a&amp;b" in page


def test_a_long_game_keeps_the_dearest(game: GameCalls, turn: Turn) -> None:
    page = calls_page(replace(game, calls=game.calls * 6), turn)
    assert f"The {MOST_ROWS} dearest of 30 calls" in page
    assert page.count("go for it</td>") >= 6  # the dearest call of the game, every time


def test_the_map_has_romers_shape(turn: Turn) -> None:
    """Romer 2006 (memory): going is right to 3 yards at the own 10, 5 at midfield, 6.5 at the
    opponent's 45, 9.8 at his 33, 4 at his 21: it rises to a peak between the 45 and the 30 and
    falls. Ours in win probability peaks a little sooner, since kicks from 50 yards are made
    more often now."""
    at = dict(zip(turn.yards_to_goal, turn.critical, strict=True))
    assert at[90] < at[50] < at[42]
    peak = max(range(20, 90), key=lambda spot: at[spot])
    assert 30 <= peak <= 48
    assert at[peak] > 1.5 * at[60]
    assert at[25] < 0.6 * at[peak]
    assert at[4] > at[12]  # near the goal line a failure pins them


def test_the_unsettled_band_lies_along_the_turn(turn: Turn) -> None:
    """Unsettled cells are where the calls tie, not elsewhere."""
    for j, spot in enumerate(turn.yards_to_goal):
        band = [d for i, d in enumerate(turn.distances)
                if turn.best[i][j] and not turn.settled[i][j]]  # fmt: skip
        if band and 50 < spot < 90:
            assert min(band) - 1.5 <= turn.critical[j] <= max(band) + 1.5
    share = np.mean([not s for row in turn.settled for s in row])
    assert 0.05 < share < 0.6


def test_where_gaps_cross() -> None:
    assert critical(np.array([0.5, -0.5, -1.0])) == pytest.approx(1.5)
    assert critical(np.array([-0.1, -1.0])) == 0.0
    assert critical(np.array([0.3, 0.2])) == 2.0
