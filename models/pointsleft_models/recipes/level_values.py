"""The next score and the wins of a level that has another level's fits to lean on.

The questions behind the next score are settled one by one like the components of a law: alone,
moved, or as the other level has them, by games held out. Their losses add up to that of the seven
classes, since every class is a chain of answers.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import polars as pl

from pointsleft_models.fitting.basis import Basis
from pointsleft_models.fitting.curvature import Curvature
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import LogitSolver, expit
from pointsleft_models.fitting.moved import Leaning, as_it_is
from pointsleft_models.fitting.resample import GameResamples
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.recipes.borrowing import ALONE_GAMES
from pointsleft_models.recipes.kept_parts import KeptParts
from pointsleft_models.recipes.level import FOLDS, How, best_way, folds
from pointsleft_models.recipes.next_score import (
    ASKED,
    LOT,
    REFIT_TOLERANCE,
    labels,
    next_score_rows,
    row_states,
)
from pointsleft_models.recipes.threads import on_one_thread
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.wins import win_columns

Array = np.ndarray

#: Parts of the games, of :data:`FOLDS`, that are held out in turn: there are many rows.
PARTS = 2


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows on which a logit is asked.

    Attributes
    ----------
    columns
        Variable -> (n,).
    yes
        (n,) answers.
    games
        (n,) game of every row.
    """

    columns: Mapping[str, Array]
    yes: Array
    games: Array


#: Rows of a refit (from 1) of some games.
RowsOf = Callable[[int, Array], Rows]


@dataclass(frozen=True, slots=True)
class SettledLogit:
    """A logit of a level, how it came about, and log losses a row on games held out."""

    fitted: FittedLogit
    how: How
    losses: Mapping[str, float]

    def about(self) -> dict[str, Any]:
        """For the card."""
        return {"how": self.how, "losses": {k: round(v, 6) for k, v in self.losses.items()}}


def settle_logit(
    rows: Rows,
    prior: FittedLogit,
    basis: Basis,
    seed: np.random.SeedSequence,
    resamples: GameResamples,
    *,
    tell: str = "fitting",
    workers: int = 1,
    progress: Progress = quiet,
    rows_of: RowsOf | None = None,
    kept: KeptParts | None = None,
) -> SettledLogit:
    """Fit a logit in the way that games held out like best, and again on every resample.

    Parameters
    ----------
    basis
        Of the way alone.
    rows_of
        Rows of refit r (from 1) of the games of its resample, where they differ from fit to
        fit; goes to the workers.
    kept
        Where finished parts are kept under ``tell``, and taken from.
    """
    from joblib import Parallel, delayed

    fold_seed, fit_seed, curve_seed = seed.spawn(3)
    name = tell.replace(" ", "-").replace(":", "")
    losses = _kept_losses(kept, f"{name}-losses", lambda: _held_out(rows, prior, basis, fold_seed))
    how = best_way(losses)
    if how == "as it is":
        return SettledLogit(as_it_is(prior, len(resamples)), how, losses)
    lean = prior if how == "moved" else None
    point = _kept_array(kept, f"{name}-point", lambda: _fit(rows, lean, basis, fit_seed))
    lots = [list(range(at, min(at + LOT, len(resamples)))) for at in range(0, len(resamples), LOT)]
    again = {lot[0]: _kept_lot(kept, name, lot) for lot in lots}
    todo = [lot for lot in lots if again[lot[0]] is None]
    if todo:
        curvature = _curvature(rows, lean, basis, point, curve_seed)
        source = rows if rows_of is None else rows_of
        jobs = (
            delayed(_kept_refits)(
                kept, _lot_name(name, lot), source, lean, basis, point, curvature, resamples, lot
            )
            for lot in todo
        )
        pool = Parallel(n_jobs=workers if len(todo) > 1 else 1, return_as="generator")
        for lot, found in zip(todo, progress(pool(jobs), len(todo), tell), strict=True):
            again[lot[0]] = found
    own = prior.basis if lean is not None else basis
    made = [found for found in again.values() if found is not None]
    refits = np.concatenate(made) if made else np.zeros((0, own.size))
    return SettledLogit(FittedLogit(own, point, refits), how, losses)


def _lot_name(name: str, lot: list[int]) -> str:
    return f"{name}-{lot[0]:04d}"


def _kept_lot(kept: KeptParts | None, name: str, lot: list[int]) -> Array | None:
    stored = None if kept is None else kept.load(_lot_name(name, lot))
    return None if stored is None else stored["found"]


def _kept_array(kept: KeptParts | None, name: str, make: Callable[[], Array]) -> Array:
    """An array as it was kept, or made and kept."""
    stored = None if kept is None else kept.load(name)
    if stored is not None:
        return stored["found"]
    found = make()
    if kept is not None:
        kept.save(name, {"found": found})
    return found


def _kept_losses(
    kept: KeptParts | None, name: str, make: Callable[[], dict[str, float]]
) -> dict[str, float]:
    stored = None if kept is None else kept.load(name)
    if stored is not None:
        return {way: float(loss) for way, loss in stored.items()}
    found = make()
    if kept is not None:
        kept.save(name, {way: np.array(loss) for way, loss in found.items()})
    return found


def _fit(rows: Rows, lean: FittedLogit | None, basis: Basis, seed: np.random.SeedSequence) -> Array:
    ones, rng = np.ones(len(rows.yes)), np.random.default_rng(seed)
    solver, split = _ready(rows, lean, basis, rng)
    if split is None:
        return basis.ordered(solver.fit(ones, rows.yes).coefficients)
    return split.whole(solver.fit(ones, rows.yes, split.start(0)).coefficients, 0)


