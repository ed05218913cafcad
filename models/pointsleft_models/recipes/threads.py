"""Fits on one thread, so that their last bits do not depend on who makes them.

A factorisation on two threads adds up in another order than on one. A worker of a pool may have
one thread where the main process has all; the same fit would then differ in its last bits with
the number of workers.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

Given = ParamSpec("Given")
Made = TypeVar("Made")


def on_one_thread(task: Callable[Given, Made]) -> Callable[Given, Made]:
    """The task, with linear algebra on one thread wherever it runs."""

    @wraps(task)
    def alone(*args: Given.args, **kwargs: Given.kwargs) -> Made:
        from threadpoolctl import threadpool_limits

        with threadpool_limits(1):
            return task(*args, **kwargs)

    return alone
