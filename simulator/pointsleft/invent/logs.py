"""From a film to a log: the sheets that a charter hands in."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pointsleft.invent.chart import chart
from pointsleft.invent.film import Film
from pointsleft.invent.people import Charter
from pointsleft.log.schema import GAME_COLUMNS
from pointsleft.log.sheets import RawLog, RawSheet

#: Marks every invented log.
INVENTED = "everything in this log is invented: league, teams, players and plays"


@dataclass(frozen=True, slots=True)
class Fixture:
    """Who meets whom, when."""

    quarterback: str
    us: str
    them: str
    week: int
    season: int
    film: str


def log_of(film: Film, fixture: Fixture, charter: Charter, rng: np.random.Generator) -> RawLog:
    """The log of a film by one charter."""
    some = charter.skipped > 0
    game = {
        "title": f"{fixture.us} against {fixture.them}, week {fixture.week}",
        "level": "professional",
        "season": str(fixture.season),
        "us": fixture.us,
        "them": fixture.them,
        "quarterback": fixture.quarterback,
        "opening kickoff to": film.opening_kickoff_to,
        "film": fixture.film,
        "charter": charter.initials,
        "final us": str(film.us),
        "final them": str(film.them),
        "snaps logged": "some" if some else "all",
        "league": "Upland League (invented)",
        "about": INVENTED,
    }
    return RawLog((
        RawSheet("game", GAME_COLUMNS, tuple(game.items())),
        chart(film, charter, rng, spelt=some),
    ))  # fmt: skip
