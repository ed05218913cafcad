"""Each season left out in turn: predictions of every learner, kept so that nothing is fitted twice.

One file a task, learner and season holds the predictions of the season that was left out and the
times it took. Losses, intervals and calibration are worked out from these files alone.
"""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from pointsleft_models.bench.keys import key_of
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.values.states import States

if TYPE_CHECKING:
    import polars as pl

Array = np.ndarray

#: Raised whenever kept files change their meaning.
FORMAT = 2

#: Situations of the evaluation that is timed, and in how many batches.
MANY, BATCHES = 1_000_000, 10

#: Probabilities (n, classes) of situations, or of whatever else the learner knows them as.
Predict = Callable[[Any], Array]


class Situations(Protocol):
    """What a learner predicts from; states are such."""

    def __len__(self) -> int: ...

    def take(self, rows: Array) -> Any:
        """Some of the situations, by their places."""


@dataclass(frozen=True, slots=True)
class Model:
    """A fitted learner.

    Attributes
    ----------
    seconds
        Time of earlier work that belongs to its fit.
    """

    predict: Predict
    seconds: float = 0.0


@dataclass(frozen=True, slots=True)
class Learner:
    """Something that is fitted on a frame of rows and then gives chances for others.

    Attributes
    ----------
    settings
        All that its fit depends on but the rows and the code; a change makes kept predictions
        stale.
    fit
        From the rows and the season left out to what predicts.
    states
        The situations of a frame of rows as this learner knows them, where it knows more or other
        of them than the task says.
    """

    name: str
    settings: str
    fit: Callable[[pl.DataFrame, int], Model]
    states: Callable[[pl.DataFrame], Situations] | None = None


@dataclass(frozen=True)
class Task:
    """Rows, the class of every row, and who is to learn them.

    Attributes
    ----------
    rows
        Needs ``season`` and ``game``.
    states, labels
        Situations and class numbers (n,) of the rows of a frame.
    data
        What the rows are made from; a change makes kept predictions stale.
    """

    name: str
    rows: pl.DataFrame
    states: Callable[[pl.DataFrame], States]
    labels: Callable[[pl.DataFrame], Array]
    learners: tuple[Learner, ...]
    data: str


@dataclass(frozen=True, slots=True)
class LeftOut:
    """What one learner said of one season that it had not seen.

    Attributes
    ----------
    p
        (n, classes).
    fit_seconds
        Time of the fit on the other seasons.
    many_seconds
        Time to evaluate :data:`MANY` situations; ``nan`` where not measured.
    """

    p: Array
    fit_seconds: float
    many_seconds: float


def two_classes(p: Array) -> Array:
    """(n, 2) chances of a loss and of a win."""
    return np.column_stack([1 - p, p])


def fingerprint(frame: pl.DataFrame) -> str:
    """Hash of a table's content."""
    return hashlib.sha256(frame.hash_rows(seed=1).to_numpy().tobytes()).hexdigest()[:16]


def leave_out(
    task: Task,
    seasons: Sequence[int],
    kept: Path | None = None,
    *,
    progress: Progress = quiet,
) -> dict[str, dict[int, LeftOut]]:
    """Learner -> season -> predictions; evaluation is timed in the last season.

    Parameters
    ----------
    kept
        Folder of the kept predictions; nothing is kept without.
    """
    jobs = [(learner, season) for season in seasons for learner in task.learners]
    found: dict[str, dict[int, LeftOut]] = {learner.name: {} for learner in task.learners}
    for learner, season in progress(jobs, len(jobs), f"scoring {task.name}"):
        path = _path(kept, task, learner, season)
        timed = season == seasons[-1]
        done = None if path is None else _read(path, _key(task, learner))
        if done is None or (timed and np.isnan(done.many_seconds)):
            done = _leave_out(task, learner, season, timed)
            if path is not None:
                _write(path, done, _key(task, learner))
        found[learner.name][season] = done
    return found


def _leave_out(task: Task, learner: Learner, season: int, timed: bool) -> LeftOut:
    import polars as pl

    train = task.rows.filter(pl.col("season") != season)
    test = task.rows.filter(pl.col("season") == season)
    start = time.perf_counter()
    model = learner.fit(train, season)
    spent = time.perf_counter() - start + model.seconds
    at = (learner.states or task.states)(test)
    p = model.predict(at).astype(np.float32)
    return LeftOut(p, spent, _time(model, at) if timed else float("nan"))


def _time(model: Model, at: Situations) -> float:
    """Seconds to evaluate many situations, batch by batch."""
    picked = np.random.default_rng(1).integers(0, len(at), MANY)
    batches = [at.take(part) for part in np.array_split(picked, BATCHES)]
    start = time.perf_counter()
    for batch in batches:
        model.predict(batch)
    return time.perf_counter() - start


def _key(task: Task, learner: Learner) -> str:
    return key_of(FORMAT, task.name, task.data, learner.name, learner.settings)


def _path(kept: Path | None, task: Task, learner: Learner, season: int) -> Path | None:
    if kept is None:
        return None
    name = f"{task.name} {learner.name} {season}.npz".replace(" ", "-")
    return kept / name


def _read(path: Path, key: str) -> LeftOut | None:
    """Kept predictions, ``None`` where there are none or they are stale or damaged."""
    from zipfile import BadZipFile

    try:
        with np.load(path, allow_pickle=False) as stored:
            if str(stored["key"]) != key:
                return None
            return LeftOut(stored["p"], float(stored["fit_seconds"]), float(stored["many_seconds"]))
    except (OSError, ValueError, KeyError, EOFError, BadZipFile):
        return None


def _write(path: Path, done: LeftOut, key: str) -> None:
    """Write whole or not at all, so that an interruption leaves no half file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_suffix(".part")
    with part.open("wb") as file:
        np.savez_compressed(
            file, p=done.p, fit_seconds=np.array(done.fit_seconds),
            many_seconds=np.array(done.many_seconds), key=np.array(key),
        )  # fmt: skip
    part.replace(path)
