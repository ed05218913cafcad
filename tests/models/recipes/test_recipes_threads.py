"""Fits run on one thread wherever they run, so that workers change nothing."""

from __future__ import annotations

from collections.abc import Callable

import joblib
import numpy as np
import pytest
from pointsleft_models.recipes import everything, level_values, next_score, playthrough_fit, wins
from pointsleft_models.recipes.threads import on_one_thread
from threadpoolctl import threadpool_info, threadpool_limits

TASKS = (
    everything.fit_everything, everything._fit_laws, next_score._fit_question,
    next_score._refit_question, wins._refit, playthrough_fit._fit_one, level_values._kept_refits,
)  # fmt: skip


def most_threads() -> int:
    np.linalg.inv(np.eye(2))  # the library is there
    return max(pool["num_threads"] for pool in threadpool_info() if pool["user_api"] == "blas")


alone = on_one_thread(most_threads)


def test_whoever_runs_a_task_it_has_one_thread() -> None:
    with threadpool_limits(2):
        assert most_threads() == 2
        assert alone() == 1
        assert most_threads() == 2
    with joblib.parallel_config(backend="loky", inner_max_num_threads=2):
        pool = joblib.Parallel(n_jobs=2)
        assert pool(joblib.delayed(most_threads)() for _ in range(2)) == [2, 2]
        assert pool(joblib.delayed(alone)() for _ in range(2)) == [1, 1]


@pytest.mark.parametrize("task", TASKS, ids=lambda task: task.__name__)
def test_every_task_of_a_pool_is_such_a_task(task: Callable[..., object]) -> None:
    assert task.__code__ is alone.__code__
