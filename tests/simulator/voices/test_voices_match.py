"""Matching snaps: exact alignment, tolerant of missing snaps, slips and another clock of film."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp
from pointsleft.log import read_log
from pointsleft.log.record import LoggedGame, LoggedOption, Snap
from pointsleft.voices.match import ALONE, align, match
from pointsleft.voices.options import same_options

DEMO = Path(__file__).parents[3] / "data_demo" / "game"


@pytest.fixture(scope="module")
def game() -> LoggedGame:
    return read_log(DEMO)


def later(snap: Snap, seconds: float) -> Snap:
    from pointsleft.voices.match import seconds_of

    at = seconds_of(snap)
    if at is None:
        return snap
    minutes, rest = divmod(round(at + seconds), 60)
    return replace(snap, clip=f"{minutes}:{rest:02d}")


def test_a_log_matches_itself(game: LoggedGame) -> None:
    found = match(game.snaps, game.snaps)
    assert found.pairs == tuple((i, i) for i in range(len(game.snaps)))
    assert found.offset == 0


@given(st.sets(st.integers(0, 77), max_size=15), st.sets(st.integers(0, 77), max_size=15))
@settings(max_examples=15, deadline=None)
def test_missing_snaps_on_either_side(gone_first: set[int], gone_second: set[int]) -> None:
    snaps = read_log(DEMO).snaps
    kept = [[i for i in range(len(snaps)) if i not in gone] for gone in (gone_first, gone_second)]
    found = match([snaps[i] for i in kept[0]], [later(snaps[j], 31) for j in kept[1]])
    assert all(kept[0][i] == kept[1][j] for i, j in found.pairs)
    assert len(found.pairs) == len(set(kept[0]) & set(kept[1]))
    assert found.offset == pytest.approx(31, abs=1)
    assert {kept[0][i] for i in found.only_first} == set(kept[0]) - set(kept[1])


def test_slips_of_clock_spot_and_down(game: LoggedGame) -> None:
    """A fifth of the snaps mistyped: a minute off, ten yards off, another down."""
    rng = np.random.default_rng(3)
    typed = []
    for snap in game.snaps:
        at = snap.situation
        if at is None or rng.random() > 0.2:
            typed.append(snap)
            continue
        slip = int(rng.integers(3))
        changes = (
            {"seconds": max((at.seconds or 0) - 60, 0)},
            {"yards_to_goal": min(at.yards_to_goal + 10, 99)},
            {"down": at.down % 4 + 1},
        )[slip]
        typed.append(replace(snap, situation=at.with_(**changes)))
    found = match(game.snaps, typed)
    assert found.pairs == tuple((i, i) for i in range(len(game.snaps)))


def test_another_game_does_not_match(game: LoggedGame) -> None:
    """Negative control."""
    other = read_log(DEMO.parent / "class" / "ostlow-01")
    assert match(game.snaps, other.snaps).share < 0.3


@given(hnp.arrays(float, (4, 3), elements=st.floats(0, 5)))
@settings(deadline=None)
def test_the_alignment_is_the_cheapest_of_all(costs: np.ndarray) -> None:
    def cost(pairs: list[tuple[int, int]]) -> float:
        return sum(costs[p] for p in pairs) + ALONE * (4 + 3 - 2 * len(pairs))

    best = min(
        cost(list(zip(rows, columns, strict=True)))
        for k in range(4)
        for rows in combinations(range(4), k)
        for columns in combinations(range(3), k)
    )
    assert cost(align(costs)) == pytest.approx(best)


def test_options_under_other_names() -> None:
    first = (
        LoggedOption("post", "throw", route="post", air_yards=24, third="middle"),
        LoggedOption("flat", "throw", route="flat", air_yards=1, third="right"),
        LoggedOption("scramble", "scramble"),
    )
    second = (
        LoggedOption("arrow", "throw", route="flat", air_yards=2, third="right"),
        LoggedOption("deep one", "throw", route="post", air_yards=27, third="middle"),
        LoggedOption("other flat", "throw", route="flat", air_yards=1, third="left"),
    )
    assert same_options(first, second) == [(0, 1), (1, 0)]
    assert same_options(first, first) == [(0, 0), (1, 1), (2, 2)]
