"""A situation is worth at least as much as a harder one."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft_models.bundle import Worth
from pointsleft_models.values.at_least import DISTANCES, LATE, LATER, AtLeast, held
from pointsleft_models.values.states import states
from value_states import random_states


def test_other_downs_are_left_alone_until_it_is_late() -> None:
    at = states(down=[1, 2, 2], distance=2, yards_to_goal=30, half_seconds=400)
    wide = AtLeast(at)
    assert wide.states is at
    assert wide.best(np.arange(3.0)) == pytest.approx([0, 1, 2])
    assert wide.chosen(np.arange(3.0)) is at


@pytest.mark.parametrize("down", [3, 4])
def test_the_best_of_a_down_and_its_longer_ones(down: int) -> None:
    at = states(down=[down, 1, down], distance=[4, 4, 40], yards_to_goal=50)
    wide = AtLeast(at)
    longer = [d for d in DISTANCES[down] if d > 4]
    assert wide.states.distance.tolist() == [4, 4, 40, *longer]
    values = -wide.states.distance.astype(float)
    assert wide.best(values) == pytest.approx([-4, -4, -40])  # shorter is better already
    assert wide.best(-values) == pytest.approx([longer[-1], 4, 40])
    assert wide.chosen(-values).distance.tolist() == [longer[-1], 4, 40]
    assert AtLeast(at, at.down == 1).states is at


def test_late_a_down_is_held_against_every_later_one() -> None:
    at = states(down=[2, 4, 3], distance=[4, 7, 12], yards_to_goal=[30, 60, 30], half_seconds=50)
    wide = AtLeast(at)
    harder = list(zip(wide.states.down.tolist(), wide.states.distance.tolist(), strict=True))[3:]
    later = [(down, d) for down, ds in LATER.items() for d in (4, *ds) if down > 2 and d >= 4]
    own = [(3, 14), (3, 20), (4, 10), (4, 12)]  # third down longer; fourth longer; third later
    assert sorted(harder) == sorted([*later, *own])
    values = np.zeros(len(wide.states))
    values[3 + harder.index((4, 7))] = 5  # fourth and seven is the second-and-four's to have
    assert wide.best(values) == pytest.approx([5, 0, 0])
    assert wide.chosen(values).down.tolist() == [4, 4, 3]


def test_nothing_is_ever_worth_less_for_it(worth: Worth) -> None:
    at = random_states(500)
    fitted, _ = worth.points.fitted(at)
    points = worth.points.points(at)
    assert (points >= fitted - 1e-6).all()
    early = (at.down < 3) & (at.half_seconds > LATE)
    assert points[early] == pytest.approx(fitted[early], abs=1e-6)
    short = states(down=4, distance=1, yards_to_goal=3, half=2, half_seconds=40)
    assert worth.points.points(short) > worth.points.fitted(short)[0] + 0.01


def test_late_in_the_game_wins_choose_for_themselves(worth: Worth) -> None:
    short, long = (
        states(down=4, distance=d, yards_to_goal=np.arange(4, 60, 5), half=2, half_seconds=40)
        for d in (1, 3)
    )
    assert (worth.wins.wins(short) >= worth.wins.wins(long) - 1e-6).all()
    chosen = worth.wins._chosen(short)
    assert (chosen.distance > short.distance).any()
    every = worth.wins._regression_all(short)[1]  # refits follow the choice of the point fit
    assert every == pytest.approx(worth.wins._regression_all(chosen)[1], abs=1e-6)


def test_refits_follow_the_choice_of_the_point_fit(worth: Worth) -> None:
    at = random_states(200, 3)
    eased = worth.points.eased(at)
    assert (eased.distance >= at.distance).all()
    assert worth.points.points_all(at) == pytest.approx(worth.points.fitted_all(eased)[0], abs=1e-5)


def test_only_those_asked_for_are_eased(worth: Worth) -> None:
    at = random_states(300, 5)
    among = np.arange(300) % 2 == 0
    every, some = worth.points.eased(at), worth.points.eased(at, among)
    assert some.distance.tolist() == np.where(among, every.distance, at.distance).tolist()
    assert set(held(at, among)) == set(held(at)) & set(np.flatnonzero(among))
    assert (every.distance != at.distance).any()
