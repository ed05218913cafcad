"""The analyst's grades are ranges, drawn jointly."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft.log.record import Range
from pointsleft.pricing.judgement import _capped, judgement_interval
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.model import Judged
from pointsleft.pricing.options import in_read
from pointsleft.pricing.settings import PriceSettings
from pointsleft.pricing.snap import prepare
from pointsleft_models.bundle import Worth
from pricing_sample import DIG, FLAT, POST, LoggedOption, situation, snap, throw
from scipy.stats import triang

Array = np.ndarray


def judgement(low: float, value: float, high: float) -> Judged:
    return Judged("window of post", "even", value, low, high)


@given(
    ends=st.tuples(*[st.integers(-40, 40)] * 3).map(sorted),
    seed=st.integers(0, 99),
)
def test_draws_are_triangular_within_the_range(ends: list[int], seed: int) -> None:
    low, value, high = (e / 10 for e in ends)
    uniform = np.random.default_rng(seed).random(200)
    drawn = judgement(low, value, high).draws(uniform)
    assert (drawn >= low - 1e-9).all()
    assert (drawn <= high + 1e-9).all()
    if high == low:
        assert (drawn == value).all()
        return
    peer = triang((value - low) / (high - low), loc=low, scale=high - low)
    assert drawn == pytest.approx(peer.ppf(uniform), abs=1e-9)
    order = np.argsort(uniform)
    assert (np.diff(drawn[order]) >= -1e-12).all()


def test_draws_have_the_mean_and_spread_of_the_triangle() -> None:
    drawn = judgement(-1, 0.5, 2).draws(np.random.default_rng(0).random(100_000))
    assert drawn.mean() == pytest.approx((-1 + 0.5 + 2) / 3, abs=0.01)
    variance = (1 + 0.25 + 4 - (-1 * 0.5 + -1 * 2 + 0.5 * 2)) / 18
    assert drawn.var() == pytest.approx(variance, rel=0.02)


def test_half_a_range_is_a_step() -> None:
    assert judgement(-1, 0.5, 2).half_range == 1.5


def test_chances_of_a_read_group_are_scaled_down_together() -> None:
    chances = np.array([[1.0, 0.8, 0.6, 0.3], [1.0, 0.2, 0.3, 0.9]])
    found = _capped(chances, [None, "A", "A", None])
    assert found[0, 1:3] == pytest.approx([0.8 / 1.4, 0.6 / 1.4])
    assert found[1] == pytest.approx(chances[1])
    assert found[:, [0, 3]] == pytest.approx(chances[:, [0, 3]])


def interval(
    worth: Worth, *options: LoggedOption, draws: int = 400, seed: int = 3
) -> tuple[float, float]:
    values, _, models = prepare(worth, snap(*options))
    settings = PriceSettings(judgement_draws=draws)
    found = judgement_interval(
        values, models, len(models) - 1, "points", settings, np.random.default_rng(seed)
    )
    return found.low, found.high


@pytest.mark.parametrize(
    "option",
    [LoggedOption("k", "keep"), LoggedOption("g", "go"), LoggedOption("f", "field-goal"),
     LoggedOption("s", "scramble"), LoggedOption("t", "throw-away"), POST],
)  # fmt: skip
def test_a_larger_judgement_goes_the_way_the_kind_says(worth: Worth, option: LoggedOption) -> None:
    near = situation(yards_to_goal=20)
    values, _, models = prepare(worth, snap(option, FLAT, at=near))
    cells = values.option_cells("points", 6)[0]
    model = models[0]
    low, high = (float(model.law(x).value(cells)[0]) for x in (model.judged.low, model.judged.high))
    assert (high - low) * model.better > 0


def test_one_eye_errs_the_same_way_about_a_run_and_a_throw(
    worth: Worth, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With everything leaning together a kind eye helps both, and their difference moves less
    than if each erred on its own."""
    sure = Range(1.0, 1.0, 1.0)
    run = LoggedOption("k", "keep", in_read=sure)
    quick = throw("hitch", route="hitch", air_yards=8, window="loose", in_read=sure)
    lean = judged("grader.lean")
    width = {}
    for correlation in ("0.0", "0.9"):
        row = replace(lean, text=correlation)
        monkeypatch.setattr("pointsleft.pricing.judgement.judged", lambda code, row=row: row)
        low, high = interval(worth, quick, run, draws=4000)
        width[correlation] = high - low
    assert width["0.9"] < 0.8 * width["0.0"]


