"""The demo class: seven invented quarterbacks, their games, and who charted them.

Nobody here exists, and no seed was picked for its outcome.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from pointsleft.invent.logs import Fixture
from pointsleft.invent.people import Charter, Opponent, Quarterback

SEED, SEASON = 20190901, 2019

#: Games of the play-through from which the other sides' possessions are taken, and their seed.
POOL_GAMES, POOL_SEED = 1000, 11

QUARTERBACKS = (
    Quarterback("Perrin Ostlow", decision_error=0.25, lean=0.000, accuracy=-0.15),
    Quarterback("Dace Wexcombe", decision_error=0.35, lean=0.005, accuracy=0.05),
    Quarterback("Jorah Tindlemere", decision_error=0.50, lean=0.000, accuracy=0.00),
    Quarterback("Bram Undercliffe", decision_error=0.60, lean=0.030, accuracy=0.18),
    Quarterback("Oswin Pellgrave", decision_error=0.75, lean=-0.015, accuracy=0.08),
    Quarterback("Teague Marrowby", decision_error=1.00, lean=0.010, accuracy=-0.05),
    Quarterback("Ives Rusk-Holloway", decision_error=0.60, lean=0.000, accuracy=0.00),
)  # fmt: skip

TEAMS = (
    "Fennick Hollow Sawyers", "Garrowmere Lamplighters", "Tarn Edge Ferrymen",
    "Oxley Cross Wheelwrights", "Pell Harbour Cormorants", "Coldbarrow Quarrymen",
    "Withy Reach Beacons",
)  # fmt: skip

#: Games charted of each quarterback: one of them a single one.
GAMES = (5, 4, 4, 3, 3, 3, 1)

CHARTERS = (
    Charter("jm", window_slip=0.20, leniency=0.60, missed=0.04, blame_slip=0.10),
    Charter("rk", window_slip=0.28, leniency=0.35, missed=0.07, blame_slip=0.15),
)

#: The second voice on a game that the other charter logged whole: he works from another copy of
#: the film, leaves a few snaps out, and says so in the log.
SECOND = Charter(
    "rk", window_slip=0.28, leniency=0.35, missed=0.07, blame_slip=0.15, clip_spread=1.5,
    skipped=0.05,
)  # fmt: skip

#: Games (quarterback, which of his) that both charted.
TWICE = ((0, 1), (2, 0))

OPPONENTS = (
    Opponent("Marl Bridge Tinsmiths", coverage=0.15, rush=1.1),
    Opponent("Ashgill Drovers", coverage=-0.15, rush=0.8),
    Opponent("Stonefen Masons", coverage=0.05, rush=1.0),
    Opponent("Low Ferrin Herdsmen", coverage=-0.05, rush=1.3),
    Opponent("Hexley Moor Carters", coverage=0.20, rush=0.9),
    Opponent("Saltby Roads Coopers", coverage=-0.20, rush=1.0),
)


@dataclass(frozen=True, slots=True)
class ClassGame:
    """One game of the class.

    Attributes
    ----------
    folders
        Name of the log's folder by charter.
    """

    quarterback: Quarterback
    opponent: Opponent
    fixture: Fixture
    charters: tuple[Charter, ...]
    folders: tuple[str, ...]
    seed: np.random.SeedSequence


def games() -> Iterator[ClassGame]:
    """Every game of the class in order."""
    seeds = iter(np.random.SeedSequence(SEED).spawn(sum(GAMES)))
    for at, quarterback in enumerate(QUARTERBACKS):
        surname = quarterback.name.split()[-1].split("-")[0].lower()
        for game in range(GAMES[at]):
            week = 1 + 2 * game + at % 2
            opponent = OPPONENTS[(at + game) % len(OPPONENTS)]
            first = CHARTERS[(at + game) % 2]
            charters: tuple[Charter, ...] = (first,)
            folder = f"{surname}-{week:02d}"
            folders: tuple[str, ...] = (folder,)
            if (at, game) in TWICE:
                charters = (CHARTERS[0], SECOND)
                folders = (folder, f"{folder}-{SECOND.initials}")
            fixture = Fixture(
                quarterback.name, TEAMS[at], opponent.name, week, SEASON, f"{folder}.mp4"
            )
            yield ClassGame(quarterback, opponent, fixture, charters, folders, next(seeds))