def _curvature(
    rows: Rows, lean: FittedLogit | None, basis: Basis, point: Array, seed: np.random.SeedSequence
) -> Curvature:
    """The curvature at the point fit, with which the refits begin: the same after a pause."""
    solver, _ = _ready(rows, lean, basis, np.random.default_rng(seed))
    return solver.curve_at(point, np.ones(len(rows.yes)), rows.yes)


@on_one_thread
def _kept_refits(kept: KeptParts | None, name: str, *task: Any) -> Array:
    return _kept_array(kept, name, lambda: np.array(_refit(*task)))


def _refit(
    source: Rows | RowsOf,
    lean: FittedLogit | None,
    basis: Basis,
    start: Array,
    curvature: Curvature,
    resamples: GameResamples,
    lot: list[int],
) -> list[Array]:
    out = []
    rng = np.random.default_rng(0)
    ready = _ready(source, lean, basis, rng) if isinstance(source, Rows) else None
    for at in lot:
        drawn = resamples.games[resamples.weights[at] > 0]
        own = source if isinstance(source, Rows) else source(at + 1, drawn)
        solver, split = ready if ready is not None else _ready(own, lean, basis, rng)
        solver.curvature = curvature
        first = start
        if split is not None:
            split.aim(solver, at + 1)
            # the departure of the point fit, from where this refit of the other level stands
            first = split.basis.ordered(start - split.start(0) + split.start(at + 1))
        w = resamples.rows(at, own.games)
        fit = solver.fit(w, w * own.yes, first, tolerance=REFIT_TOLERANCE, fresh=0)
        found = fit.coefficients
        out.append(basis.ordered(found) if split is None else split.whole(found, at + 1))
    return out


def _ready(
    rows: Rows, lean: FittedLogit | None, basis: Basis, rng: np.random.Generator
) -> tuple[LogitSolver, Leaning | None]:
    """A solver of the whole basis, or of the departure from another fit and how it splits."""
    if lean is None:
        design = basis.design(rows.columns)
        return LogitSolver(design, basis.penalty(), basis.orders(), rng), None
    split = Leaning(lean, dict(rows.columns))
    return split.solver(0, rng), split


def _held_out(
    rows: Rows, prior: FittedLogit, basis: Basis, seed: np.random.SeedSequence
) -> dict[str, float]:
    rng = np.random.default_rng(seed)
    games, place = np.unique(rows.games, return_inverse=True)
    lean = Leaning(prior, dict(rows.columns))
    solvers = {"moved": lean.solver(0, rng)}
    start: dict[str, Array | None] = {"alone": None, "moved": lean.start(0)}
    if len(games) >= ALONE_GAMES:
        design = basis.design(rows.columns)
        solvers["alone"] = LogitSolver(design, basis.penalty(), basis.orders(), rng)
    total = dict.fromkeys((*solvers, "as it is"), 0.0)
    tested = 0
    for held in folds(len(games), rng)[:PARTS]:
        test = held[place]
        tested += int(test.sum())
        w = (~test).astype(float)
        for way, solver in solvers.items():
            fresh = 8 if solver.curvature is None else 0
            fit = solver.fit(w, w * rows.yes, start[way], tolerance=1e-6, fresh=fresh)
            start[way] = fit.coefficients
            total[way] += _loss(solver.design[test] @ fit.coefficients, rows.yes[test])
        total["as it is"] += _loss(lean.design[test] @ lean.start(0), rows.yes[test])
    return {way: loss / tested for way, loss in total.items()}


def _loss(eta: Array, yes: Array) -> float:
    p = np.clip(expit(eta.astype(float)), 1e-12, 1 - 1e-12)
    return float(-(yes * np.log(p) + (1 - yes) * np.log1p(-p)).sum())


def score(settled: Mapping[str, SettledLogit], asked: Mapping[str, int], games: int) -> Any:
    """What a card says of logits that make one model: log losses a row on games held out.

    Parameters
    ----------
    asked
        Question -> rows on which it is asked; the first is asked on all.
    """
    rows = max(asked.values())

    def total(way: str) -> float:
        return sum(s.losses[way or s.how] * asked[q] for q, s in settled.items()) / rows

    return {
        "seven next scores": {
            "log_loss": total(""),
            "rows": rows,
            "games": games,
            "held_out": f"{PARTS} of {FOLDS} parts of the games in turn",
            "ways": {way: total(way) for way in next(iter(settled.values())).losses},
        }
    }


def win_question(
    rows: pl.DataFrame, points: ExpectedPoints, fit: int = 0, games: Array | None = None
) -> Rows:
    """Rows of the win logit under one fit of the expected points (0 the point fit).

    Parameters
    ----------
    rows
        Of :func:`~pointsleft_models.recipes.wins.win_rows`.
    games
        Only these games; all when absent.
    """
    if games is not None:
        rows = rows.filter(pl.col("game").is_in(games.tolist()))
    at = row_states(rows)
    own = points.only(fit)
    second_half = float(own.receiving(np.array([1800]))[0])
    worth, chances = own.fitted(at)
    columns = win_columns(at, worth, second_half, chances)
    return Rows(columns, rows["result"].to_numpy(), rows["game"].to_numpy())


def next_score_question(plays: pl.DataFrame, question: str) -> Rows:
    """Rows on which one question behind the next score is asked."""
    asked, yes = ASKED[question]
    rows = next_score_rows(plays)
    y = labels(rows)
    here = np.isin(y, asked)
    columns = {name: column[here] for name, column in row_states(rows).columns().items()}
    return Rows(columns, np.isin(y[here], yes).astype(float), rows["game"].to_numpy()[here])
