"""Fitting all models of a level: independent tasks, resumable, the same for any worker count."""

from __future__ import annotations

import datetime
import hashlib
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import polars as pl

from pointsleft_models.bundle import (
    FAMILIES,
    SPREAD,
    Models,
    read_kickoff,
    read_kickoff_clock,
    read_next_score,
    stands_on,
)
from pointsleft_models.fitting.logit import FitError
from pointsleft_models.fitting.read import components_of
from pointsleft_models.fitting.store import Card, StoredFit, StoreError, load_fit, save_fit
from pointsleft_models.laws.library import Library
from pointsleft_models.plays.games import CREDIT as GAMES_CREDIT
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.plays.sequence import with_next_snap
from pointsleft_models.playthrough.load import NAME as PLAYTHROUGH_FIT
from pointsleft_models.recipes.component import (
    Component,
    Fitted,
    component_settings,
    fit_component,
    score_component,
)
from pointsleft_models.recipes.enough import refuse_too_little
from pointsleft_models.recipes.families import LAWS
from pointsleft_models.recipes.kept_parts import KeptParts
from pointsleft_models.recipes.level_fits import (
    leaning_on,
    settle_family,
    settle_next_score,
    settle_wins,
)
from pointsleft_models.recipes.next_score import fit_kickoff_clock, fit_next_score, next_score_rows
from pointsleft_models.recipes.next_score_basis import next_score_bases
from pointsleft_models.recipes.plan import FitPlan
from pointsleft_models.recipes.playthrough_fit import fit_playthrough
from pointsleft_models.recipes.threads import on_one_thread
from pointsleft_models.recipes.win_basis import win_basis
from pointsleft_models.recipes.win_spread import (
    fit_spreads,
    score_spread,
    spread_basis,
    spread_rows,
)
from pointsleft_models.recipes.wins import fit_wins, win_rows
from pointsleft_models.values.points import ExpectedPoints

#: Seasons left out in turn for the scores on the cards of the laws.
SCORE_SEASONS = (2010, 2014, 2018)

#: Parts of the games left out in turn where there is one season.
SCORE_PARTS = 5

#: The season left out for the scores of the parts of the play-through, which are many.
PLAYTHROUGH_SCORED = (2014,)


@on_one_thread
def fit_everything(
    plan: FitPlan, folder: Path, *, progress: Progress = quiet, workers: int = 1
) -> dict[str, StoredFit]:
    """Fit every family and write it to a folder.

    A family already there that was fitted from the same data, seed and settings is kept, so an
    interrupted run goes on where it stopped.

    Raises
    ------
    FitError
        The plays are too few or broken (what, and the minimum), the folder holds the fits of
        another level, or a fit did not come to rest.
    """
    from joblib import Parallel, delayed

    refuse_too_little(plan.plays, leans=plan.lean is not None)
    _refuse_other_level(plan.level, folder)
    folder.mkdir(parents=True, exist_ok=True)
    key = plan.key()
    have_participation = plan.plays["pressured"].null_count() < len(plan.plays)
    todo = [name for name in LAWS if not _is_done(folder, name, key)]
    jobs = (delayed(_fit_laws)(plan, name, folder, key, have_participation) for name in todo)
    pool = Parallel(n_jobs=workers if len(todo) > 1 else 1, return_as="generator_unordered")
    for _ in progress(pool(jobs), len(todo), "fitting laws"):
        pass
    if not _is_done(folder, "next-score", key):
        _fit_next_score(plan, folder, key, progress, workers)
    if not _is_done(folder, "wins", key):
        _fit_wins(plan, folder, key, progress, workers)
    names = ("next-score", "wins", *LAWS)
    if plan.lean is None:  # whole games need every part of their own
        if not _is_done(folder, PLAYTHROUGH_FIT, key):
            _fit_playthrough(plan, folder, key, progress, workers)
        names = (*names, PLAYTHROUGH_FIT)
        if _fit_spread(plan, folder, progress):
            names = (*names, SPREAD)
    return {name: load_fit(folder, name) for name in names}


def _refuse_other_level(level: str, folder: Path) -> None:
    """Fits of two levels in one folder would stand on each other."""
    for name in FAMILIES:
        try:
            there = load_fit(folder, name).card.level
        except StoreError:
            continue
        if there != level:
            raise FitError(
                f"{folder} holds fits of level {there}; give level {level} a folder of its own "
                "(--out)"
            )