def test_certain_grades_have_no_spread(worth: Worth) -> None:
    sure = Range(1.0, 1.0, 1.0)
    options = [
        replace(o, in_read=sure, window=None, chance=Range(c, c, c))
        for o, c in ((POST, 0.5), (DIG, 0.6), (FLAT, 0.9))
    ]
    low, high = interval(worth, *options)
    assert high - low == pytest.approx(0, abs=1e-9)


def test_wider_grades_are_wider_intervals(worth: Worth) -> None:
    sure = replace(POST, in_read=Range(1.0, 1.0, 1.0))
    narrow = interval(worth, sure, FLAT)
    wide = interval(worth, replace(sure, window_low="smothered", window_high="loose"), FLAT)
    assert 0 < narrow[1] - narrow[0] < wide[1] - wide[0]
    assert narrow[0] >= 0
    assert wide[0] >= 0


def test_the_same_seed_is_the_same_interval(worth: Worth) -> None:
    one, again, other = (interval(worth, POST, FLAT, seed=s) for s in (1, 1, 2))
    assert one == again
    assert one != other


@pytest.mark.parametrize(
    ("option", "code"),
    [
        (throw("a", place=1), "in_read.first"),
        (throw("a", place=2), "in_read.second"),
        (throw("a", place=3), "in_read.third"),
        (throw("a", place=4), "in_read.later"),
        (throw("a", place=9), "in_read.later"),
        (throw("a"), "in_read.unplaced"),
        (LoggedOption("k", "keep"), "in_read.run"),
        (LoggedOption("p", "punt"), "in_read.kick"),
        (LoggedOption("g", "go"), "in_read.kick"),
        (LoggedOption("s", "scramble"), "in_read.escape"),
        (throw("a", in_read=Range(0.4, 0.2, 0.5), place=1), None),
    ],
)
def test_where_the_chance_in_the_read_comes_from(option: LoggedOption, code: str | None) -> None:
    chance, used = in_read(option)
    assert used == code
    if code is None:
        assert (chance.low, chance.value, chance.high) == (0.2, 0.4, 0.5)
    assert 0 <= chance.low <= chance.value <= chance.high <= 1


def test_the_curve_of_a_carry_is_its_law(worth: Worth) -> None:
    """Kinds whose cells move with the judgement are drawn through a few points: near the truth."""
    row = snap(LoggedOption("k", "keep"), LoggedOption("g", "go"), LoggedOption("f", "field-goal"))
    values, _, models = prepare(worth, row)
    cells = values.option_cells("points", 6)[0]
    for model in models:
        inside = np.linspace(model.judged.low, model.judged.high, 23)
        exact = [float(model.law(float(x)).value(cells)[0]) for x in inside]
        assert model.values(inside, cells) == pytest.approx(exact, abs=1e-3)
        one = np.full(3, model.judged.value)
        assert model.values(one, cells) == pytest.approx(float(model.law().value(cells)[0]))


def test_many_judgements_of_a_throw_are_each_alone(worth: Worth) -> None:
    values, _, models = prepare(worth, snap())
    cells = values.option_cells("points", 6)[0]
    odds = np.array([-2.0, -0.3, 0.0, 1.1])
    for model in models:
        exact = [float(model.law(float(x)).value(cells)[0]) for x in odds]
        assert model.values(odds, cells) == pytest.approx(exact, abs=1e-9)
