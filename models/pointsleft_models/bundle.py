"""All models of one level of play, ready to value situations and options."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from importlib.resources import files
from pathlib import Path

import numpy as np

from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.read import components_of
from pointsleft_models.fitting.store import StoredFit, StoreError, load_fit
from pointsleft_models.fitting.yardage import YardageLaw
from pointsleft_models.football.field import KICK_EXTRA
from pointsleft_models.football.rules import RuleSet, rule_set
from pointsleft_models.laws.clock import ClockLaw
from pointsleft_models.laws.going import GoingLaw
from pointsleft_models.laws.kicking import KickingLaw
from pointsleft_models.laws.kickoff import KickoffLaw
from pointsleft_models.laws.library import Library
from pointsleft_models.laws.passing import PassingLaw
from pointsleft_models.laws.rushing import RushingLaw
from pointsleft_models.values.ending import Ending
from pointsleft_models.values.favoured import Favoured
from pointsleft_models.values.field import Valuation
from pointsleft_models.values.next_score import QUESTIONS, NextScore
from pointsleft_models.values.overtime import OvertimeValue
from pointsleft_models.values.points import ExpectedPoints, KickoffClock
from pointsleft_models.values.wins import WinProbability

LAW_FAMILIES = ("passing", "rushing", "rush", "kicking", "turnovers", "clock", "ending", "going")
FAMILIES = ("next-score", "wins", *LAW_FAMILIES)

#: What a pre-game spread adds: only where the games that a level was fitted on have one.
SPREAD = "spread"

#: Field goals from farther out than this are not priced as a last resort.
LONGEST_LAST_KICK = 50

LAST_SECONDS = 15

#: Ways of a component that leave it as another level has it (see ``recipes/level.py``).
TAKEN_OVER = ("borrowed", "as it is")

#: Folder of the user's own levels, where the environment names one.
LEVELS = "POINTSLEFT_LEVELS"

_LEVEL_NAME = re.compile(r"[a-z0-9][a-z0-9-]*")


@dataclass(frozen=True)
class Models:
    """Everything fitted for one level.

    Attributes
    ----------
    level
        Level of play the fits are for.
    fits
        Stored fits by family.
    """

    level: str
    fits: Mapping[str, StoredFit]

    @cached_property
    def library(self) -> Library:
        """Fitted components of all laws."""
        components: dict[str, FittedLogit | YardageLaw] = {}
        for family in LAW_FAMILIES:
            components |= components_of(self.fits[family])
        return Library(components)

    @cached_property
    def next_score(self) -> NextScore:
        return read_next_score(self.fits["next-score"])

    @cached_property
    def win_fit(self) -> FittedLogit:
        stored = self.fits["wins"]
        return FittedLogit.from_arrays(stored.card.settings["basis"], stored.arrays, "wins")

    @cached_property
    def favoured(self) -> Favoured | None:
        """What a pre-game spread adds to the chance to win; nothing known at some levels."""
        stored = self.fits.get(SPREAD)
        if stored is None:
            return None
        basis = stored.card.settings["basis"]
        return Favoured(FittedLogit.from_arrays(basis, stored.arrays, SPREAD))

    @property
    def refits(self) -> int:
        return self.next_score.refits

    @property
    def rules_level(self) -> str:
        """Level whose rules the fits were made under."""
        rules = str(self.fits["wins"].card.settings.get("rules", self.level))
        return rules.rpartition(" ")[0] or self.level

    @property
    def leans_on(self) -> str:
        """Level that these fits lean on and borrow from; empty where they stand alone."""
        return str(self.fits["wins"].card.settings.get("leans on", {}).get("level", ""))

    @cached_property
    def borrowed(self) -> dict[str, tuple[str, ...]]:
        """Family -> its components that come from another level as they are there."""
        out = {}
        for name, fit in self.fits.items():
            settings = fit.card.settings
            about = settings.get("settled") or {
                part: own.get("settled", {}) for part, own in settings.get("components", {}).items()
            }
            taken = (part for part, own in about.items() if own.get("how") in TAKEN_OVER)
            if parts := tuple(taken):
                out[name] = parts
        return out

    def borrowed_told(self) -> str:
        """What these fits take over from another level, in a sentence; empty where nothing."""
        if not self.borrowed:
            return ""
        whole: list[str] = []
        parts: list[str] = []
        for name, taken in self.borrowed.items():
            settings = self.fits[name].card.settings
            has = settings.get("settled") or settings.get("components", {})
            if len(taken) == len(has):
                whole.append(name)
            else:
                parts.append(f"{', '.join(taken)} of {name}")
        listed = "; ".join([", ".join(f"all of {name}" for name in whole), *parts])
        return (
            f"level {self.level} takes over from {self.leans_on} play what its own plays do not "
            f"tell, or tell no better: {listed} (docs/levels.md)"
        )

    def under(self, rules: RuleSet) -> Worth:
        """The models under one rule set."""
        return Worth(self, rules)


class Worth:
    """Values and laws under one rule set; build once, use for many snaps.

    Attributes
    ----------
    points, wins, overtime, valuation
        Currencies, and the value of a lattice in them.
    library
        Fitted components, as they are in the season of the rules.
    passing, rushing, kicking, going, clock
        Laws of options.
    """

    def __init__(self, models: Models, rules: RuleSet) -> None:
        self.models = models
        self.rules = rules
        self.library = library = models.library.of(rules.season)
        long = int(rules.extra_point_snap >= 10)
        kick = float(library.logit("extra point").probability({"long": long})[0])
        self.passing = PassingLaw(library)
        self.rushing = RushingLaw(library)
        self.kicking = KickingLaw(library)
        self.going = GoingLaw(library)
        self.clock = ClockLaw(library)
        self.points = ExpectedPoints(
            models.next_score,
            read_kickoff(library),
            read_kickoff_clock(models.fits["next-score"]),
            rules,
            kick,
        )
        self.wins = WinProbability(self.points, models.win_fit, self._ending(), models.favoured)
        self.two_point = float(library.logit("two-point").probability({"passed": 1})[0])
        self.overtime = OvertimeValue(self.points, rules.overtime)
        self.valuation = Valuation(self.points, self.wins, self.clock, self.two_point)

    def _ending(self) -> Ending:
        library = self.library
        spots = np.arange(1, 100)
        kick = self.kicking.make_chance(spots + KICK_EXTRA, refits=True)
        heave = library.logit("last touchdown").probability({"yards_to_goal": spots}, refits=True)
        law = self.clock.lasting(5.0)
        lasts = 1 - np.concatenate([[0.0], np.cumsum(law)])[:LAST_SECONDS]
        return Ending(
            kick=kick * (spots <= LONGEST_LAST_KICK),
            heave=heave,
            lasts=np.clip(lasts, 0, 1),
            knelt_out=float(library.logit("knelt out").probability({"always": 0})[0]),
        )


def read_next_score(stored: StoredFit) -> NextScore:
    """The six questions of a stored fit."""
    bases = stored.card.settings["questions"]
    return NextScore({q: FittedLogit.from_arrays(bases[q], stored.arrays, q) for q in QUESTIONS})


def read_kickoff_clock(stored: StoredFit) -> KickoffClock:
    """When the next score comes, from the fit of the next score."""
    arrays = stored.arrays
    return KickoffClock(arrays["kickoff clock.knots"], arrays["kickoff clock.mixing"])


def read_kickoff(library: Library) -> KickoffLaw:
    """The law of kickoffs from a library of components."""
    return KickoffLaw(
        touchback=_logit(library, "kickoff touchback"),
        kept=_logit(library, "kickoff kept"),
        start=_yards(library, "kickoff"),
    )


def _logit(library: Library, name: str) -> FittedLogit:
    component = library.components[name]
    assert isinstance(component, FittedLogit)
    return component


def _yards(library: Library, name: str) -> YardageLaw:
    component = library.components[name]
    assert isinstance(component, YardageLaw)
    return component


def shipped_folder(level: str) -> Path:
    """Where the fits that come with the package lie."""
    return Path(str(files("pointsleft_models").joinpath("shipped", level)))


def shipped_levels() -> tuple[str, ...]:
    """Levels of play with shipped fits."""
    return _levels_in(Path(str(files("pointsleft_models").joinpath("shipped"))))


def own_levels_folder() -> Path:
    """Where a user's own levels lie: :data:`LEVELS`, else the user's data folder."""
    named = os.environ.get(LEVELS)
    if named:
        return Path(named)
    import platformdirs

    return platformdirs.user_data_path("pointsleft", appauthor=False) / "levels"


def own_folder(level: str) -> Path:
    """Where one of the user's own levels lies.

    Raises
    ------
    StoreError
        A name that is no plain word.
    """
    if not _LEVEL_NAME.fullmatch(level):
        raise StoreError(
            f"{level!r} is no name of a level: lower-case letters, figures and dashes make one"
        )
    return own_levels_folder() / level


def own_levels() -> tuple[str, ...]:
    """Levels of play that the user fitted and kept."""
    return _levels_in(own_levels_folder())


def _levels_in(folder: Path) -> tuple[str, ...]:
    """Folders that hold fits; of another name they are no level (a copy, or one half kept)."""
    if not folder.is_dir():
        return ()
    named = (p for p in folder.iterdir() if _LEVEL_NAME.fullmatch(p.name))
    return tuple(sorted(p.name for p in named if (p / "wins.json").exists()))


def load_models(level: str = "professional", folder: str | Path | None = None) -> Models:
    """Load the fits of a level.

    Parameters
    ----------
    folder
        A folder written by ``pointsleft fit``; when absent the shipped fits of the level, or
        else those that the user kept under its name.

    Raises
    ------
    StoreError
        No such level, or a fit that is missing, of another format, changed, made on others, or
        not of the same run as those beside it.
    """
    shipped = shipped_levels()
    if folder is not None:
        where = Path(folder)
    else:
        where = shipped_folder(level) if level in shipped else own_folder(level)
    if not where.is_dir():
        known = ", ".join(shipped) or "none"
        own = ", ".join(own_levels()) or "none"
        raise StoreError(
            f"no fits for level {level!r} (shipped: {known}; your own: {own}); see pointsleft fit"
        )
    fits = {family: load_fit(where, family) for family in FAMILIES}
    _refuse_mixed(fits, where)
    if (where / f"{SPREAD}.json").is_file():
        fits[SPREAD] = load_fit(where, SPREAD)
        if fits[SPREAD].card.settings["stands on"] != stands_on(fits):
            raise StoreError(
                f"fit {SPREAD!r} in {where} was made on other wins than those beside it; "
                "run: pointsleft fit --games FILE"
            )
    return Models(level, fits)


def _refuse_mixed(fits: Mapping[str, StoredFit], where: Path) -> None:
    """Fits of one run know of each other: their refits move together, and wins stand on points."""
    runs: dict[str, list[str]] = {}
    for family, fit in fits.items():
        runs.setdefault(fit.card.settings["key"], []).append(family)
    if len(runs) > 1:
        told = "; ".join(
            f"{', '.join(names)} ({fits[names[0]].card.level}, {fits[names[0]].card.refits} refits)"
            for names in runs.values()
        )
        raise StoreError(
            f"fits of {len(runs)} runs lie in {where}: {told}. Run the same pointsleft fit again "
            "to the end, or each into a folder of its own (--out)"
        )


def stands_on(fits: Mapping[str, StoredFit]) -> str:
    """Short hash of the fit on which that of the spread stands."""
    return fits["wins"].digest[:16]


def load_worth(level: str = "professional", season: int | None = None) -> Worth:
    """The shipped models of a level under one season's rules."""
    return load_models(level).under(rule_set(level, season))