def _is_done(folder: Path, name: str, key: str) -> bool:
    try:
        stored = load_fit(folder, name)
    except StoreError:
        return False
    return bool(stored.card.settings.get("key") == key)


def _card(plan: FitPlan, name: str, rows: pl.DataFrame, settings: dict[str, Any],
          scores: dict[str, Any]) -> Card:  # fmt: skip
    return Card(
        name=name,
        level=plan.level,
        data=plan.data,
        seasons=tuple(int(s) for s in sorted(rows["season"].unique())),
        rows=len(rows),
        games=rows["game"].n_unique(),
        date=datetime.date.today().isoformat(),
        settings=settings,
        scores=scores,
        credit=plan.credit,
        refits=plan.refits,
        scheme=plan.scheme.name,
    )


def _fit_next_score(
    plan: FitPlan, folder: Path, key: str, progress: Progress, workers: int
) -> None:
    plays = with_next_snap(plan.plays)
    if plan.lean is not None:
        _settle_next_score(plan, plan.lean, plays, folder, key, progress, workers)
        return
    fitted = fit_next_score(
        plays, plan.rng("next-score"), plan.resamples(), workers=workers, progress=progress
    )
    clock = fit_kickoff_clock(plays)
    arrays = {"kickoff clock.knots": clock.knots, "kickoff clock.mixing": clock.mixing}
    for question, logit in fitted.questions.items():
        arrays |= logit.arrays(question)
    settings = {
        "key": key,
        "questions": {q: basis.settings() for q, basis in next_score_bases().items()},
    }
    save_fit(folder, _card(plan, "next-score", next_score_rows(plays), settings, {}), arrays)


def _settle_next_score(
    plan: FitPlan, lean: Models, plays: pl.DataFrame, folder: Path, key: str, progress: Progress,
    workers: int,
) -> None:  # fmt: skip
    kept = KeptParts(folder, key)
    arrays, about, scores = settle_next_score(
        plays, lean, plan.seeds("next-score"), plan.resamples(), workers=workers,
        progress=progress, kept=kept,
    )  # fmt: skip
    clock = fit_kickoff_clock(plays)
    arrays |= {"kickoff clock.knots": clock.knots, "kickoff clock.mixing": clock.mixing}
    settings = {"key": key, "leans on": leaning_on(lean), **about}
    save_fit(folder, _card(plan, "next-score", next_score_rows(plays), settings, scores), arrays)
    kept.clear("next-score")


def _settle_laws(plan: FitPlan, lean: Models, name: str, folder: Path, key: str) -> str:
    plays = with_next_snap(plan.plays)
    rngs = {c.name: plan.rng(f"{name}/{c.name}") for c in LAWS[name]}
    arrays, about, scores = settle_family(
        LAWS[name], plays, lean, rngs, plan.resamples(), plan.rough
    )
    live = plays.filter(pl.col("down").is_not_null())
    settings = {"key": key, "leans on": leaning_on(lean), "components": about}
    save_fit(folder, _card(plan, name, live, settings, scores), arrays)
    return name


@on_one_thread
def _fit_laws(plan: FitPlan, name: str, folder: Path, key: str, have: bool) -> str:
    if plan.lean is not None:
        return _settle_laws(plan, plan.lean, name, folder, key)
    plays = with_next_snap(plan.plays)
    resamples = plan.resamples()
    done: dict[str, tuple[Component, Fitted]] = {}
    arrays: dict[str, np.ndarray] = {}
    about: dict[str, Any] = {}
    scores: dict[str, Any] = {}
    for component in LAWS[name]:
        if component.needs == "participation" and not have:
            continue
        base = done.get(component.on)
        rng = plan.rng(f"{name}/{component.name}")
        fitted = fit_component(component, plays, rng, resamples, base)
        done[component.name] = component, fitted
        arrays |= fitted.arrays(component.name)
        about[component.name] = component_settings(component)
        if plan.scores:
            score = score_component(
                component, plays, plan.seed, _score_seasons(plays, component),
                base[0] if base else None,
                SCORE_PARTS if plays["season"].n_unique() == 1 else 0,
            )  # fmt: skip
            if score is not None:
                scores[component.name] = {
                    "log_loss": score.loss, "marginal": score.marginal,
                    "rows": score.rows, "games": score.games,
                }  # fmt: skip
    live = plays.filter(pl.col("down").is_not_null())
    card = _card(plan, name, live, {"key": key, "components": about}, scores)
    save_fit(folder, card, arrays)
    return name


