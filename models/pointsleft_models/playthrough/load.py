"""The parts of the play-through from stored fits."""

from __future__ import annotations

from pathlib import Path

from pointsleft_models.bundle import shipped_folder, shipped_levels
from pointsleft_models.fitting.read import components_of
from pointsleft_models.fitting.store import StoredFit, StoreError, load_fit
from pointsleft_models.football.rules import RuleSet
from pointsleft_models.laws.library import Library
from pointsleft_models.playthrough.parts import Parts, build_parts
from pointsleft_models.playthrough.teams import Teams

#: Name of the stored fit.
NAME = "playthrough"

#: Name of its array of :class:`Teams` (its attributes in their order).
TEAMS = "teams"


class NoSimulatorError(StoreError):
    """A level whose play tables do not say enough to play games through."""


def load_playthrough(
    rules: RuleSet, level: str = "professional", folder: str | Path | None = None
) -> tuple[Parts, Teams]:
    """Parts under one rule set, and how teams differ.

    Parameters
    ----------
    folder
        A folder written by ``pointsleft fit``; the shipped fits when absent.

    Raises
    ------
    NoSimulatorError
        The level has none.
    StoreError
        A fit that is missing, of another format, or changed.
    """
    if folder is None and not _has_one(level):
        there = ", ".join(filter(_has_one, shipped_levels()))
        raise NoSimulatorError(
            f"level {level} has no fit of whole games, so nothing can be played out under it; "
            f"there is one for: {there or 'no level'}"
        )
    where = shipped_folder(level) if folder is None else Path(folder)
    own = load_fit(where, NAME)
    laws = Library(components_of(load_fit(where, "kicking")))
    return build_parts(Library(components_of(own)), laws, rules), teams_of(own)


def _has_one(level: str) -> bool:
    return (shipped_folder(level) / f"{NAME}.json").is_file()


def teams_of(stored: StoredFit) -> Teams:
    """How teams differ, from a stored fit."""
    return Teams(*(float(x) for x in stored.arrays[TEAMS]))
