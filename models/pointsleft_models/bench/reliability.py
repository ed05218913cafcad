"""Calibration of our two value models on every season left out in turn, by kind of situation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import polars as pl

from pointsleft_models.bench.calibration import (
    Bin,
    ClassError,
    Group,
    bins,
    class_error,
    expected_missed,
)
from pointsleft_models.bench.leave_out import Task, leave_out
from pointsleft_models.bench.scores import PLAYED, WINNER, held_out_rows, tasks
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.values.next_score import CLASSES

Array = np.ndarray

#: Seconds left in a half from which a situation is late.
LATE = 120

#: Classes of the next score that the pictures show: the others are too rare for bins.
SHOWN = ("touchdown", "field goal", "none", "touchdown against")

#: Goal for the error of the seven classes, and what is a defect (published design: .013).
GOAL = 0.013

#: Kinds of situation, each with its rows.
KINDS: tuple[tuple[str, pl.Expr], ...] = (
    *((f"quarter {q}", pl.col("period") == q) for q in (1, 2, 3, 4)),
    *((f"down {d}", pl.col("down") == d) for d in (1, 2, 3, 4)),
    ("goal to go", pl.col("distance") >= pl.col("yards_to_goal")),
    ("last two minutes of a half", pl.col("half_seconds") <= LATE),
)


@dataclass(frozen=True, slots=True)
class Reliability:
    """What came of the chances, on seasons left out.

    Attributes
    ----------
    error
        Calibration error of the seven classes.
    by_season
        The same season by season.
    points
        Kind of situation -> bins of the shown classes.
    wins
        Kind of situation -> bins of the chance to win.
    """

    error: ClassError
    by_season: dict[int, float]
    points: dict[str, tuple[Group, ...]]
    wins: tuple[Group, ...]
    rows: int
    decided: int

    def quarters(self) -> tuple[Group, ...]:
        """The four groups that the goal is about."""
        return self.wins[:4]

    def missed(self) -> list[tuple[str, Bin]]:
        """Bins of quarters that are off by more than allowed."""
        return [(group.name, b) for group in self.quarters() for b in group.missed()]

    def judged(self) -> int:
        """Bins of quarters with enough rows."""
        return sum(len(group.judged()) for group in self.quarters())

    def by_chance(self) -> float:
        """Bins of quarters that would be missed by chance."""
        return expected_missed(self.judged())


def study(
    plays: pl.DataFrame,
    seasons: Sequence[int],
    kept: Path | None = None,
    *,
    progress: Progress = quiet,
) -> Reliability:
    """Our predictions of every season left out, taken from ``kept`` where they are there."""
    found = tasks(plays, kept)
    points, y = _ours(found[PLAYED], seasons, kept, progress)
    rows = held_out_rows(found[PLAYED], seasons)
    games, season = rows["game"].to_numpy(), rows["season"].to_numpy()
    won, winner = _ours(found[WINNER], seasons, kept, progress)
    decided = held_out_rows(found[WINNER], seasons)
    decided_games = decided["game"].to_numpy()
    return Reliability(
        error=class_error(points, y),
        by_season={int(s): class_error(points[season == s], y[season == s]).error for s in seasons},
        points={kind: _by_class(points[here], y[here], games[here]) for kind, here in _kinds(rows)},
        wins=tuple(
            Group(kind, bins(won[here, 1], winner[here].astype(float), decided_games[here]))
            for kind, here in _kinds(decided)
        ),
        rows=len(rows),
        decided=len(decided),
    )


def _ours(
    task: Task, seasons: Sequence[int], kept: Path | None, progress: Progress
) -> tuple[Array, Array]:
    """Our chances (n, classes) of the seasons left out, and the classes (n,) that came."""
    own = replace(task, learners=task.learners[:1])
    found = leave_out(own, seasons, kept, progress=progress)[own.learners[0].name]
    y = task.labels(held_out_rows(task, seasons))
    return np.concatenate([found[s].p for s in seasons]), y


def _kinds(rows: pl.DataFrame) -> list[tuple[str, Array]]:
    return [(kind, rows.select(where.alias("x"))["x"].to_numpy()) for kind, where in KINDS]


def _by_class(p: Array, y: Array, games: Array) -> tuple[Group, ...]:
    shown = [(name, CLASSES.index(name)) for name in SHOWN]
    return tuple(Group(name, bins(p[:, c], (y == c).astype(float), games)) for name, c in shown)
