"""Out-of-sample scores of expected points and win probability, seasons left out in turn."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import polars as pl

from pointsleft_models.bench import peers
from pointsleft_models.bundle import Worth, load_models
from pointsleft_models.fitting.basis import Basis
from pointsleft_models.football.rules import rule_set
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.recipes.everything import FIT_SEASON
from pointsleft_models.recipes.next_score import (
    fit_next_score,
    labels,
    next_score_rows,
    row_states,
)
from pointsleft_models.recipes.next_score_basis import next_score_bases
from pointsleft_models.recipes.wins import fit_wins
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.wins import win_columns

Array = np.ndarray

#: Seasons of the reference figures.
SEASONS = (2010, 2014, 2018)


@dataclass(frozen=True, slots=True)
class Scored:
    """One learner on one task: mean log loss and Brier score over the held-out seasons."""

    task: str
    learner: str
    log_loss: float
    brier: float | None
    fit_seconds: float
    by_season: dict[int, float]


def _log_loss(p: Array, y: Array) -> float:
    return float(-np.log(np.clip(p[np.arange(len(y)), y], 1e-12, 1)).mean())


def _without_score(basis: Basis) -> Basis:
    return Basis(tuple(t for t in basis.terms if "lead" not in [a.variable for a in t.axes]))


def _ours_next_score(with_score: bool) -> Callable[[pl.DataFrame, pl.DataFrame], Array]:
    def run(train: pl.DataFrame, test: pl.DataFrame) -> Array:
        bases = next_score_bases()
        if not with_score:
            bases = {q: _without_score(basis) for q, basis in bases.items()}
        model = fit_next_score(train, np.random.default_rng(1), bases=bases)
        return model.probabilities(row_states(test))

    return run


def score_next_score(
    plays: pl.DataFrame, *, seasons: tuple[int, ...] = SEASONS, progress: Progress = quiet
) -> list[Scored]:
    """Our next-score model and its peers, with and without the score as a column."""
    jobs: list[tuple[str, Callable[[pl.DataFrame, pl.DataFrame], Array]]] = []
    for with_score in (False, True):
        tail = "with the score" if with_score else "without the score"
        jobs.append((f"ours, {tail}", _ours_next_score(with_score)))
        for name, peer in (("boosted A", peers.boosted_a), ("boosted B", peers.boosted_b)):
            jobs.append((f"{name}, {tail}", _peer_next_score(peer, with_score)))
    return _run("next score (7 classes)", jobs, next_score_rows(plays), seasons, labels, progress)


def _peer_next_score(
    peer: peers.Peer, with_score: bool
) -> Callable[[pl.DataFrame, pl.DataFrame], Array]:
    def run(train: pl.DataFrame, test: pl.DataFrame) -> Array:
        def columns(rows: pl.DataFrame) -> Array:
            return peers.next_score_columns(row_states(rows), with_score=with_score)

        return peer(columns(train), labels(train), columns(test))

    return run


def _winner(rows: pl.DataFrame) -> Array:
    return rows["result"].cast(pl.Int32).to_numpy()


def score_wins(
    plays: pl.DataFrame, *, seasons: tuple[int, ...] = SEASONS, progress: Progress = quiet
) -> list[Scored]:
    """Our win model and its peers on plays of decided games, no spread."""
    decided = next_score_rows(plays).filter(pl.col("result") != 0.5)
    shipped = load_models().under(rule_set("professional", FIT_SEASON))

    def ours(train: pl.DataFrame, test: pl.DataFrame) -> Array:
        return _our_wins(plays.filter(pl.col("season").is_in(train["season"].unique())), test,
                         shipped)  # fmt: skip

    def peer(which: peers.Peer) -> Callable[[pl.DataFrame, pl.DataFrame], Array]:
        def run(train: pl.DataFrame, test: pl.DataFrame) -> Array:
            return which(
                peers.win_columns(row_states(train)), _winner(train),
                peers.win_columns(row_states(test)),
            )  # fmt: skip

        return run

    jobs = [
        ("ours", ours),
        ("boosted A", peer(peers.boosted_a)),
        ("boosted B", peer(peers.boosted_b)),
        ("random forest", peer(peers.forest)),
    ]
    return _run("winner", jobs, decided, seasons, _winner, progress)


def _our_wins(train: pl.DataFrame, test: pl.DataFrame, shipped: Worth) -> Array:
    """Points and wins fitted on the training seasons alone (kickoffs as shipped)."""
    next_score = fit_next_score(train, np.random.default_rng(1))
    points: ExpectedPoints = replace(shipped.points, next_score=next_score)
    fit = fit_wins(train, points, np.random.default_rng(2))
    at = row_states(test)
    worth, chances = points.fitted(at)
    second_half = float(points.receiving(np.array([1800]))[0])
    columns = win_columns(at, worth, second_half, chances)
    p = fit.probability(columns)
    return np.column_stack([1 - p, p])


def _run(
    task: str,
    jobs: list[tuple[str, Callable[[pl.DataFrame, pl.DataFrame], Array]]],
    rows: pl.DataFrame,
    seasons: tuple[int, ...],
    label: Callable[[pl.DataFrame], Array],
    progress: Progress,
) -> list[Scored]:
    out = []
    for name, run in progress(jobs, len(jobs), f"scoring {task}"):
        losses, briers, spent = {}, [], []
        for season in seasons:
            train, test = (
                rows.filter(pl.col("season") != season),
                rows.filter(pl.col("season") == season),
            )
            start = time.perf_counter()
            p = run(train, test)
            spent.append(time.perf_counter() - start)
            y = label(test)
            losses[season] = _log_loss(p, y)
            if p.shape[1] == 2:
                briers.append(float(((p[:, 1] - y) ** 2).mean()))
        out.append(
            Scored(
                task, name, float(np.mean(list(losses.values()))),
                float(np.mean(briers)) if briers else None, float(np.mean(spent)), losses,
            )
        )  # fmt: skip
    return out