def _score_seasons(plays: pl.DataFrame, component: Component) -> tuple[int, ...]:
    """Held-out seasons; for components on participation data those that have it."""
    seasons = sorted(plays["season"].unique())
    if component.needs == "participation":
        having = component.rows(plays)["season"].unique()
        seasons = sorted(having)
        return tuple(seasons[-2:]) if len(seasons) > 1 else ()
    wanted = tuple(s for s in SCORE_SEASONS if s in seasons)
    return wanted if len(seasons) > 1 else ()


def _fit_wins(plan: FitPlan, folder: Path, key: str, progress: Progress, workers: int) -> None:
    plays = with_next_snap(plan.plays)
    points = _points_for_wins(plan, folder)
    if plan.lean is not None:
        kept = KeptParts(folder, key)
        arrays, about, scores = settle_wins(
            plays, points, plan.lean, plan.seeds("wins"), plan.resamples(),
            workers=workers, progress=progress, kept=kept,
        )  # fmt: skip
        lean = {"leans on": leaning_on(plan.lean)}
        settings = {"key": key, "rules": points.rules.name, **lean, **about}
        save_fit(folder, _card(plan, "wins", win_rows(plays), settings, scores), arrays)
        kept.clear("wins")
        return
    fit = fit_wins(
        plays, points, plan.rng("wins"), plan.resamples(), workers=workers, progress=progress
    )
    settings = {"key": key, "basis": win_basis().settings(), "rules": points.rules.name}
    save_fit(folder, _card(plan, "wins", win_rows(plays), settings, {}), fit.arrays("wins"))


def _fit_spread(plan: FitPlan, folder: Path, progress: Progress) -> bool:
    """Whether there is a fit of the spread in the end; there is none without spreads."""
    rows = spread_rows(plan.plays)
    if rows.is_empty():
        for suffix in (".json", ".npz"):  # one of an earlier run stands on other wins
            (folder / f"{SPREAD}{suffix}").unlink(missing_ok=True)
        return False
    models = Models(plan.level, {name: load_fit(folder, name) for name in FAMILIES})
    below = stands_on(models.fits)
    known = rows.select("game", "home_spread").hash_rows(seed=1).to_numpy().tobytes()
    key = f"{plan.key()}-{below}-{hashlib.sha256(known).hexdigest()[:16]}"
    if _is_done(folder, SPREAD, key):
        return True
    wins = models.under(plan.rule_set).wins
    fit = fit_spreads(rows, wins, plan.rng(SPREAD), plan.resamples(), progress=progress)
    scores = {}
    if plan.scores:
        score = score_spread(rows, wins, SCORE_SEASONS, plan.rng(f"{SPREAD} scores"))
        if score is not None:
            scores[SPREAD] = {
                "log_loss": score.loss, "marginal": score.without,
                "rows": score.rows, "games": score.games,
            }  # fmt: skip
    settings = {"key": key, "stands on": below, "basis": spread_basis().settings()}
    card = _card(plan, SPREAD, rows, settings, scores)
    save_fit(folder, replace(card, credit=GAMES_CREDIT), fit.arrays(SPREAD))
    return True


def _fit_playthrough(
    plan: FitPlan, folder: Path, key: str, progress: Progress, workers: int
) -> None:
    plays = with_next_snap(plan.plays)
    laws = Library(components_of(load_fit(folder, "kicking")))
    rules = plan.rule_set
    held_out = tuple(s for s in PLAYTHROUGH_SCORED if plan.scores and s in set(plays["season"]))
    if plays["season"].n_unique() < 2:
        held_out = ()
    found = fit_playthrough(
        plays, laws, rules, lambda task: plan.rng(f"{PLAYTHROUGH_FIT}/{task}"),
        score_seasons=held_out, workers=workers, progress=progress,
    )  # fmt: skip
    live = plays.filter(pl.col("down").is_not_null())
    settings = {"key": key, "components": found.components}
    card = _card(plan, PLAYTHROUGH_FIT, live, settings, found.scores)
    save_fit(folder, replace(card, refits=0, scheme=""), found.arrays)


def _points_for_wins(plan: FitPlan, folder: Path) -> ExpectedPoints:
    stored = load_fit(folder, "next-score")
    library = Library(components_of(load_fit(folder, "kicking")))
    rules = plan.rule_set
    return ExpectedPoints(
        read_next_score(stored), read_kickoff(library), read_kickoff_clock(stored), rules,
        try_points=float(library.logit("extra point").probability({"long": 1})[0]),
    )  # fmt: skip
