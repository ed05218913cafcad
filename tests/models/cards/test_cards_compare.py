"""Fit against counts: plays made up from the fit agree with it, a wrong fit does not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import polars as pl
import pytest
from pointsleft_models.bundle import Models
from pointsleft_models.cards.compare import LIMITS, ask, binned, rows_of
from pointsleft_models.cards.counted import Counted, Panel
from pointsleft_models.cards.law_panels import LAW_PANELS
from pointsleft_models.cards.page import agreement
from pointsleft_models.cards.panels import Against, Chance, Gains, Reach
from pointsleft_models.fitting.logit import expit
from pointsleft_models.laws.library import Library
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.families import LAWS
from pointsleft_models.recipes.kicking import KICKING
from pointsleft_models.recipes.rushing import RUSHING

MANY = 6000
KICK = next(c for c in KICKING if c.name == "field goal")
RUN = next(c for c in RUSHING if c.name == "run")


def as_given(component: Component) -> Component:
    """The component on rows that are already its own."""
    return replace(component, rows=lambda frame: frame)


def kicks(library: Library, rng: np.random.Generator) -> pl.DataFrame:
    frame = pl.DataFrame(
        {
            "game": [f"g{i % 90}" for i in range(MANY)],
            "kick_yards": rng.integers(18, 62, MANY).astype(np.int32),
            "year": rng.integers(0, 11, MANY).astype(np.int32),
        }
    )
    values = {name: frame[name].to_numpy() for name in ("kick_yards", "year")}
    chance = library.logit("field goal").probability(values)[0]
    return frame.with_columns(made=pl.Series(rng.random(MANY) < chance))


def runs(library: Library, rng: np.random.Generator) -> pl.DataFrame:
    """Runs carried yard by yard: stopped or not by the fitted chance, no law in between."""
    yards_to_goal = rng.integers(1, 100, MANY)
    frame = pl.DataFrame(
        {
            "game": [f"g{i % 90}" for i in range(MANY)],
            "gap_code": rng.integers(1, 5, MANY).astype(np.int32),
            "to_go": np.minimum(rng.integers(1, 16, MANY), yards_to_goal).astype(np.int32),
            "near": np.minimum(yards_to_goal, 30).astype(np.int32),
            "yards_to_goal": yards_to_goal.astype(np.int32),
        }
    )
    values = {name: frame[name].to_numpy() for name in ("gap_code", "to_go", "near")}
    gain = np.full(MANY, RUN.low)
    going = np.ones(MANY, dtype=bool)
    while going.any():
        stop = expit(library.logit("run").eta({**values, "yards": gain})[0])
        going &= (rng.random(MANY) >= stop) & (gain < yards_to_goal)
        gain = np.where(going, gain + 1, gain)
    return frame.with_columns(
        run_gain=pl.Series(gain.astype(np.int32)), touchdown=pl.Series(gain >= yards_to_goal)
    )


def share_inside(*panels: Panel) -> float:
    inside, points = agreement(Counted("x", "", "", panels))
    return inside / points


DISTANCE = Against(x=pl.col("kick_yards"), edges=tuple(range(18, 63, 3)))


def kick_panel(library: Library, frame: pl.DataFrame) -> Panel:
    component = as_given(KICK)
    rows = rows_of(component, {KICK.name: component}, library, frame)
    question = Chance(component=KICK.name, title="kicks", against=DISTANCE)
    return ask(question, component, rows)


def run_panels(library: Library, frame: pl.DataFrame) -> tuple[Panel, ...]:
    component = as_given(RUN)
    rows = rows_of(component, {RUN.name: component}, library, frame)
    gaps = Against(x=pl.col("gap_code"), words=((1, "a"), (2, "b"), (3, "c"), (4, "d")))
    near = Against(x=pl.col("yards_to_goal"), edges=(1, 2, 3, 4, 6, 9, 15, 30, 60, 100))
    questions = (
        Gains(component="run", title="", x_label="", edges=tuple(range(-8, 25))),
        Reach(component="run", title="", against=gaps, parts=(("four", 4, 99), ("loss", -99, 0))),
        Reach(component="run", title="", against=near),
    )
    return tuple(ask(question, component, rows) for question in questions)


def test_plays_made_up_from_the_fit_agree_with_it(models: Models) -> None:
    rng = np.random.default_rng(11)
    panels = (kick_panel(models.library, kicks(models.library, rng)),)
    panels += run_panels(models.library, runs(models.library, rng))
    assert share_inside(*panels) > 0.8


def test_a_wrong_fit_is_seen(models: Models) -> None:
    """Negative control: the same plays beside fits whose log odds are moved by a third."""
    rng = np.random.default_rng(11)
    wrong = {}
    for name in ("field goal", "run"):
        fitted = models.library.components[name]
        logit = fitted.stop if name == "run" else fitted
        b = logit.coefficients.copy()
        b[: logit.basis.terms[0].size] += 0.33
        moved = replace(logit, coefficients=b)
        wrong[name] = replace(fitted, stop=moved) if name == "run" else moved
    library = Library(wrong)
    assert share_inside(kick_panel(library, kicks(models.library, rng))) < 0.6
    assert share_inside(*run_panels(library, runs(models.library, rng))) < 0.6


def test_laws_sum_to_one_and_end_at_the_limit(models: Models) -> None:
    frame = runs(models.library, np.random.default_rng(12))
    component = as_given(RUN)
    rows = rows_of(component, {RUN.name: component}, models.library, frame)
    assert rows.laws.sum(1) == pytest.approx(np.ones(len(rows.laws)))
    limits = rows.frame["_limit"].to_numpy() - rows.low
    beyond = [
        rows.laws[law, limit + 1 :].sum() for law, limit in zip(rows.law, limits, strict=True)
    ]
    assert max(beyond) == 0.0


def test_bins_hold_what_lies_in_them() -> None:
    frame = pl.DataFrame(
        {"x": [1.0] * 40 + [2.0] * 40 + [9.0] * 40, "game": ["a"] * 60 + ["b"] * 60}
    )
    yes = np.repeat([1.0, 0.0, 1.0], 40)
    against = Against(x=pl.col("x"), edges=(1, 3, 9))
    found = binned("all", against, frame, np.ones(120, bool), yes, np.full(120, 0.25))
    assert found.n == (80.0,)
    assert found.yes == (40.0,)
    assert found.x == (1.5,)
    assert found.fit == (0.25,)


def test_intervals_can_count_games() -> None:
    frame = pl.DataFrame({"x": [1.0] * 80})
    games = np.repeat([0, 1], 40)
    against = Against(x=pl.col("x"), edges=(0, 5))
    plain = binned("all", against, frame, np.ones(80, bool), np.repeat([1.0, 0.0], 40), np.ones(80))
    by_games = binned(
        "all", against, frame, np.ones(80, bool), np.repeat([1.0, 0.0], 40), np.ones(80), games
    )
    assert (by_games.n, by_games.yes) == ((2.0,), (1.0,))
    (low,), (high,) = plain.intervals()
    (wide_low,), (wide_high,) = by_games.intervals()
    assert wide_high - wide_low > 3 * (high - low)


@pytest.mark.parametrize("family", sorted(LAW_PANELS))
def test_every_component_has_a_panel(family: str) -> None:
    asked = {question.component for question in LAW_PANELS[family]}
    assert asked == {component.name for component in LAWS[family]}


def test_every_law_of_yards_has_a_limit() -> None:
    yards = {c.name for family in LAWS.values() for c in family if c.is_yardage}
    assert yards == set(LIMITS)
