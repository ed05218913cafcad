"""How far the seasons of an archive lie from the laws that were fitted to all of them.

The fits take a season for a draw of the one game that their law describes. Where its log odds
wander from season to season a law says what the archive did on the whole, and its refits, which
draw games again and not seasons, do not tell so.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pointsleft_models.fitting.counts import Counts
from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import logit_of
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.families import every_component

if TYPE_CHECKING:
    import polars as pl

    from pointsleft_models.laws.library import Library

Array = np.ndarray

#: Seasons that a law needs before its wandering is looked at, and what a season needs to be one of
#: them: the variance of its number of yeses.
FEWEST, LEAST_ROOM = 4, 5.0


@dataclass(frozen=True, slots=True)
class Season:
    """One season under the law of all of them.

    Attributes
    ----------
    trials
        Plays; for a law of yards all yards at which a carrier could be stopped.
    said, came
        Mean chance and share.
    moved, error
        Log odds by which the season lies above the law, and the standard error by game.
    """

    season: int
    trials: int
    said: float
    came: float
    moved: float
    error: float


@dataclass(frozen=True, slots=True)
class Drift:
    """The seasons of one law.

    Attributes
    ----------
    trend, trend_error
        Log odds in ten seasons: weighted least squares through the seasons, with the standard
        error of their scatter about it.
    wander
        Standard deviation of the seasons' log odds beyond what games alone would bring.
    """

    family: str
    component: str
    yards: bool
    seasons: tuple[Season, ...]
    trend: float
    trend_error: float
    wander: float


def drifts(
    plays: pl.DataFrame,
    library: Library,
    *,
    only: Collection[str] = (),
    progress: Progress = quiet,
) -> list[Drift]:
    """Every law that the plays and the library carry.

    Parameters
    ----------
    plays
        With next snaps; participation joined where there is any.
    only
        Components that are looked at, where not all are.
    """
    season_of = dict(plays.select("game", "season").unique().iter_rows())
    jobs = list(every_component())
    out = []
    for family, component, base in progress(jobs, len(jobs), "laws by season"):
        if not library.has(component.name) or (only and component.name not in only):
            continue
        counts, p = _said(component, base, plays, library)
        seasons = tuple(moves(counts, p, season_of))
        if len(seasons) >= FEWEST:
            own = (family, component.name, component.is_yardage)
            out.append(Drift(*own, seasons, *trend(seasons), wander(seasons)))
    return out


def _said(
    component: Component, base: Component | None, plays: pl.DataFrame, library: Library
) -> tuple[Counts, Array]:
    """Counts of a component and its chances (n,) under the point fit."""
    counts = component.counts(component.rows(plays), also=base.covariates if base else ())
    eta = np.zeros(len(counts.trials))
    for part in (component, base):
        if part is not None:
            eta = eta + logit_of(library.components[part.name]).eta(counts.columns)
    return counts, expit(eta)


def moves(counts: Counts, p: Array, season_of: Mapping[str, int]) -> Iterator[Season]:
    """The seasons of one law, in order.

    Parameters
    ----------
    p
        (n,) chances of the rows of the counts.
    season_of
        Game -> season.
    """
    season = np.array([season_of[game] for game in counts.games])
    said, room = (counts.by_game_trials.T @ value for value in (p, p * (1 - p)))
    trials = np.asarray(counts.by_game_trials.sum(0)).ravel()
    came = np.asarray(counts.by_game_yes.sum(0)).ravel()
    for one in np.unique(season):
        inside = season == one
        many, all_room = trials[inside].sum(), room[inside].sum()
        if all_room < LEAST_ROOM:
            continue
        # one step of Newton's method from the law
        moved = (came - said)[inside].sum() / all_room
        apart = (came - said - moved * room)[inside]
        yield Season(
            season=int(one),
            trials=int(many),
            said=float(said[inside].sum() / many),
            came=float(came[inside].sum() / many),
            moved=float(moved),
            error=float(np.sqrt((apart**2).sum()) / all_room),
        )


def trend(seasons: tuple[Season, ...]) -> tuple[float, float]:
    """Log odds in ten seasons and the standard error."""
    import statsmodels.api as sm

    year = np.array([s.season for s in seasons], dtype=float)
    moved, weights = _weighed(seasons)
    line = sm.WLS(moved, sm.add_constant((year - year.mean()) / 10), weights=weights).fit()
    return float(line.params[1]), float(line.bse[1])


def wander(seasons: tuple[Season, ...]) -> float:
    """Standard deviation of the log odds between seasons, by moments (DerSimonian and Laird 1986,
    from memory); 0 where they differ no more than games do."""
    moved, weights = _weighed(seasons)
    mean = (weights * moved).sum() / weights.sum()
    excess = (weights * (moved - mean) ** 2).sum() - (len(moved) - 1)
    scale = weights.sum() - (weights**2).sum() / weights.sum()
    return float(np.sqrt(max(excess, 0.0) / scale))


def _weighed(seasons: tuple[Season, ...]) -> tuple[Array, Array]:
    return np.array([s.moved for s in seasons]), np.array([s.error for s in seasons]) ** -2.0
