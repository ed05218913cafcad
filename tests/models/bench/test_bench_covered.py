"""Intervals held against a truth: by hand, and studies that go on where they stopped."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from pointsleft_models.bench.covered import Repeat, held, study
from pointsleft_models.bench.one_step import compared

CALLS: list[int] = []


def told(games: int, refits: int, seed: np.random.SeedSequence) -> Repeat:
    """A repeat that says which one it is; every other one tries a second scheme."""
    at = seed.spawn_key[-1]
    CALLS.append(at)
    covered = {"one": at / 10, **({"two": 0.5} if at % 2 else {})}
    return Repeat(0.01 * at, covered, dict.fromkeys(covered, 2.0 * at))


def test_held_by_hand() -> None:
    """Three situations, 21 refits of each: the middle 90% of 0..20 is 1 to 19."""
    refits = np.arange(21.0)[:, None] + np.array([0.0, 100.0, 200.0])
    exact, met = np.array([1.0, 119.5, 210.0]), np.array([0.5, 0.2, 0.3])
    found = held(np.array([2.0, 110.0, 210.0]), {"fifths": refits}, exact, met)
    assert found.covered == pytest.approx({"fifths": 0.8})
    assert found.width == pytest.approx({"fifths": 18.0})
    assert found.error == pytest.approx(0.5 * 1 + 0.2 * 9.5)
    assert found.inside == {}
    again = held(np.array([2.0, 110.0, 210.0]), {"fifths": refits}, exact, met, keep=True)
    assert again.inside == {"fifths": [1, 0, 1]}


def test_a_study_averages_each_scheme_over_the_repeats_that_tried_it() -> None:
    found = study(told, 30, 4, 5)
    assert (found.games, found.repeats, found.refits) == (30, 4, 5)
    assert found.error == pytest.approx(0.015)
    one, two = found.schemes
    assert (one.scheme, one.repeats, two.scheme, two.repeats) == ("one", 4, "two", 2)
    assert (one.coverage, two.coverage) == pytest.approx((0.15, 0.5))
    assert one.standard_error == pytest.approx(np.std([0, 0.1, 0.2, 0.3], ddof=1) / 2)
    assert (one.width, two.width) == pytest.approx((3.0, 4.0))


def by_situation(games: int, refits: int, seed: np.random.SeedSequence) -> Repeat:
    """Of two situations the first is always held, the second in every other archive; what was held
    is not kept where there is a third refit."""
    holds = [1, seed.spawn_key[-1] % 2]
    inside = {"one": holds} if refits < 3 or holds[1] else {}
    return Repeat(0.01, {"one": sum(holds) / 2}, {"one": 1.0}, inside)


def test_a_study_says_how_often_each_situation_is_held(tmp_path: Path) -> None:
    found = study(by_situation, 30, 4, 2, kept=tmp_path)
    assert found.schemes[0].by_situation == [1.0, 0.5]
    assert study(by_situation, 30, 4, 2, kept=tmp_path) == found
    assert study(by_situation, 30, 4, 3).schemes[0].by_situation is None  # some did not keep it


def test_a_study_goes_on_where_it_stopped(tmp_path: Path) -> None:
    first = study(told, 30, 3, 5, kept=tmp_path)
    (tmp_path / "30-5-001.json").unlink()
    (tmp_path / "30-5-002.part").write_text("{", encoding="utf-8")  # broken off while writing
    CALLS.clear()
    assert study(told, 30, 3, 5, kept=tmp_path) == first
    assert CALLS == [1]


def test_ends_of_intervals_compared_by_hand() -> None:
    full = np.arange(21.0)[:, None] * np.ones(2)
    same = compared("a truth", 9, full, full, np.array([0.5, 0.5]))
    assert (same.ends, same.wider, same.width) == pytest.approx((0.0, 1.0, 18.0))
    moved = compared("a truth", 9, full + np.array([1.8, 0.0]), full, np.array([0.5, 0.5]))
    assert (moved.ends, moved.wider) == pytest.approx((0.05, 1.0))
    wide = compared("a truth", 9, 2 * full, full, np.array([0.5, 0.5]))
    assert wide.wider == pytest.approx(2.0)
