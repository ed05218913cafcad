"""A try before both witnesses: the games played out know the score to the point."""

from __future__ import annotations

from dataclasses import replace

import pytest
from pointsleft.calls.played_try import play_try
from pointsleft.calls.result import PlayedTry, Try
from pointsleft.calls.tries import TrySpot, price_try
from pointsleft.report.call_text import try_text
from pointsleft.report.safe_text import TERMINAL
from pointsleft_models.bundle import Worth
from pointsleft_models.playthrough.load import load_playthrough


def both(worth: Worth, at: TrySpot, games: int = 6000) -> tuple[Try, PlayedTry]:
    priced = price_try(worth, at)
    played = play_try(worth, load_playthrough(worth.rules), at, priced, games=games)
    assert played is not None
    return replace(priced, played=played), played


def test_behind_by_two_late_one_point_is_worth_next_to_nothing(worth: Worth) -> None:
    """Behind by two with four minutes left (common practice, no source: go for two). One point
    leaves the side behind, and a field goal wins either way; two points level."""
    _, played = both(worth, TrySpot(4, 240, -2))
    assert (played.ahead, played.clear) == ("two points", True)
    assert played.one[0] - played.none[0] < 0.02
    assert played.two[0] - played.one[0] > 0.1


def test_ahead_by_six_before_the_kick_seven_holds_off_a_touchdown(worth: Worth) -> None:
    """Seven ahead against six: the first point is worth more than the second."""
    _, played = both(worth, TrySpot(4, 120, 6))
    assert (played.ahead, played.clear) == ("kick", True)
    assert played.one[0] - played.none[0] > played.two[0] - played.one[0]


def test_the_tries_are_the_mixtures_of_what_follows(worth: Worth) -> None:
    priced, played = both(worth, TrySpot(4, 60, -1), games=500)
    none, one, two = played.none[0], played.one[0], played.two[0]
    assert played.kick[0] == pytest.approx(priced.kick * one + (1 - priced.kick) * none)
    assert played.pair[0] == pytest.approx(priced.pair * two + (1 - priced.pair) * none)
    assert played.gap == pytest.approx(abs(played.pair[0] - played.kick[0]))


def test_nothing_to_play_at_the_gun(worth: Worth) -> None:
    at = TrySpot(4, 0, -2)
    assert play_try(worth, load_playthrough(worth.rules), at, price_try(worth, at)) is None


def test_a_favourite_wins_more_played_out_as_well(worth: Worth) -> None:
    _, plain = both(worth, TrySpot(4, 240, 0), games=3000)
    _, good = both(worth, TrySpot(4, 240, 0, spread=10.0), games=3000)
    assert good.none[0] > plain.none[0] + 0.03


def test_the_words_where_the_witnesses_part(worth: Worth) -> None:
    priced, played = both(worth, TrySpot(4, 240, 12), games=500)
    firm = replace(priced.settled, best="kick", verdict="firm")
    told = {}
    for name, clear, ahead in (("parted", True, "two points"), ("draws", False, "two points"),
                               ("same", True, "kick")):  # fmt: skip
        seen = replace(played, clear=clear, ahead=ahead)
        text = try_text(replace(priced, settled=firm, played=seen))
        assert max(map(len, text.splitlines())) <= TERMINAL
        told[name] = " ".join(text.split())
    assert "Take the verdict above as unsettled." in told["parted"]
    assert "The model says kick." in told["parted"]
    assert "nothing is settled" in told["draws"]
    assert "The model" not in told["same"]
