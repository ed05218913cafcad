"""Plays named for a fourth down: what the log's own laws make of a sneak, a run, an option, a pass.

A named play goes through the same option models as a row of a log, so a judgement that stands
behind it is the one of the table, and its code is told.
"""

from __future__ import annotations

from dataclasses import replace

from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation

from pointsleft.log.record import Call, Defense, Happened, LoggedOption, Read, Snap
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.snap import prepare

#: Word -> what it is.
PLAYS: dict[str, str] = {
    "sneak": "quarterback sneak up the middle",
    "inside": "inside run off the guard",
    "outside": "run around the end",
    "keep": "option, the quarterback keeps",
    "pitch": "option, the pitch",
    "pass": "pass at the sticks",
}

_FAMILY = {"sneak": "qb-run", "inside": "hand-off", "outside": "hand-off", "keep": "option",
           "pitch": "option", "pass": "quick"}  # fmt: skip
_GAP = {"sneak": "middle", "inside": "guard", "outside": "end"}

#: Air yards of the pass at the sticks beyond the line to gain: at it (common practice, no source).
_BEYOND = 0


def logged_play(situation: Situation, word: str) -> Snap:
    """A named play as a row of a log with one option."""
    if word == "pass":
        air = min(situation.distance + _BEYOND, situation.yards_to_goal)
        option = LoggedOption(word, "throw", air_yards=air, place=1, window="even")
    elif word in _GAP:
        option = LoggedOption(word, "run", gap=_GAP[word])
    else:
        option = LoggedOption(word, word, gap="end")
    under = word in ("sneak", "inside")
    return Snap(
        number="1", clip=None, situation=situation, tempo=None, play_clock=None,
        call=Call(family=_FAMILY[word], alignment="under" if under else "gun"),
        defense=Defense(), read=Read(), happened=Happened(chosen=word), options=(option,),
    )  # fmt: skip


def named_model(worth: Worth, situation: Situation, word: str) -> OptionModel:
    """A named play as an option model."""
    model = prepare(worth, logged_play(situation, word))[2][0]
    return replace(model, label=PLAYS[word])
