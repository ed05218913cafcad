"""The study: known answers for its pieces, and a small one whole."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from pointsleft.trial.charting import NOISES
from pointsleft.trial.drives import Field, World
from pointsleft.trial.lattice import DISTANCES, SPOTS, place, points
from pointsleft.trial.ranking import better_first
from pointsleft.trial.rating import passer_rating
from pointsleft.trial.study import (
    ACCURACY_SPREAD,
    ERROR,
    Kept,
    Plan,
    count_truth,
    kappa_of,
    one_class,
    study,
    world_of,
)
from pointsleft_models.bundle import Models
from pointsleft_models.football.rules import rule_set

SMALL = Plan(classes=3, players=16, truth_games=250, looks=((1, 3), (2, 1), (3, 1), (4, 1)), seed=5)
BENCH = Path(__file__).parents[3] / "docs" / "bench.json"


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("trial")


@pytest.fixture(scope="module")
def world(models: Models, kept: Path) -> World:
    return world_of(models, SMALL, kept, None)


def test_passer_rating_by_hand() -> None:
    """20 of 30 for 250 yards, 2 touchdowns, 1 interception: four parts, worked out here."""
    completions, yards = (20 / 30 - 0.3) * 5, (250 / 30 - 3) * 0.25
    touchdowns, picks = 2 / 30 * 20, 2.375 - 1 / 30 * 25
    by_hand = (completions + yards + touchdowns + picks) / 6 * 100
    assert by_hand == pytest.approx(100.69, abs=0.005)
    assert passer_rating(30, 20, 250, 2, 1) == pytest.approx(by_hand)
    assert passer_rating(10, 10, 200, 5, 0) == pytest.approx(158.333, abs=0.001), "the ceiling"
    assert passer_rating(10, 2, 10, 0, 4) == pytest.approx(0), "the floor"
    assert np.isnan(passer_rating(np.zeros(1), 0, 0, 0, 0)).all()


def test_every_situation_of_the_lattice_can_occur() -> None:
    rules = rule_set("professional", 2019)
    for point in points():
        assert point.situation(rules).yards_to_goal == point.spot
    assert len(set(points())) == len(points())


def test_placing_keeps_the_mean() -> None:
    rng = np.random.default_rng(1)
    spot, distance = np.full(20_000, 63), np.full(20_000, 9)
    at = place(np.full(20_000, 2), distance, spot, rng)
    found = [points()[i] for i in at]
    assert np.mean([f.spot for f in found]) == pytest.approx(63, abs=0.05)
    assert np.mean([f.distance for f in found]) == pytest.approx(9, abs=0.05)
    assert {f.down for f in found} == {2}


def test_placing_finds_a_situation_anywhere() -> None:
    rng = np.random.default_rng(2)
    spot = rng.integers(1, 100, 30_000)
    distance = np.minimum(rng.integers(1, 40, 30_000), spot)
    at = place(rng.integers(1, 5, 30_000), distance, spot, rng)
    assert (at >= 0).all()
    assert SPOTS.max() == 99
    assert DISTANCES.min() == 1


def test_better_first() -> None:
    rng = np.random.default_rng(3)
    truth = rng.standard_normal(60)
    assert better_first(truth, truth) == 1
    assert better_first(-truth, truth) == 0
    assert better_first(np.zeros(60), truth) == 0.5
    lots = [better_first(rng.standard_normal(60), truth) for _ in range(200)]
    assert np.mean(lots) == pytest.approx(0.5, abs=0.02)


def test_skill_scores(world: World) -> None:
    """Better deciders and better throwers outscore worse ones; the same skill is even."""

    def net(error: float, accuracy: float, seed: int) -> float:
        field = Field(np.array([error]), np.array([accuracy]), np.zeros(1))
        points, _ = world.play(field, 1500, np.random.default_rng(seed), record=False)
        return float(points.mean())

    error = 14.5 / np.sqrt(1500) * np.sqrt(2)
    assert net(0.1, 0.0, 1) - net(1.2, 0.0, 2) > 4 * error
    assert net(0.5, 0.2, 1) - net(0.5, -0.2, 2) > 4 * error
    assert abs(net(0.5, 0.0, 1) - net(0.5, 0.0, 2)) < 4 * error


def test_the_truth_is_smooth_and_falls_with_error(world: World, models: Models) -> None:
    truth = count_truth(world, SMALL, Kept(None, models, SMALL))
    assert truth.misfit < 2.0
    e = ERROR * np.exp(np.linspace(-0.6, 0.6, 7))
    assert (np.diff(truth.points(e, np.zeros(7))) < 0).all()
    a = ACCURACY_SPREAD * np.linspace(-2, 2, 7)
    assert (np.diff(truth.points(np.full(7, ERROR), a)) > 0).all()


def test_kappa_falls_with_noise(world: World) -> None:
    found = [kappa_of(n, world, SMALL)["kappa"] for n in NOISES if not n.own_charter][:7]
    assert found[0] == pytest.approx(1)
    assert all(x is not None for x in found)
    assert found == sorted(found, key=lambda x: -(x or 0))
    assert abs(found[-1] or 0) < 0.1


def test_a_small_study_whole_and_again(models: Models, kept: Path, world: World) -> None:
    first = study(models, SMALL, kept=kept)
    json.dumps(first, allow_nan=False)
    exact = first["charted"]["exact words"]["left"]["better decider"]["share"]
    lots = first["charted"]["all words by lot"]["left"]["better decider"]["share"]
    assert exact[-1] > 0.65, "a charter who sees well finds the better decider over 12 games"
    assert exact[-1] > lots[-1] + 0.05, "negative control: words by lot lose it"
    assert exact[-1] > first["plain"]["passer rating"]["better decider"]["share"][-1]
    store = next(kept.glob("classes-*.json"))
    done = json.loads(store.read_text(encoding="utf-8"))
    store.write_text(json.dumps(done[:1]), encoding="utf-8")  # as if it had been interrupted
    assert study(models, SMALL, kept=kept) == first


def test_a_class_depends_on_its_number_alone(world: World, models: Models) -> None:
    truth = count_truth(world, Plan(truth_games=50, seed=5), Kept(None, models, SMALL))
    assert one_class(world, truth, SMALL, 2) == one_class(world, truth, SMALL, 2)
    assert one_class(world, truth, SMALL, 2) != one_class(world, truth, SMALL, 1)


def test_the_measured_class_is_as_spread_as_published() -> None:
    """Yurko, Ventura & Horowitz 2019: value measures correlate .30 to .60 year to year (seen)."""
    measured = json.loads(BENCH.read_text(encoding="utf-8")).get("players")
    if measured is None:
        pytest.skip("the section players has not been measured: python -m pointsleft.bench players")
    drawn = measured["data"]["class"]
    assert 0.30 <= drawn["correlation"] <= 0.60
    assert 0.60 <= drawn["completed"] <= 0.68, "league 2009 to 2019: 61 to 63.5%"
