"""The protection clock: sprints, drops, rushers, and chances that go the right way with time."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pointsleft.log.record import PLACEMENTS, SECURITIES, TIMINGS, Defense
from pointsleft.pricing.judgement_table import judged, judgements
from pointsleft.pricing.logged_throws import rush_of
from pointsleft.pricing.protection import (
    Pocket,
    Protection,
    Rush,
    ball_out,
    depth_of,
    free_arrival,
    protection,
    protections,
    sprint_seconds,
)
from pointsleft_models.bundle import Worth
from pointsleft_models.laws.library import Library
from pricing_sample import snap

Array = np.ndarray

TIMES = np.linspace(1.0, 5.0, 81)

rushes = st.builds(
    Rush,
    rushers=st.none() | st.integers(2, 6),
    free=st.booleans(),
    depth=st.floats(0, 15),
    side=st.sampled_from([None, "left", "middle", "right"]),
)


def clock(library: Library, time: float, rush: Rush, *, refits: bool = False) -> Protection:
    return protection(library, time, rush, 7.0, refits=refits)


def test_a_man_who_was_blocked_first_comes_later(worth: Worth) -> None:
    at_once = clock(worth.models.library, 2.05, Rush(5, True, 0.0, "left"))
    late = clock(worth.models.library, 2.05, Rush(5, True, 0.0, "left", late=0.7))
    nobody = clock(worth.models.library, 2.05, Rush(5))
    assert at_once.on_time[0] < late.on_time[0] < nobody.on_time[0]
    assert at_once.sacked[0] > late.sacked[0] > nobody.sacked[0]


@pytest.mark.parametrize(
    ("why", "free", "late"),
    [
        (None, True, 0.0),
        ("by-design", True, 0.0),
        ("missed-assignment", True, 0.0),
        ("beaten", True, judged("rush.beaten").value),
        ("stunt", True, judged("rush.stunt").value),
        ("held-too-long", False, 0.0),
    ],
)
def test_why_he_came_free_says_when(why: str | None, free: bool, late: float) -> None:
    """A rusher who came because the ball was held threatens nothing that would have been out."""
    row = snap(defense=Defense(rushers=5, free_rusher=True, free_depth=2.0, free_why=why))
    assert rush_of(row) == Rush(5, free, 2.0, None, late)


# -- sprints ---------------------------------------------------------------------------------


@given(st.floats(4.2, 5.6))
def test_a_forty_takes_its_forty_time(forty: float) -> None:
    assert sprint_seconds(40, forty) == pytest.approx(forty, abs=1e-6)


@given(yards=st.floats(0.5, 60), forty=st.floats(4.2, 5.6))
def test_farther_takes_longer_and_slower_takes_longer(yards: float, forty: float) -> None:
    assert sprint_seconds(yards + 0.5, forty) > sprint_seconds(yards, forty)
    assert sprint_seconds(yards, forty + 0.1) > sprint_seconds(yards, forty)


def test_the_first_yards_are_the_slowest() -> None:
    marks = np.array([sprint_seconds(y, 4.8) for y in range(0, 41, 5)])
    assert marks[0] == pytest.approx(0, abs=1e-6)
    assert (np.diff(marks, 2) < 0).all()


# -- drops and rushers -----------------------------------------------------------------------


def test_each_step_and_hitch_takes_its_time() -> None:
    under = [ball_out(s, 0, gun=False, fake=False) for s in (1, 3, 5, 7)]
    assert under == sorted(under)
    assert under[1] == judged("drop.three").value
    for hitches in (1, 2, 4):
        assert ball_out(3, hitches, gun=False, fake=False) == pytest.approx(
            under[1] + hitches * judged("drop.hitch").value
        )
    assert ball_out(5, 1, gun=False, fake=True) > ball_out(5, 1, gun=False, fake=False)


def test_three_from_the_gun_is_five_from_under_centre_and_sooner() -> None:
    saved = judged("drop.gun_seconds").value
    assert ball_out(3, 0, gun=True, fake=False) == pytest.approx(
        ball_out(5, 0, gun=False, fake=False) + saved
    )
    assert depth_of(3, gun=True) == pytest.approx(depth_of(5, gun=False), abs=1.0)
    assert [depth_of(s, gun=False) for s in (0, 1, 3, 5, 7)] == sorted(
        depth_of(s, gun=False) for s in (0, 1, 3, 5, 7)
    )


def test_a_free_rusher_needs_longer_from_farther() -> None:
    by_depth = [free_arrival(d, "left", 7.0) for d in (0, 2, 5, 10)]
    assert by_depth == sorted(by_depth)
    assert by_depth[0] < by_depth[-1]
    assert free_arrival(0, "middle", 7.0) < free_arrival(0, "left", 7.0)
    assert free_arrival(0, "left", 7.0) == free_arrival(0, "right", 7.0)
    assert free_arrival(0, "left", 9.0) > free_arrival(0, "left", 5.0)
    assert free_arrival(0, "left", 5.0) > judged("rush.reaction").value


# -- chances ---------------------------------------------------------------------------------


@settings(max_examples=60)
@given(time=st.floats(0.8, 6), rush=rushes)
def test_chances_sum_to_one_under_every_fit(worth: Worth, time: float, rush: Rush) -> None:
    point = clock(worth.models.library, time, rush)
    every = clock(worth.models.library, time, rush, refits=True)
    for found, fits in ((point, 1), (every, 1 + worth.models.refits)):
        parts = np.stack([found.on_time, found.hurried, found.sacked])
        assert parts.sum(0) == pytest.approx(1, abs=1e-9)
        assert parts.min() >= -1e-12
        assert parts.shape == (3, fits)
    for name in ("on_time", "hurried", "sacked"):
        assert getattr(every, name)[0] == pytest.approx(getattr(point, name)[0], abs=1e-6)


@settings(max_examples=30)
@given(rush=rushes)
def test_holding_it_longer_is_never_safer(worth: Worth, rush: Rush) -> None:
    found = [clock(worth.models.library, t, rush) for t in TIMES]
    on_time = np.array([float(p.on_time[0]) for p in found])
    sacked = np.array([float(p.sacked[0]) for p in found])
    assert np.diff(on_time).max() <= 1e-9
    assert np.diff(sacked).min() >= -1e-9


def test_a_free_rusher_is_never_a_help(worth: Worth) -> None:
    for t in TIMES[::8]:
        with_him = clock(worth.models.library, t, Rush(free=True, depth=1.0, side="left"))
        without = clock(worth.models.library, t, Rush())
        assert with_him.on_time[0] <= without.on_time[0] + 1e-9
        assert with_him.sacked[0] >= without.sacked[0] - 1e-9


def test_a_free_rusher_from_depth_leaves_more_time(worth: Worth) -> None:
    near, deep = (
        clock(worth.models.library, 2.2, Rush(free=True, depth=d, side="left")) for d in (0.0, 6.0)
    )
    assert deep.on_time[0] > near.on_time[0] + 0.2
    assert deep.sacked[0] <= near.sacked[0]


def test_long_after_he_arrives_it_is_a_sack(worth: Worth) -> None:
    late = clock(worth.models.library, 5.0, Rush(free=True, depth=0.0, side="middle"))
    assert late.sacked[0] > 0.999


def test_without_participation_data_there_is_still_a_clock(worth: Worth) -> None:
    kept = {
        name: part
        for name, part in worth.models.library.components.items()
        if name not in ("pressure", "sack if pressed")
    }
    found = clock(Library(kept), 2.5, Rush(rushers=4))
    total = found.on_time + found.hurried + found.sacked
    assert total == pytest.approx(1)
    assert 0.01 < found.sacked[0] < 0.2


# -- the table of judgements -----------------------------------------------------------------


def test_every_judgement_has_a_range_around_it_and_a_source() -> None:
    for code, row in judgements().items():
        assert row.what, code
        assert row.source, code
        if row.low_text:
            assert row.low <= row.value <= row.high, code


def test_shares_of_grades_as_they_occur_sum_to_one() -> None:
    for words in (PLACEMENTS, TIMINGS, SECURITIES):
        assert sum(judged(f"share.{w}").value for w in words) == pytest.approx(1)


@pytest.mark.parametrize("refits", [False, True])
def test_clocks_looked_up_together_are_clocks_alone(worth: Worth, refits: bool) -> None:
    library = worth.models.library
    pockets = [
        Pocket(time, Rush(rushers, free, 2.0, "left"), depth)
        for time in (1.4, 2.6)
        for rushers in (None, 4, 6)
        for free in (False, True)
        for depth in (5.0, 8.2)
    ]
    for pocket, found in zip(pockets, protections(library, pockets, refits=refits), strict=True):
        alone = protection(library, pocket.out_mean, pocket.rush, pocket.depth, refits=refits)
        for share in ("on_time", "hurried", "sacked"):
            assert getattr(found, share) == pytest.approx(getattr(alone, share), abs=1e-12)
