"""A published random forest of the winner beside ours (Lock & Nettleton 2014).

J. Quantitative Analysis in Sports 10:197-205 (seen): 500 trees, node size 100, on the score, the
points of both, the spread before the game, the time, the down, the spot, the distance and the
time-outs. Their binned chances and shares have a correlation of .998.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import polars as pl

from pointsleft_models.bench.calibration import bin_numbers
from pointsleft_models.bench.leave_out import Learner, Model, Task, leave_out, two_classes
from pointsleft_models.bench.peers import THREADS
from pointsleft_models.bench.scores import FAVOURED, TaskScores, compare, held_out_rows, tasks
from pointsleft_models.bench.seasons import FIRST_SEASONS
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.recipes.win_spread import spread_states

Array = np.ndarray

#: Trees, and rows of a node that is not split any more.
TREES, NODE = 500, 100

#: Columns tried at a split: a third of them, the usual share for numbers (memory).
TRIED = 3


@dataclass(frozen=True, slots=True)
class Rows:
    """The forest's columns (n, 9)."""

    columns: Array

    def __len__(self) -> int:
        return len(self.columns)

    def take(self, rows: Array) -> Rows:
        """Some of the rows."""
        return Rows(self.columns[rows])


def forest_rows(rows: pl.DataFrame) -> Rows:
    """Rows of a play table, all of games with a spread, as the forest knows them."""
    at = spread_states(rows)
    total = rows["offense_score"] + rows["defense_score"]
    columns = [
        at.lead, total.to_numpy(), at.spread, at.game_seconds, at.down, at.yards_to_goal,
        at.distance, at.own_timeouts, at.opponent_timeouts,
    ]  # fmt: skip
    return Rows(np.column_stack(columns).astype(np.float32))


def published_forest(trees: int = TREES) -> Learner:
    """The forest as a learner."""

    def fit(train: pl.DataFrame, _: int) -> Model:
        from sklearn.ensemble import RandomForestRegressor

        forest = RandomForestRegressor(
            trees, min_samples_split=NODE + 1, max_features=TRIED, n_jobs=THREADS, random_state=1
        )
        forest.fit(forest_rows(train).columns, train["result"].to_numpy())

        def predict(at: Rows) -> Array:
            return two_classes(forest.predict(at.columns))

        return Model(predict)

    settings = f"{trees} trees, nodes of {NODE} rows not split, {TRIED} columns a split"
    return Learner("published forest", settings, fit, forest_rows)


@dataclass(frozen=True, slots=True)
class BesideForest:
    """Scores of the seasons left out, ours first, and by learner the correlation of the mean chance
    of a bin with its share of wins."""

    scores: TaskScores
    correlation: dict[str, float]


def beside_forest(
    plays: pl.DataFrame, kept: Path | None = None, *, progress: Progress = quiet
) -> BesideForest:
    """Leave each of :data:`FIRST_SEASONS` out, and set ours beside the forest.

    Raises
    ------
    ValueError
        No game has a spread.
    """
    favoured = tasks(plays, kept).get(FAVOURED)
    if favoured is None:
        raise ValueError("no game of the plays has a spread, which the published forest needs")
    both = replace(favoured, learners=(favoured.learners[0], published_forest()))
    return compared(both, FIRST_SEASONS, kept, progress=progress)


def compared(
    task: Task, seasons: Sequence[int], kept: Path | None = None, *, progress: Progress = quiet
) -> BesideForest:
    """Scores and correlations of the learners of a task."""
    found = leave_out(task, seasons, kept, progress=progress)
    won = task.labels(held_out_rows(task, seasons))
    chances = {name: np.concatenate([by[s].p[:, 1] for s in seasons]) for name, by in found.items()}
    return BesideForest(
        compare(task, seasons, found),
        {name: binned_correlation(p, won) for name, p in chances.items()},
    )


def binned_correlation(chance: Array, won: Array) -> float:
    """Correlation over the bins of the calibration of the mean chance with the share of wins, from
    chances (n,) and winners (n,)."""
    bins = bin_numbers(chance)
    count = np.bincount(bins)
    met = count > 0
    said, came = (np.bincount(bins, x)[met] / count[met] for x in (chance, won))
    return float(np.corrcoef(said, came)[0, 1])
