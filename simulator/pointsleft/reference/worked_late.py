"""Worked numbers of docs/late-choices.md: kneels by hand and played out, and late situations."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
from pointsleft_models.football.rules import rule_set
from pointsleft_models.playthrough.load import load_playthrough
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import Opening, Start

from pointsleft.endgame.actions import PLAY_CLOCK
from pointsleft.reference.markdown import table
from pointsleft.reference.measured import not_measured, read_measured
from pointsleft.reference.worked import run_command

#: What ``pointsleft_models.bench.playthrough_late`` writes.
MEASURED = "late-measured.json"

#: Seconds of a kneel (from memory).
KNEEL = 2
TWO_MINUTES = 120

KNEEL_OUT = Opening("kneel", keep=True, answered=True)

#: Games a cell of the table of kneels.
GAMES = 4000

#: Seconds on either side of the clock by hand at which the table is played out.
ASIDE = 12

LATE: dict[str, tuple[str, ...]] = {
    "kneel or run": (
        "late", "--quarter", "4", "--clock", "1:50", "--us", "21", "--them", "20", "--down", "1",
        "--distance", "10", "--ball", "opp 30", "--their-timeouts", "0",
    ),
    "spike or play": (
        "late", "--quarter", "4", "--clock", "0:22", "--us", "20", "--them", "22", "--down", "1",
        "--distance", "10", "--ball", "opp 38", "--our-timeouts", "0", "--running",
    ),
    "last kick": (
        "late", "--quarter", "4", "--clock", "0:38", "--us", "20", "--them", "20", "--down", "1",
        "--distance", "10", "--ball", "opp 25", "--our-timeouts", "1", "--their-timeouts", "1",
    ),
    "let them score": (
        "late", "--quarter", "4", "--clock", "1:10", "--us", "20", "--them", "21", "--down", "1",
        "--distance", "3", "--ball", "opp 3", "--their-timeouts", "1", "--side", "defense",
    ),
    "safety": (
        "late", "--quarter", "4", "--clock", "0:14", "--us", "24", "--them", "20", "--down", "4",
        "--distance", "9", "--ball", "own 3", "--their-timeouts", "0",
    ),
    "onside": (
        "late", "--kickoff", "--quarter", "4", "--clock", "1:40", "--us", "17", "--them", "20",
        "--their-timeouts", "2",
    ),
    "half": (
        "late", "--quarter", "2", "--clock", "0:28", "--us", "10", "--them", "10", "--down", "2",
        "--distance", "6", "--ball", "opp 31", "--our-timeouts", "1", "--running",
    ),
}  # fmt: skip


@cache
def parts() -> Parts:
    """The rest-of-game simulator under the rules of 2019."""
    return load_playthrough(rule_set("professional", 2019))[0]


def by_hand(timeouts: int) -> int:
    """Seconds that three kneels burn, first down, the other side with so many time-outs.

    Three kneels, and after each the play clock unless they stop it; at 2:00 the warning stops it.

    >>> [by_hand(k) for k in range(4)]
    [120, 86, 46, 6]
    """
    return min(3 * KNEEL + (3 - timeouts) * PLAY_CLOCK, TWO_MINUTES)


def kneeling(seconds: int, timeouts: int, games: int = GAMES, seed: int = 1) -> float:
    """Share of games in which the other side never has a snap, or the fourth down comes."""
    start = Start(
        2, seconds, lead=1, down=1, distance=10, yards_to_goal=60, opponent_timeouts=timeouts
    )
    run = play_through(parts(), start, games, seed, until="half", opening=KNEEL_OUT, record=True)
    reached = (run.log["offense"] == 1) | (run.log["down"] == 4)
    return 1 - len(np.unique(run.log["game"][reached])) / games


def kneel_table() -> str:
    """Kneeling by hand, and played out on either side of it."""
    rows = []
    for timeouts in range(4):
        hand = by_hand(timeouts)
        cells = [max(hand - ASIDE, 1), hand + ASIDE]
        shares = [f"{s // 60}:{s % 60:02d}: {100 * kneeling(s, timeouts):.0f}%" for s in cells]
        rows.append((str(timeouts), f"{hand // 60}:{hand % 60:02d}", *shares))
    return table(
        ("their time-outs", "by hand", "over, with less", "over, with more"), rows, 3
    )  # fmt: skip


#: Both answers to a flag, and a free play.
FLAGS: dict[str, tuple[str, ...]] = {
    "accept or decline": (
        "flag", "--ball", "own 40", "--down", "3", "--distance", "7", "--foul-by", "offense",
        "--foul", "holding", "--foul-yards", "10", "--result", "complete", "--yards", "5",
    ),
    "free shot": (
        "flag", "--ball", "opp 40", "--down", "2", "--distance", "8", "--foul-by", "defense",
        "--foul-when", "before", "--foul-yards", "5", "--options", "go35.r/n slant5.m/s",
    ),
}  # fmt: skip


def measured(docs: Path) -> str:
    """Late situations of the archive played on, as last measured."""
    found = read_measured(docs, MEASURED)
    if found is None:
        command = f"python -m pointsleft_models.bench.playthrough_late --save docs/{MEASURED}"
        return not_measured(command, MEASURED)
    rows = [
        (
            row["what"], row["band"], str(row["rows"]), f"{row['simulated']:.3f}",
            f"{row['archive']:.3f}", f"{row['error']:.3f}",
        )
        for row in found
    ]  # fmt: skip
    head = ("of every snap", "seconds left", "snaps", "played out", "archive", "its error")
    return table(head, rows, 4)


def _typed(arguments: tuple[str, ...]) -> Callable[[], str]:
    return lambda: run_command(*arguments)


def blocks(docs: Path) -> dict[str, Callable[[], str]]:
    """Every computed part of docs/late-choices.md."""
    return {
        "kneels played out": kneel_table,
        "late measured": lambda: measured(docs),
        **{name: _typed(arguments) for name, arguments in {**LATE, **FLAGS}.items()},
    }
