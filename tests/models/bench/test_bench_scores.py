"""Leaving seasons out: nothing is fitted twice, nothing stale is used, nobody sees the season."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from pointsleft_models.bench import leave_out as module
from pointsleft_models.bench.leave_out import Learner, Model, Task, fingerprint, leave_out
from pointsleft_models.bench.scores import compare
from pointsleft_models.values.states import States, states

SEASONS = (1, 2, 3)


def _rows() -> pl.DataFrame:
    rng = np.random.default_rng(1)
    yards = rng.integers(1, 100, 900)
    return pl.DataFrame(
        {
            "season": np.repeat(SEASONS, 300),
            "game": [f"g{at // 30}" for at in range(900)],
            "yards": yards,
            "won": (rng.random(900) < 1 - yards / 100).astype(int),
        }
    )


def _states(rows: pl.DataFrame) -> States:
    return states(yards_to_goal=rows["yards"].to_numpy())


def _labels(rows: pl.DataFrame) -> np.ndarray:
    return rows["won"].to_numpy()


class Slope:
    """Chance falling in a straight line with the yards, the steeper the surer; counts its fits."""

    def __init__(self, name: str, steep: float = 1.0, settings: str = "") -> None:
        self.fitted: list[int] = []
        self.seen: list[set[int]] = []
        self.steep = steep
        self.learner = Learner(name, settings, self._fit)

    def _fit(self, train: pl.DataFrame, season: int) -> Model:
        self.fitted.append(season)
        self.seen.append(set(train["season"]))

        def predict(at: States) -> np.ndarray:
            p = np.clip(0.5 + self.steep * (0.5 - at.yards_to_goal / 100), 0.001, 0.999)
            return np.column_stack([1 - p, p])

        return Model(predict, 2.0)


def _task(*slopes: Slope, data: str = "d") -> Task:
    learners = tuple(slope.learner for slope in slopes)
    return Task("toy", _rows(), _states, _labels, learners, data)


@pytest.fixture(autouse=True)
def _few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MANY", 1000)


def test_the_season_left_out_is_not_seen() -> None:
    slope = Slope("ours")
    found = leave_out(_task(slope), SEASONS)["ours"]
    assert slope.fitted == list(SEASONS)
    assert slope.seen == [{2, 3}, {1, 3}, {1, 2}]
    assert all(len(part.p) == 300 and part.fit_seconds >= 2 for part in found.values())
    assert [np.isfinite(found[s].many_seconds) for s in SEASONS] == [False, False, True]


def test_a_learner_may_know_more_of_a_row_than_the_others() -> None:
    """One that is shown the winner is sure of it; the task's own states do not have him."""

    def shown(rows: pl.DataFrame) -> States:
        return states(lead=2 * rows["won"].to_numpy() - 1)

    def sees(at: States) -> np.ndarray:
        p = 0.5 + 0.49 * np.sign(at.lead)
        return np.column_stack([1 - p, p])

    plain = Learner("plain", "", lambda _train, _season: Model(sees))
    task = replace(
        _task(Slope("ours")), learners=(plain, replace(plain, name="shown", states=shown))
    )
    kept = leave_out(task, SEASONS)
    without, told = compare(task, SEASONS, kept).learners
    assert without.log_loss == pytest.approx(np.log(2))
    assert told.log_loss == pytest.approx(-np.log(0.99))


def test_an_interrupted_run_goes_on_where_it_stopped(tmp_path: Path) -> None:
    first = Slope("ours")
    whole = leave_out(_task(first), SEASONS, tmp_path)
    lost = next(tmp_path.glob("*-2.npz"))
    lost.write_bytes(lost.read_bytes()[:40])  # a disk that filled up
    second = Slope("ours")
    again = leave_out(_task(second), SEASONS, tmp_path)
    assert second.fitted == [2]
    assert np.array_equal(again["ours"][2].p, whole["ours"][2].p)


def test_fewer_seasons_use_what_more_have_kept(tmp_path: Path) -> None:
    """The last of them is fitted once more, for its time, and then serves both."""
    leave_out(_task(Slope("ours")), SEASONS, tmp_path)
    fewer, again = Slope("ours"), Slope("ours")
    found = leave_out(_task(fewer), SEASONS[:2], tmp_path)["ours"]
    assert fewer.fitted == [2]
    assert np.isfinite(found[2].many_seconds)
    leave_out(_task(again), SEASONS[:2], tmp_path)
    leave_out(_task(again), SEASONS, tmp_path)
    assert again.fitted == []


@pytest.mark.parametrize("change", ["settings", "data"])
def test_kept_predictions_of_something_else_are_not_used(tmp_path: Path, change: str) -> None:
    leave_out(_task(Slope("ours")), SEASONS, tmp_path)
    other = Slope("ours", settings="new" if change == "settings" else "")
    leave_out(_task(other, data="new" if change == "data" else "d"), SEASONS, tmp_path)
    assert other.fitted == list(SEASONS)


def test_the_right_model_is_found_better_and_by_how_much() -> None:
    task = _task(Slope("ours"), Slope("too sure", steep=1.6), Slope("same"))
    found = compare(task, SEASONS, leave_out(task, SEASONS))
    ours, sure, same = found.learners
    assert (found.rows, found.games) == (900, 30)
    assert ours.less is None
    assert sure.less is not None
    assert same.less is not None
    assert sure.less.value == pytest.approx(ours.log_loss - sure.log_loss)
    assert sure.less.low < sure.less.value < sure.less.high < 0
    assert (same.less.low, same.less.value, same.less.high) == (0, 0, 0)
    assert np.mean(list(ours.by_season.values())) == pytest.approx(ours.log_loss)


def test_predictions_are_joined_with_their_own_rows() -> None:
    """Control: seasons in another order than the table's give the same score, shuffled ones not."""
    task = _task(Slope("ours"))
    found = leave_out(task, SEASONS)
    plain = compare(task, SEASONS, found).learners[0].log_loss
    assert compare(task, (3, 1, 2), found).learners[0].log_loss == pytest.approx(plain)
    mixed = {"ours": {1: found["ours"][2], 2: found["ours"][3], 3: found["ours"][1]}}
    assert compare(task, SEASONS, mixed).learners[0].log_loss > plain + 0.1


def test_fingerprint_follows_the_content() -> None:
    rows = _rows()
    assert fingerprint(rows) == fingerprint(rows.clone())
    assert fingerprint(rows) != fingerprint(rows.with_columns(won=1 - pl.col("won")))


def test_a_task_keeps_its_files_apart(tmp_path: Path) -> None:
    leave_out(_task(Slope("ours")), SEASONS, tmp_path)
    other = Slope("ours")
    leave_out(replace(_task(other), name="another"), SEASONS, tmp_path)
    assert other.fitted == list(SEASONS)
    assert len(list(tmp_path.glob("*.npz"))) == 6
    assert not list(tmp_path.glob("*.part"))
