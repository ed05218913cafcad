"""Values go the way football goes, on a dense grid; the largest break is held to a bound.

More lead, more time-outs for us and fewer for them, closer to the goal and fewer yards to go are
never worth less. On first and second down points hold that exactly; third and fourth downs are
fitted as they are played, kicks and punts included, and held against harder situations at the
bends of the fit only, so that steps of up to some hundredths of a point are left between bends,
and where teams stop punting and start to kick.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from pointsleft_models.bundle import Worth
from pointsleft_models.values.at_least import LATE
from pointsleft_models.values.kickoffs import Kickoff
from pointsleft_models.values.states import States, states

Array = np.ndarray

#: Largest break of an order that is let pass: rounding of single precision; points on third and
#: fourth down (measured: .033, fourth and seven, from the 44 to the 45); wins.
ROUNDING, POINTS, WINS = 1e-4, 0.04, 0.005

DOWNS = np.arange(1, 5)
HALVES = np.array([1, 2])
SECONDS = np.array(
    [0, 1, 2, 3, 4, 5, 8, 12, 16, 20, 25, 30, 31, 40, 60, 90, 120, 121, 150, 200, 300, 450, 600,
     900, 1200, 1800]
)  # fmt: skip
SPOTS = np.array([1, 2, 3, 5, 8, 12, 17, 22, 30, 33, 38, 45, 55, 65, 75, 85, 92, 96, 99])
LEADS = np.array([-17, -14, -9, -8, -7, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5, 7, 8, 14])
TWO_BEHIND = LEADS == -2
COUNTS = np.arange(4)

#: Variable -> the way it must go, its grid, and the grid of the others.
WAYS: dict[str, tuple[int, Array, dict[str, Array]]] = {
    "yards_to_goal": (-1, np.arange(1, 100), {"distance": np.array([1, 2, 3, 5, 7, 10, 15])}),
    "distance": (-1, np.arange(1, 26), {"yards_to_goal": SPOTS}),
    "own_timeouts": (1, COUNTS, {"yards_to_goal": SPOTS[::3]}),
    "opponent_timeouts": (-1, COUNTS, {"yards_to_goal": SPOTS[::3]}),
    "lead": (1, np.arange(-30, 31), {"yards_to_goal": SPOTS[::3], "own_timeouts": COUNTS[::3]}),
}


def largest_break(
    value: Callable[[States], Array], variable: str, leads: Array | None, downs: Array = DOWNS
) -> tuple[float, dict[str, int]]:
    """The largest step the wrong way, and where it starts."""
    sign, own, others = WAYS[variable]
    axes: dict[str, Array] = {"down": downs, "half": HALVES, "half_seconds": SECONDS, **others}
    if leads is not None and variable != "lead":
        axes["lead"] = leads
    axes[variable] = own
    mesh = dict(zip(axes, np.meshgrid(*axes.values(), indexing="ij"), strict=True))
    shape = mesh["down"].shape
    found = value(states(**{n: m.ravel() for n, m in mesh.items()})).reshape(shape)
    if "distance" in mesh:  # beyond the goal line there is nothing to go
        found = np.where(mesh["distance"] <= mesh["yards_to_goal"], found, np.nan)
    steps = sign * np.diff(found, axis=-1)
    at = np.unravel_index(np.nanargmin(steps), steps.shape)
    return -float(steps[at]), {n: int(m[at]) for n, m in mesh.items()}


@pytest.mark.parametrize("variable", [v for v in WAYS if v != "lead"])
def test_points_go_the_way_football_goes(worth: Worth, variable: str) -> None:
    def early(at: States) -> Array:  # late in a half these two are held against fourth downs too
        return np.where(at.half_seconds > LATE, worth.points.points(at), 0.0)

    size, where = largest_break(early, variable, None, DOWNS[:2])
    assert size <= ROUNDING, where
    size, where = largest_break(worth.points.points, variable, None)
    assert size <= POINTS, where


@pytest.mark.parametrize("variable", list(WAYS))
def test_wins_go_the_way_football_goes(worth: Worth, variable: str) -> None:
    leads = LEADS[~TWO_BEHIND] if variable == "yards_to_goal" else LEADS  # see the next test
    size, where = largest_break(worth.wins.wins, variable, leads)
    assert size <= WINS, where


@pytest.mark.xfail(strict=True, reason="third and five, 60 s left: .0051 from the 6 to the 7")
def test_wins_go_up_towards_the_goal_two_behind(worth: Worth) -> None:
    size, where = largest_break(worth.wins.wins, "yards_to_goal", LEADS[TWO_BEHIND])
    print(f"{size:.4f} at {where}")
    assert size <= WINS, where


def test_two_behind_nothing_is_wider_than_what_is_known(worth: Worth) -> None:
    """The expected failure above says nothing of how much; this does."""
    size, where = largest_break(worth.wins.wins, "yards_to_goal", LEADS[TWO_BEHIND])
    assert size <= WINS + 0.0002, where


def test_near_half_time_the_harder_situation_is_chosen_by_wins(worth: Worth) -> None:
    """Ahead by five, fourth and one with five seconds left in the half: three points more would
    be as good as seven, and by points alone the kick would be passed over from the 4 inward."""
    at = states(down=4, distance=1, yards_to_goal=np.arange(1, 13), half=1, half_seconds=5, lead=5)
    assert np.diff(worth.wins.wins(at)).max() < 0.0005


def test_a_break_would_be_found() -> None:
    """Negative control: one bump of .03 in one cell of the grid."""

    def bumped(at: States) -> Array:
        spot = (at.yards_to_goal == 46) & (at.down == 3) & (at.half_seconds == 90)
        return -0.01 * at.yards_to_goal + 0.03 * spot

    size, where = largest_break(bumped, "yards_to_goal", None)
    assert size == pytest.approx(0.02)
    assert (where["yards_to_goal"], where["down"], where["half_seconds"]) == (45, 3, 90)


@pytest.mark.parametrize("receives", [1, -1])
@pytest.mark.parametrize("seconds", [1, 3])
def test_the_last_seconds_of_the_half_lead_to_half_time(
    worth: Worth, receives: int, seconds: int
) -> None:
    """Far from the goal nothing more happens: wins are those before the second-half kickoff.

    The rest is the chance of a score with a second or three left, seven points at most.
    """
    leads = np.arange(-17, 18)
    at = states(yards_to_goal=80, half=1, half_seconds=seconds, lead=leads, receives=receives)
    begin = [
        worth.valuation.kickoff_wins(Kickoff(int(x), 1800, 2, receives > 0, 3, 3, 0))[0]
        for x in leads
    ]
    assert worth.wins.wins(at) == pytest.approx(np.array(begin), abs=0.005)
