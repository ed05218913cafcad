"""Fitting the play-through: its parts, and how the teams of its games differ.

The parts are fitted once, without refits: the play-through is the second witness, and what it
shows is the spread of its draws. What the model does not know is told by the refits of the first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import astuple, dataclass
from typing import Any

import numpy as np
import polars as pl

from pointsleft_models.football.rules import RuleSet
from pointsleft_models.laws.library import Library
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.playthrough.engine import run_batch
from pointsleft_models.playthrough.load import TEAMS
from pointsleft_models.playthrough.parts import Parts, build_parts
from pointsleft_models.playthrough.start import kickoff_start
from pointsleft_models.playthrough.teams import Teams
from pointsleft_models.playthrough.whistle import Mode
from pointsleft_models.recipes.component import (
    Component,
    Fitted,
    component_settings,
    fit_component,
    score_component,
)
from pointsleft_models.recipes.playthrough import PLAYTHROUGH
from pointsleft_models.recipes.playthrough_strength import Differences, differences
from pointsleft_models.recipes.threads import on_one_thread

Array = np.ndarray
Draws = Callable[[str], np.random.Generator]

#: Points of strength, and games, by which the reach of a point is measured.
REACH_BY, REACH_GAMES = 8.0, 16384


@dataclass(frozen=True, slots=True)
class FittedPlaythrough:
    """Arrays for the store, settings of the components, and their scores."""

    arrays: dict[str, Array]
    components: dict[str, Any]
    scores: dict[str, Any]


def fit_playthrough(
    plays: pl.DataFrame,
    laws: Library,
    rules: RuleSet,
    draws: Draws,
    *,
    score_seasons: tuple[int, ...] = (),
    workers: int = 1,
    progress: Progress = quiet,
) -> FittedPlaythrough:
    """Fit every part.

    Parameters
    ----------
    plays
        The play table with next snaps.
    laws
        Fitted kicks.
    rules
        Rule set under which the reach of a point of strength is measured.
    draws
        Generator of a task, by its name.
    score_seasons
        Seasons left out in turn for the scores; none by default.
    """
    from joblib import Parallel, delayed

    done: dict[str, Fitted] = {}
    scores: dict[str, Any] = {}
    for later in (False, True):  # a part that adds to another comes after it
        todo = [c for c in PLAYTHROUGH if bool(c.on) == later]
        seeds = {c.name: draws(c.name) for c in todo}
        jobs = (
            delayed(_fit_one)(c, plays, seeds[c.name], _base(c, done), score_seasons) for c in todo
        )
        pool = Parallel(n_jobs=min(workers, len(todo)), return_as="generator_unordered")
        for name, fitted, score in progress(pool(jobs), len(todo), "fitting the play-through"):
            done[name] = fitted
            scores |= score
    arrays: dict[str, Array] = {}
    for component in PLAYTHROUGH:
        arrays |= done[component.name].arrays(component.name)
    parts = build_parts(Library(done), laws, rules)
    teams = _teams(differences(plays), parts, draws)
    arrays[TEAMS] = np.array(astuple(teams))
    return FittedPlaythrough(arrays, {c.name: component_settings(c) for c in PLAYTHROUGH}, scores)


def _base(component: Component, done: dict[str, Fitted]) -> tuple[Component, Fitted] | None:
    if not component.on:
        return None
    return next(c for c in PLAYTHROUGH if c.name == component.on), done[component.on]


@on_one_thread
def _fit_one(
    component: Component,
    plays: pl.DataFrame,
    rng: np.random.Generator,
    base: tuple[Component, Fitted] | None,
    score_seasons: Sequence[int],
) -> tuple[str, Fitted, dict[str, Any]]:
    fitted = fit_component(component, plays, rng, None, base)
    score = None
    if score_seasons:
        seed = int(rng.integers(2**31))
        under = base[0] if base else None
        score = score_component(component, plays, seed, tuple(score_seasons), under)
    about = {}
    if score is not None:
        about[component.name] = {
            "log_loss": score.loss,
            "marginal": score.marginal,
            "rows": score.rows,
            "games": score.games,
        }
    return component.name, fitted, about


def _teams(found: Differences, parts: Parts, draws: Draws) -> Teams:
    """The differences, with the reach of a point in margin and total measured by play."""
    start, mode = kickoff_start(parts.rules), Mode()

    def run(first: float, second: float) -> tuple[float, float]:
        strengths = np.repeat([[first], [second]], REACH_GAMES, axis=1)
        done = run_batch(parts, start, strengths, draws("reach"), mode)
        return float(done.margin.mean()), float(done.total.mean())

    better, worse = run(REACH_BY, -REACH_BY), run(-REACH_BY, REACH_BY)
    high, low = run(REACH_BY, REACH_BY), run(-REACH_BY, -REACH_BY)
    return Teams(
        spread=found.spread,
        level=found.level,
        edge=found.edge,
        equal=found.equal,
        reach=(better[0] - worse[0]) / (2 * REACH_BY),
        level_reach=(high[1] - low[1]) / (2 * REACH_BY),
    )
