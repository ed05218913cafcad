"""docs/published.md: published figures beside ours, and why where they part."""

from __future__ import annotations

import numpy as np
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.rules import rule_set
from pointsleft_models.laws.kicking import KickingLaw
from pointsleft_models.values.kickoffs import Kickoff
from pointsleft_models.values.states import states

from pointsleft.reference.markdown import table

#: Carter and Machol 1971: expected points of first and ten by yards to goal, games of 1969.
CARTER_MACHOL = {
    95: -1.245, 85: -0.637, 75: 0.236, 65: 0.923, 55: 1.538,
    45: 2.392, 35: 3.167, 25: 3.681, 15: 4.572, 5: 6.041,
}  # fmt: skip

_HEAD = """# Published figures beside ours

<!-- Made by `python -m pointsleft.reference`. -->

Some of the figures that the tests in `tests/published` hold the fits to, with where each comes
from: *seen* was read in the source, *quoted* in a text that quotes it, *memory* was not looked
up. Old papers saw another game; where a figure of ours lies elsewhere, the reason stands below
the table. What could be counted on plays of 2009 to 2019 is counted again by the tests.

"""

_WHY = """
## Where they part

- **Own 1, and the whole of a team's own territory.** Passing and kicking have improved since 1969
  and since 2002: a first and ten near the own goal line is worth more than it was, and the point
  at which it is worth nothing has moved back.
- **Fourth and goal at the 1, 38 seconds left in a half.** All figures here count scores without
  the kickoffs after them, as the published one does. Its 2.78 comes from a multinomial logit. A
  kick from there is made {make:.0%} of the time and so comes to {kick:.2f}; a team that goes for it
  expects no less, or it would choose the worse of two things it can have. Ours are {first:.2f} in a
  first half and {second:.2f}, about the kick's, in a second, where the score already decides what a
  team plays for. The archive has 23 such snaps, 13 to 63 seconds before a half: the mean of their
  next scores is 3.2 points with an error of .6, which lies nearer to ours and does not decide.
- **Critical distance on fourth down.** The shape is the published one, a peak short of field-goal
  range; the peak lies farther out, since kickers make from the 33 what those of 1998 to 2000 did
  not try.
- **Touchdown from the 2 or three points.** The textbook's 3/7 holds if the next situation is the
  same either way. It is not: a failure leaves the other side at its own goal line, a field goal
  kicks the ball off to it. The true break-even is lower.
- **Favourites of seven points.** By the normal curve they win seven in ten; those of 2009 to 2019
  won three in four. The curve is held to all favourites together.
"""


def published_page(models: Models) -> str:
    """The whole page, from the shipped fits."""
    now, then = (models.under(rule_set("professional", s)) for s in (2019, 2009))
    rows = [*_points(now, then), *_wins(now), *_kicks(models, now)]
    head = ("figure", "published", "ours", "source", "label")
    return _HEAD + table(head, rows) + _WHY.format(**_goal_line(now))


def _first_and_ten(worth: Worth, spots: object) -> np.ndarray:
    return worth.points.points(states(yards_to_goal=spots))


def _points(now: Worth, then: Worth) -> list[tuple[str, ...]]:
    spots = np.arange(1, 100)
    curve = _first_and_ten(now, spots)
    old = np.array(list(CARTER_MACHOL.values()))
    same = np.corrcoef(_first_and_ten(now, list(CARTER_MACHOL)), old)[0, 1]
    zero = 100 - int(spots[np.argmin(np.abs(curve))])
    late = now.points.points(states(yards_to_goal=80, half_seconds=3))[0]
    goal = _goal_line(now)
    return [
        ("points by field position, correlation over ten spots", "1", f"{same:.3f}",
         "Carter & Machol 1971", "memory"),
        ("points at midfield", "2.0", f"{curve[49]:.2f}", "Carroll, Palmer & Thorn 1988", "memory"),
        ("points at the own 1", "-1.6", f"{curve[98]:.2f}", "Romer 2002", "quoted"),
        ("worth nothing at the own", "15", str(zero), "Romer 2002", "quoted"),
        ("points a yard between the twenties", "0.056", f"{(curve[19] - curve[79]) / 60:.3f}",
         "Romer 2002", "quoted"),
        ("first and goal at the 1, rules of 2009", "5.55", f"{_first_and_ten(then, 1)[0]:.2f}",
         "Romer 2006", "memory"),
        ("receiving a kickoff, rules of 2009", "0.62",
         f"{float(then.points.receiving(np.array([1500]))[0]):.2f}", "Romer 2006", "quoted"),
        ("fourth and goal at the 1, 38 seconds left in a half, without kickoffs", "2.78",
         f"{goal['first']:.2f} and {goal['second']:.2f}", "Yurko, Ventura & Horowitz 2019", "seen"),
        ("first and ten at the own 20, 3 seconds left", "0", f"{late:.2f}",
         "Brill, Yurko & Wyner 2024", "seen"),
    ]  # fmt: skip


def _goal_line(now: Worth) -> dict[str, float]:
    at = states(down=4, distance=1, yards_to_goal=1, half_seconds=38, half=[1, 2])
    first, second = (float(v) for v in now.points.gross_points(at))
    make = float(now.kicking.make_chance(19)[0])
    return {"first": first, "second": second, "make": make, "kick": 3 * make}


def _wins(now: Worth) -> list[tuple[str, ...]]:
    opening = now.valuation.kickoff_wins(Kickoff(0, 1800, 1, True, 3, 3, -1))[0]
    return [("receiving the opening kickoff, equal teams", "50%", f"{100 * opening:.1f}%",
             "symmetry", "")]  # fmt: skip


def _kicks(models: Models, now: Worth) -> list[tuple[str, ...]]:
    law = KickingLaw(models.library.of(2011))
    study = "Clark, Johnson & Stimpson 2013"
    kicks = [
        (f"field goal of {yards} yards, kickers of 2011", said,
         f"{100 * float(law.make_chance(yards)[0]):.0f}%", study, "seen")
        for yards, said in ((30, "93%"), (45, "76%"))
    ]  # fmt: skip
    two = f"{100 * now.two_point:.0f}%"
    return [*kicks, ("two-point try", "48%", two, "counts of 2006 to 2023", "seen")]
