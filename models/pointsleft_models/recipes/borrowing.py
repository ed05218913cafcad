"""What each component is made from, and what a table cannot say.

A table of plays without air yards says nothing of throws; one whose clock is read once a drive
says nothing of waits. Such components are taken from a fit of another level, by name and marked,
instead of being refused or invented.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import polars as pl

from pointsleft_models.laws.years import YEAR
from pointsleft_models.recipes.component import Component

#: Component -> columns of the play table without which it cannot be fitted at all.
#: Participation data are named by the component itself.
MADE_FROM: Mapping[str, tuple[str, ...]] = {
    "complete": ("air_yards", "targeted"),
    "intercepted": ("air_yards", "targeted"),
    "after": ("air_yards", "yards_after_catch"),
    "fumbled": ("air_yards", "targeted"),
    "end zone touchback": ("air_yards",),
    "interception return": ("air_yards", "return_yards"),
    "wait": ("clock", "out_of_bounds"),
    "own time-out": ("clock", "out_of_bounds", "timeout_by"),
    "other time-out": ("clock", "out_of_bounds", "timeout_by"),
    "play": ("clock",),
    "caught out of bounds": ("out_of_bounds", "air_yards"),
    "ran out of bounds": ("out_of_bounds",),
    "scrambled out of bounds": ("out_of_bounds",),
    "last touchdown": ("clock",),
    "field goal": ("kick_distance", "kick_result"),
    "field goal blocked": ("kick_distance", "kick_result"),
    "punt blocked": ("kick_result",),
    "punt touchback": ("kick_result",),
    "punt": ("kick_result",),
    "kickoff touchback": ("kick_result",),
    "extra point": ("kick_result",),
    "two-point": ("kick_result",),
    "onside kept": ("kick_result",),
    "go": ("gain",),
    "run": ("gain",),
    "scramble": ("gain",),
    "sack": ("gain",),
}

#: Variable of a component -> columns that say it; where none does, its terms stay as they are in
#: the fit that a level leans on, and the others move.
SAID_BY: Mapping[str, tuple[str, ...]] = {
    "gap_code": ("gap",),
    "third_code": ("third",),
    "gun": ("shotgun",),
}

#: Fewest games and plays of a component, and fewest of its plays that ended either way: below
#: this even the departure from another level is luck. By one play in five of the games (a part
#: of a cut) with 10 plays of the rarer end a share is known to about a third of itself.
FEWEST_GAMES, FEWEST_PLAYS, FEWEST_EITHER = 20, 100, 10

#: Fewest games of a fit that leans on no other: it is made again on fifths of them.
ALONE_GAMES = 5 * FEWEST_GAMES


@dataclass(frozen=True, slots=True)
class Lack:
    """Why a component cannot be fitted on a table."""

    text: str


def lacking(component: Component, plays: pl.DataFrame, rough: Collection[str] = ()) -> Lack | None:
    """Why a component cannot be fitted, or nothing.

    Parameters
    ----------
    plays
        The play table with next snaps.
    rough
        Columns that the source only knows roughly (:class:`Reading`).
    """
    if component.needs == "participation" and _empty(plays, "pressured"):
        return Lack("no participation data")
    wanted = MADE_FROM.get(component.name, ())
    absent = [name for name in wanted if _empty(plays, name)]
    if absent:
        return Lack(f"the plays do not say {_and(absent)}")
    vague = [name for name in wanted if name in rough]
    if vague:
        return Lack(f"the plays say {_and(vague)} only roughly")
    return too_few(component, component.rows(plays))


def too_few(component: Component, frame: pl.DataFrame) -> Lack | None:
    """Whether the rows of a component are too few to say anything."""
    games = frame["game"].n_unique()
    if len(frame) < FEWEST_PLAYS or games < FEWEST_GAMES:
        return Lack(
            f"{len(frame)} plays of {games} games; it takes {FEWEST_PLAYS} of {FEWEST_GAMES}"
        )
    if component.is_yardage:
        return None
    yes = float(frame[component.yes].cast(pl.Float64).sum())
    rarer = min(yes, len(frame) - yes)
    if rarer < FEWEST_EITHER:
        return Lack(
            f"{rarer:.0f} of its {len(frame)} plays ended the rarer way; it takes {FEWEST_EITHER}"
        )
    return None


def unsaid(component: Component, plays: pl.DataFrame) -> frozenset[str]:
    """Variables of a component of which the plays say nothing."""
    names = set(component.covariates)
    silent = {
        name for name in names
        if name in SAID_BY and all(_empty(plays, column) for column in SAID_BY[name])
    }  # fmt: skip
    if YEAR in names and plays["season"].n_unique() < 2:
        silent.add(YEAR)  # one season has no trend
    return frozenset(silent)


def _empty(plays: pl.DataFrame, name: str) -> bool:
    return name not in plays.columns or plays[name].null_count() == len(plays)


def _and(names: list[str]) -> str:
    return " and ".join(names)
