"""Thousands at once against one at a time: the same sum, within what the plan gives away."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from pointsleft.calls.downs import Downs, downs
from pointsleft.calls.many import ManyCalls, ManyValues, plans
from pointsleft.calls.parts import OPTIONS, law_of, offered
from pointsleft.calls.settling import best_and_share
from pointsleft.pricing.cells import snap_values
from pointsleft_models.bundle import Models
from pointsleft_models.football.rules import rule_set
from pointsleft_models.football.situation import Situation
from pointsleft_models.laws.setting import setting_of
from pointsleft_models.values.states import spread_column

N = 24


def situations(season: int) -> tuple[Situation, ...]:
    """Fourth downs of every kind: both halves, early and late, all scores and time-outs, some
    with a pre-game spread."""
    rng = np.random.default_rng(season)
    found = []
    for at in range(N):
        spot = int(rng.integers(2, 98))
        period = 1 + at % 4
        late = period in (2, 4) and at % 3 == 0
        found.append(
            Situation(
                period, int(rng.integers(8, 120) if late else rng.integers(200, 900)), 4,
                min(int(rng.integers(1, 12)), spot), spot, int(rng.integers(-17, 18)),
                rule_set("professional", season), int(rng.integers(0, 4)),
                int(rng.integers(0, 4)), bool(at % 2) if period < 3 else None,
                spread=float(rng.integers(-20, 21)) / 2 if at // 4 % 2 else None,
            )
        )  # fmt: skip
    return tuple(found)


def one_by_one(models: Models, season: int) -> tuple[np.ndarray, np.ndarray]:
    """Exact values (N, 3, fits) in points and in wins."""
    worth = models.under(rule_set("professional", season))
    out = np.full((2, N, 3, 1 + models.refits), np.nan)
    for row, situation in enumerate(situations(season)):
        values = snap_values(worth, situation, gun=True, box=None)
        there = offered(np.array([situation.yards_to_goal]))[0]
        for column, option in enumerate(OPTIONS):
            if there[column]:
                law = law_of(worth, option, values.setting, refits=True)
                out[0, row, column] = values.value(law, "points", law.seconds, refits=True)
                out[1, row, column] = values.value(law, "wins", law.seconds, refits=True)
    return out[0], out[1]


def together(models: Models, season: int, at: Downs) -> ManyValues:
    # the plan is that of another season's rules, as in a table of many seasons
    shared = plans(models, rule_set("professional", 2019))
    return ManyCalls(models.under(rule_set("professional", season)), shared).values(at)


def down_of(situation: Situation) -> Downs:
    """One situation as downs of length 1."""
    at = setting_of(situation)
    receives = situation.receives_second_half
    return downs(
        distance=situation.distance, yards_to_goal=situation.yards_to_goal, half=at.half,
        half_seconds=at.half_seconds, lead=at.lead, own_timeouts=situation.own_timeouts,
        other_timeouts=situation.opponent_timeouts,
        receives=0 if receives is None else (1 if receives else -1),
        spread=spread_column(situation.spread),
    )  # fmt: skip


def joined(season: int) -> Downs:
    parts = [down_of(s) for s in situations(season)]
    return Downs(
        **{n: np.concatenate([getattr(p, n) for p in parts]) for n in Downs.__slots__}
    )  # fmt: skip


@pytest.fixture(scope="module", params=[2010, 2019])
def both(
    request: pytest.FixtureRequest, models: Models
) -> tuple[ManyValues, np.ndarray, np.ndarray]:
    points, wins = one_by_one(models, request.param)
    return together(models, request.param, joined(request.param)), points, wins


def rms(x: np.ndarray) -> float:
    return float(np.sqrt(np.nanmean(x**2)))


def test_the_point_fit_is_the_exact_sum(both: tuple[ManyValues, np.ndarray, np.ndarray]) -> None:
    """Only the spots between knots are given away."""
    many, points, wins = both
    assert np.array_equal(np.isnan(many.points), np.isnan(points))
    assert np.nanmax(np.abs((many.points - points)[..., 0])) < 0.08
    assert rms((many.points - points)[..., 0]) < 0.02
    assert np.nanmax(np.abs((many.wins - wins)[..., 0])) < 0.006


def test_the_refits_are_close(both: tuple[ManyValues, np.ndarray, np.ndarray]) -> None:
    """The read-off differences stay far below the refits' own spread."""
    many, points, wins = both
    for found, exact in ((many.points, points), (many.wins, wins)):
        spread = rms(exact[..., 1:] - exact[..., :1])
        assert rms((found - exact)[..., 1:]) < 0.2 * spread


def test_verdicts_are_those_of_one_at_a_time(
    both: tuple[ManyValues, np.ndarray, np.ndarray],
) -> None:
    many, points, wins = both
    for found, exact in ((many.points, points), (many.wins, wins)):
        best, share = best_and_share(found)
        true_best, true_share = best_and_share(exact)
        close = np.abs(np.diff(np.sort(np.nan_to_num(exact[..., 0], nan=-9), 1)[:, 1:])) < 0.003
        assert (best == true_best)[~close.ravel()].all()
        assert rms(share - true_share) < 0.06


def test_a_wrong_situation_is_seen(models: Models) -> None:
    """The control: values of other time-outs and another clock are not the same."""
    at = joined(2019)
    moved = replace(at, own_timeouts=3 - at.own_timeouts)
    _, wins = one_by_one(models, 2019)
    assert rms((together(models, 2019, moved).wins - wins)[..., 0]) > 0.006


def test_a_wrong_spread_is_seen(models: Models) -> None:
    """The control: values of the other side's spread are not the same, and those of nobody's are
    exactly those of equal teams' rows."""
    at = joined(2019)
    _, wins = one_by_one(models, 2019)
    found = together(models, 2019, replace(at, spread=-at.spread)).wins - wins
    known = ~np.isnan(at.spread)
    assert rms(found[known][..., 0]) > 0.05
    assert np.nanmax(np.abs(found[~known][..., 0])) < 0.006


def test_the_order_of_the_rows_does_not_matter(models: Models) -> None:
    at = joined(2019)
    order = np.random.default_rng(1).permutation(N)
    plain, mixed = together(models, 2019, at), together(models, 2019, at.take(order))
    assert np.allclose(plain.wins[order], mixed.wins, equal_nan=True, atol=1e-6)


def test_the_same_down_twice_has_one_value(models: Models) -> None:
    at = downs(distance=[3, 3], yards_to_goal=[45, 45], half=2, half_seconds=[700, 700], lead=-4)
    found = together(models, 2019, at)
    assert np.allclose(found.wins[0], found.wins[1], equal_nan=True)
