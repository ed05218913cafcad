"""The calls of a fourth down before both witnesses."""

from __future__ import annotations

from dataclasses import replace

import pytest
from pointsleft.calls.fourth import price_fourth_down
from pointsleft.calls.played import play_calls
from pointsleft.calls.result import PlayedCalls
from pointsleft.report.played_calls_text import played_calls_text
from pointsleft.report.safe_text import TERMINAL
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation
from pointsleft_models.playthrough.load import load_playthrough


def situation(worth: Worth, **more: object) -> Situation:
    given: dict[str, object] = {
        "period": 4, "seconds": 3, "down": 4, "distance": 5, "yards_to_goal": 22, "lead": -2,
        "own_timeouts": 0, "rules": worth.rules,
    }  # fmt: skip
    return Situation(**(given | more))  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def last_play(worth: Worth) -> PlayedCalls:
    at = situation(worth)
    return play_calls(worth, load_playthrough(worth.rules), at, games=3000)


def test_on_the_last_play_both_say_the_kick(worth: Worth, last_play: PlayedCalls) -> None:
    """Behind by two, three seconds left: the kick is the game, and its law is the same for both."""
    exact = price_fourth_down(worth, situation(worth))
    assert exact.settled["wins"].best == last_play.first["wins"] == "field goal"
    kick = last_play.calls["field goal"]["wins"]
    assert kick.value == exact.choice("field goal").value["wins"]
    assert kick.played == pytest.approx(kick.value, abs=0.03)


def test_every_open_call_in_every_currency(worth: Worth, last_play: PlayedCalls) -> None:
    assert set(last_play.calls) == {"go", "field goal"}  # a punt is not priced from here
    assert all(set(v) == {"points", "wins"} for v in last_play.calls.values())


def test_a_pre_game_spread_is_known_to_both_and_told(worth: Worth) -> None:
    """Early, where it matters most: both witnesses move, and by about as much."""
    early = {"period": 1, "seconds": 700, "lead": 0, "spread": None}
    playthrough = load_playthrough(worth.rules)
    plain, favoured = (
        play_calls(worth, playthrough, situation(worth, **early | {"spread": s}), games=4000)
        for s in (None, 9.0)
    )
    assert plain.now.sides == ""
    assert "Wins know the pre-game spread before both (favoured by 9)" in " ".join(
        " ".join(played_calls_text(favoured)).split()
    )
    for call, values in favoured.calls.items():
        before = plain.calls[call]
        assert values["points"] == before["points"]  # of equal teams, and the same luck
        model = values["wins"].value - before["wins"].value
        played = values["wins"].played - before["wins"].played
        assert model > 0.15
        assert played == pytest.approx(model, abs=0.08)


def test_the_lines_say_who_comes_first_and_fit(last_play: PlayedCalls) -> None:
    same = played_calls_text(last_play)
    go = last_play.calls["go"]
    better = {c: replace(b, value=b.value + 5) for c, b in go.items()}  # by the exact sum only
    other = played_calls_text(replace(last_play, calls={**last_play.calls, "go": better}))
    assert max(map(len, [*same, *other])) <= TERMINAL
    assert not any("comes first by" in line for line in same)
    assert "field goal comes first by win probability, and go by" in " ".join(other)


def test_overtime_is_played_out_in_wins(worth: Worth) -> None:
    at = situation(worth, period=5, seconds=300, lead=0)
    found = play_calls(worth, load_playthrough(worth.rules), at, games=500)
    assert all(set(v) == {"wins"} for v in found.calls.values())
