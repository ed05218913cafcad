"""The matrices of these tests are small: a second thread costs more than it helps."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from threadpoolctl import threadpool_limits


@pytest.fixture(scope="module", autouse=True)
def one_thread() -> Iterator[None]:
    with threadpool_limits(1):
        yield
