"""Out-of-sample scores of expected points and win probability beside general-purpose learners.

Every season is left out in turn. All learners of a task get the same rows; the peers get the
same columns as we use. Differences are paired by row and their intervals count games.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np
import polars as pl

from pointsleft_models.bench import ours, peers
from pointsleft_models.bench.leave_out import (
    Learner,
    LeftOut,
    Model,
    Task,
    fingerprint,
    leave_out,
)
from pointsleft_models.bench.paired import (
    Difference,
    brier,
    difference,
    log_losses,
    points_off,
)
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.recipes.next_score import WANTED, labels, next_score_rows, row_states
from pointsleft_models.recipes.win_spread import spread_states
from pointsleft_models.values.next_score import CLASSES
from pointsleft_models.values.states import States

Array = np.ndarray

#: Seed of the intervals.
SEED = 2926

#: Peers of every task; of the next score; of the winner with a spread; and of the winner without
#: one, which has a forest too, the slowest by far.
EVERY_PEER = (peers.BOOSTED_A, peers.BOOSTED_B, peers.SPLINES)
POINT_PEERS = (*EVERY_PEER, peers.SPOT_ALONE)
SPREAD_PEERS = (*EVERY_PEER, peers.ROOT_TIME, peers.MARGIN_WALK)
WIN_PEERS = (*SPREAD_PEERS, peers.FOREST)
PEER_NAMES = {peer.name for peer in (*POINT_PEERS, *WIN_PEERS)}

#: Our chance to win without the spread, among the learners that have it.
WITHOUT_SPREAD = "ours without the spread"

#: Tasks by name: the two variants of the next score, the winner, and the winner with a spread.
LEVEL, PLAYED, WINNER, FAVOURED = (
    "next score without the score",
    "next score with the score",
    "winner",
    "winner with a spread",
)


@dataclass(frozen=True, slots=True)
class Scored:
    """One learner on one task, pooled over the seasons left out.

    Attributes
    ----------
    brier
        ``None`` where there are more than two classes.
    points_off
        Mean distance between expected points and those of the next score; ``None`` where there are
        two classes.
    less
        Our log loss less this learner's; ``None`` for ours.
    fit_seconds
        Mean over the seasons.
    many_seconds
        Time to evaluate a million situations.
    """

    learner: str
    settings: str
    log_loss: float
    brier: float | None
    points_off: float | None
    less: Difference | None
    fit_seconds: float
    many_seconds: float
    by_season: dict[int, float]


@dataclass(frozen=True, slots=True)
class TaskScores:
    """All learners of one task, ours first."""

    task: str
    rows: int
    games: int
    seasons: tuple[int, ...]
    learners: tuple[Scored, ...]


def tasks(plays: pl.DataFrame, kept: Path | None = None) -> dict[str, Task]:
    """Every task that the plays carry; the last one only where games have a spread."""
    rows = next_score_rows(plays)
    data = fingerprint(rows.select("season", *WANTED, "result"))
    decided = rows.filter(pl.col("result") != 0.5)
    fits = ours.NextScoreFits(rows, data, kept)
    win_fits = ours.WinFits(fits, ours.worth_under_fit_rules())
    found = []
    for name, with_score in ((LEVEL, False), (PLAYED, True)):
        own = ours.next_score_with_score(fits) if with_score else ours.next_score_without_score()
        columns = partial(peers.next_score_columns, with_score=with_score)
        others = [_peer(p, columns, row_states, labels) for p in POINT_PEERS]
        found.append(Task(name, rows, row_states, labels, (own, *others), data))
    others = [_peer(p, peers.win_columns, row_states, winner) for p in WIN_PEERS]
    own = ours.wins(win_fits)
    found.append(Task(WINNER, decided, row_states, winner, (own, *others), data))
    known = decided.filter(pl.col("home_spread").is_not_null())
    if len(known):
        spread_columns = partial(peers.win_columns, with_spread=True)
        others = [_peer(p, spread_columns, spread_states, winner) for p in SPREAD_PEERS]
        mine = (ours.wins_with_spread(win_fits), replace(own, name=WITHOUT_SPREAD))
        data = fingerprint(known.select("season", *WANTED, "result", "home_spread"))
        found.append(Task(FAVOURED, known, spread_states, winner, (*mine, *others), data))
    return {task.name: task for task in found}


def winner(rows: pl.DataFrame) -> Array:
    """1 where the team with the ball won, else 0."""
    return rows["result"].cast(pl.Int32).to_numpy()


def _peer(
    peer: peers.Peer,
    columns: Callable[[States], Array],
    states: Callable[[pl.DataFrame], States],
    label: Callable[[pl.DataFrame], Array],
) -> Learner:
    def fit(train: pl.DataFrame, _: int) -> Model:
        predict = peer.fit(columns(states(train)), label(train))
        return Model(lambda at: predict(columns(at)))

    return Learner(peer.name, peer.settings, fit)


def score(
    task: Task,
    seasons: Sequence[int],
    kept: Path | None = None,
    *,
    progress: Progress = quiet,
) -> TaskScores:
    """Leave every season out, and set ours beside the others."""
    return compare(task, seasons, leave_out(task, seasons, kept, progress=progress))


def compare(
    task: Task, seasons: Sequence[int], found: Mapping[str, Mapping[int, LeftOut]]
) -> TaskScores:
    """The scores of predictions that are there; the first learner of a task is ours.

    Parameters
    ----------
    found
        Learner -> season -> predictions.
    """
    rows = held_out_rows(task, seasons)
    y, games, season = task.labels(rows), rows["game"].to_numpy(), rows["season"].to_numpy()
    seeds = np.random.SeedSequence(SEED).spawn(len(task.learners))
    out, own = [], None
    for learner, seed in zip(task.learners, seeds, strict=True):
        parts = [found[learner.name][s] for s in seasons]
        p = np.concatenate([part.p for part in parts])
        losses = log_losses(p, y)
        less = None
        if own is None:
            own = losses
        else:
            less = difference(own, losses, games, np.random.default_rng(seed))
        out.append(
            Scored(
                learner.name,
                learner.settings if learner.name in PEER_NAMES else "",
                float(losses.mean()),
                brier(p, y) if p.shape[1] == 2 else None,
                points_off(p, y) if p.shape[1] == len(CLASSES) else None,
                less,
                float(np.mean([part.fit_seconds for part in parts])),
                parts[-1].many_seconds,
                {int(s): float(losses[season == s].mean()) for s in seasons},
            )
        )
    many = len(np.unique(games))
    return TaskScores(task.name, len(rows), many, tuple(int(s) for s in seasons), tuple(out))


def held_out_rows(task: Task, seasons: Sequence[int]) -> pl.DataFrame:
    """The rows of the seasons in the order of their predictions joined together."""
    return pl.concat([task.rows.filter(pl.col("season") == s) for s in seasons])
