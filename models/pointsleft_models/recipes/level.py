"""A component at a level that has another level's fit to lean on.

Three ways, and games held out decide: *alone*, as if there were no other level; *moved*, the same
basis with only the departure penalised; *as it is*, the other level's fit untouched. What the
table cannot say is *borrowed* without a choice.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np
import polars as pl

from pointsleft_models.fitting.basis import Basis
from pointsleft_models.fitting.counts import Counts
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import LogitSolver, expit
from pointsleft_models.fitting.moved import Leaning, as_it_is, fit_moved
from pointsleft_models.fitting.resample import GameResamples
from pointsleft_models.fitting.yardage import YardageLaw, logit_of
from pointsleft_models.laws.years import YEAR
from pointsleft_models.recipes.borrowing import ALONE_GAMES, lacking, unsaid
from pointsleft_models.recipes.component import Component, Fitted, fit_component, marginal_basis

Array = np.ndarray

How = Literal["alone", "moved", "as it is", "borrowed"]

#: Parts of the games held out in turn.
FOLDS = 5

#: Variables that a basis alone does without: it has their terms flat.
FLAT = frozenset({YEAR})

#: Log loss a row by which a fit alone must be ahead: what its rows never met then stays as the
#: other level has it.
SURE = 1e-4


@dataclass(frozen=True, slots=True)
class Settled:
    """A component of a level and how it came about.

    Attributes
    ----------
    why
        What the table lacks, for a borrowed one.
    losses
        Way -> log loss a row on games held out, and that of the ``marginal``.
    """

    fitted: Fitted
    how: How
    why: str = ""
    losses: Mapping[str, float] = field(default_factory=dict)
    rows: int = 0
    games: int = 0

    def about(self) -> dict[str, Any]:
        """For the card."""
        told: dict[str, Any] = {"how": self.how}
        if self.why:
            told["why"] = self.why
        if self.losses:
            told["losses"] = {way: round(loss, 6) for way, loss in self.losses.items()}
        return told


def settle(
    component: Component,
    plays: pl.DataFrame,
    prior: Fitted,
    rng: np.random.Generator,
    resamples: GameResamples,
    rough: Collection[str] = (),
    base: tuple[Component, Fitted] | None = None,
) -> Settled:
    """Fit a component in the way that games held out like best.

    Parameters
    ----------
    prior
        The component of the other level.
    rough
        Columns that the plays only know roughly.
    base
        The component named by ``on``, settled; such a one is fitted on it or borrowed.
    """
    lack = lacking(component, plays, rough)
    if lack is not None:
        return Settled(_same(prior, len(resamples)), "borrowed", lack.text)
    if component.on:
        return Settled(fit_component(component, plays, rng, resamples, base), "alone")
    fit_rng, fold_rng = rng.spawn(2)
    frame = component.rows(plays)
    counts = component.counts(frame)
    other = logit_of(prior)
    silent = unsaid(component, plays)
    losses = held_out(component, counts, other, silent, fold_rng)
    how = best_way(losses)
    fitted: Fitted
    if how == "alone":
        fitted = fit_component(component, plays, fit_rng, resamples)
    else:
        moved = how == "moved"
        own = (
            fit_moved(counts, other, fit_rng, resamples, silent)
            if moved
            else as_it_is(other, len(resamples))
        )
        fitted = YardageLaw(component.low, own) if component.is_yardage else own
    rows, games = len(frame), frame["game"].n_unique()
    return Settled(fitted, how, "", losses, rows, games)


def _same(prior: Fitted, refits: int) -> Fitted:
    same = as_it_is(logit_of(prior), refits)
    return YardageLaw(prior.low, same) if isinstance(prior, YardageLaw) else same


def folds(games: int, rng: np.random.Generator) -> list[Array]:
    """Masks (games,) of the parts of the games held out in turn."""
    part = rng.permutation(games) % FOLDS
    return [part == k for k in range(FOLDS)]


def held_out(
    component: Component,
    counts: Counts,
    prior: FittedLogit,
    silent: Collection[str],
    rng: np.random.Generator,
) -> dict[str, float]:
    """Way -> log loss a row on games held out; a part of the games at a time."""
    total = dict.fromkeys(_ways(silent, len(counts.games)), 0.0)
    lean = Leaning(prior, dict(counts.columns), silent)
    starts: dict[str, Array] = {}
    for held in folds(len(counts.games), rng):
        test = _weighed(counts, held)
        train = _weighed(counts, ~held)
        for way in total:
            eta = _fitted_eta(way, component, counts, prior, lean, train, starts, rng)
            total[way] += _loss(eta, *test)
    rows = max(float(counts.trials.sum()), 1.0)
    if component.is_yardage:  # a row for every yard at which a carrier was not stopped
        rows = _carriers(counts)
    return {way: loss / rows for way, loss in total.items()}


def _ways(silent: Collection[str], games: int) -> tuple[str, ...]:
    alone = ("alone",) if set(silent) <= FLAT and games >= ALONE_GAMES else ()
    return (*alone, "moved", "as it is", "marginal")


def best_way(losses: Mapping[str, float]) -> How:
    """The way to take: the least loss, but alone only where it is ahead for sure."""
    ways: tuple[How, ...] = ("moved", "as it is")
    best = min(ways, key=lambda way: losses[way])
    return "alone" if losses.get("alone", math.inf) + SURE < losses[best] else best


def _carriers(counts: Counts) -> float:
    """Carriers behind a table of stops: all were there at the first yard."""
    yards = counts.columns["yards"]
    return float(counts.trials[yards == yards.min()].sum())


def _weighed(counts: Counts, games: Array) -> tuple[Array, Array]:
    weights = games.astype(float)
    return counts.by_game_trials @ weights, counts.by_game_yes @ weights


def _fitted_eta(
    way: str,
    component: Component,
    counts: Counts,
    prior: FittedLogit,
    lean: Leaning,
    train: tuple[Array, Array],
    starts: dict[str, Array],
    rng: np.random.Generator,
) -> Array:
    """Log odds (n,) of every distinct row by a fit on the games that are not held out."""
    if way == "as it is":
        return prior.eta(counts.columns)
    if way == "moved":
        solver = lean.solver(0, rng)
        found = solver.fit(*train, starts.get(way, lean.start(0))).coefficients
        starts[way] = found
        return prior.basis.design(counts.columns, float) @ lean.whole(found, 0)
    basis: Basis = component.basis if way == "alone" else marginal_basis(component)
    solver = LogitSolver(basis.design(counts.columns), basis.penalty(), basis.orders(), rng)
    found = basis.ordered(solver.fit(*train, starts.get(way)).coefficients)
    starts[way] = found
    return np.asarray(basis.design(counts.columns, float) @ found)


def _loss(eta: Array, trials: Array, yes: Array) -> float:
    p = np.clip(expit(eta), 1e-12, 1 - 1e-12)
    return float(-(yes * np.log(p) + (trials - yes) * np.log1p(-p)).sum())
