"""Fitting a level of play that leans on another one: every family, settled and stored.

The file of a leaning level is whole: what it borrows is in it, marked on the card, so a new fit
of the other level never changes it behind its back.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any

import numpy as np
import polars as pl

from pointsleft_models.bundle import SPREAD, Models
from pointsleft_models.fitting.resample import GameResamples
from pointsleft_models.fitting.yardage import logit_of
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.recipes.component import Component, Fitted, component_settings
from pointsleft_models.recipes.kept_parts import KeptParts
from pointsleft_models.recipes.level import Settled, settle
from pointsleft_models.recipes.level_values import (
    SettledLogit,
    next_score_question,
    score,
    settle_logit,
    win_question,
)
from pointsleft_models.recipes.next_score import ASKED
from pointsleft_models.recipes.next_score_basis import next_score_bases
from pointsleft_models.recipes.win_basis import win_basis
from pointsleft_models.recipes.wins import WANTED, win_rows
from pointsleft_models.values.points import ExpectedPoints

Array = np.ndarray


def leaning_on(lean: Models) -> dict[str, str]:
    """What a card says of the fits that a level leans on; a spread's are no part of any level
    but their own."""
    digests = {name: fit.digest[:16] for name, fit in lean.fits.items() if name != SPREAD}
    return {"level": lean.level, **digests}


def settle_family(
    components: tuple[Component, ...],
    plays: pl.DataFrame,
    lean: Models,
    rngs: Mapping[str, np.random.Generator],
    resamples: GameResamples,
    rough: tuple[str, ...] = (),
) -> tuple[dict[str, Array], dict[str, Any], dict[str, Any]]:
    """Arrays, settings and scores of one family of laws.

    Parameters
    ----------
    rngs
        Generator of every component.
    """
    done: dict[str, tuple[Component, Fitted]] = {}
    arrays: dict[str, Array] = {}
    about: dict[str, Any] = {}
    scores: dict[str, Any] = {}
    for component in components:
        if not lean.library.has(component.name):
            continue  # the other level was fitted without it
        settled = settle(
            component, plays, lean.library.components[component.name], rngs[component.name],
            resamples, rough, done.get(component.on),
        )  # fmt: skip
        done[component.name] = component, settled.fitted
        arrays |= settled.fitted.arrays(component.name)
        about[component.name] = _about(component, settled)
        scores |= _score(component, settled)
    return arrays, about, scores


def _about(component: Component, settled: Settled) -> dict[str, Any]:
    return {
        **component_settings(component),
        "basis": logit_of(settled.fitted).basis.settings(),
        "settled": settled.about(),
    }


def _score(component: Component, settled: Settled) -> dict[str, Any]:
    if not settled.losses:
        return {}
    return {
        component.name: {
            "log_loss": settled.losses[settled.how],
            "marginal": settled.losses["marginal"],
            "rows": settled.rows,
            "games": settled.games,
        }
    }


def settle_next_score(
    plays: pl.DataFrame,
    lean: Models,
    seeds: np.random.SeedSequence,
    resamples: GameResamples,
    *,
    workers: int = 1,
    progress: Progress = quiet,
    kept: KeptParts | None = None,
) -> tuple[dict[str, Array], dict[str, Any], dict[str, Any]]:
    """Arrays, settings and scores of the questions behind the next score."""
    own = next_score_bases()
    settled: dict[str, SettledLogit] = {}
    asked: dict[str, int] = {}
    games = 0
    for question, seed in zip(ASKED, seeds.spawn(len(ASKED)), strict=True):
        rows = next_score_question(plays, question)
        asked[question] = len(rows.yes)
        games = max(games, len(np.unique(rows.games)))
        settled[question] = settle_logit(
            rows, lean.next_score.questions[question], own[question], seed, resamples,
            tell=f"next score: {question}", workers=workers, progress=progress, kept=kept,
        )  # fmt: skip
    arrays: dict[str, Array] = {}
    for question, found in settled.items():
        arrays |= found.fitted.arrays(question)
    settings = {
        "questions": {q: s.fitted.basis.settings() for q, s in settled.items()},
        "settled": {q: s.about() for q, s in settled.items()},
    }
    return arrays, settings, score(settled, asked, games)


def settle_wins(
    plays: pl.DataFrame,
    points: ExpectedPoints,
    lean: Models,
    seed: np.random.SeedSequence,
    resamples: GameResamples,
    *,
    workers: int = 1,
    progress: Progress = quiet,
    kept: KeptParts | None = None,
) -> tuple[dict[str, Array], dict[str, Any], dict[str, Any]]:
    """Arrays, settings and scores of the wins; refit r stands on refit r of the points."""
    rows = win_rows(plays).select(WANTED)
    point = win_question(rows, points)
    settled = settle_logit(
        point, lean.win_fit, win_basis(), seed, resamples,
        tell="wins", workers=workers, progress=progress,
        rows_of=partial(win_question, rows, points), kept=kept,
    )  # fmt: skip
    scores = {
        "wins": {
            "log_loss": settled.losses[settled.how], "rows": len(point.yes),
            "games": len(np.unique(point.games)), "ways": dict(settled.losses),
        }
    }  # fmt: skip
    settings = {"basis": settled.fitted.basis.settings(), "settled": {"wins": settled.about()}}
    return settled.fitted.arrays("wins"), settings, scores
