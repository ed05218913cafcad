"""Expected points against figures from papers and from the archive itself.

Labels: seen (read in the source or its abstract), quoted (read in a text that quotes it),
memory (recalled, not looked up), measured (counted on the archive).
"""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from pointsleft.calls import turn
from pointsleft.calls.turn import frontier
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.rules import rule_set
from pointsleft_models.recipes.next_score import labels, next_score_rows, row_states
from pointsleft_models.values.next_score import CLASSES
from pointsleft_models.values.states import states

#: Carter & Machol 1971, Operations Research 19:541-544: first and ten, 1969 games (memory).
CARTER_MACHOL = {
    95: -1.245, 85: -0.637, 75: 0.236, 65: 0.923, 55: 1.538,
    45: 2.392, 35: 3.167, 25: 3.681, 15: 4.572, 5: 6.041,
}  # fmt: skip

#: Mean next score of first and tens with more than two minutes left in the half, by yards to
#: goal from .. to, 2009-2019 (measured; points gross: touchdown 7, field goal 3, safety 2).
NEXT_SCORE_MEANS = {
    (96, 99): -0.61, (91, 95): -0.11, (81, 90): 0.36, (71, 80): 0.78, (61, 70): 1.51,
    (51, 60): 2.13, (41, 50): 2.68, (31, 40): 3.49, (21, 30): 4.16, (11, 20): 4.75, (1, 10): 5.11,
}  # fmt: skip

POINTS = {
    "none": 0, "touchdown": 7, "field goal": 3, "safety": 2,
    "safety against": -2, "field goal against": -3, "touchdown against": -7,
}  # fmt: skip


def first_and_ten(worth: Worth, yards_to_goal: object) -> np.ndarray:
    return worth.points.points(states(yards_to_goal=yards_to_goal))


def test_carter_machol_1971_same_shape(worth: Worth) -> None:
    """Correlation over their ten points at least .99 (memory).

    The modern curve lies above theirs in a team's own territory. Theirs counts a touchdown as
    7 whatever follows; ours is net of the kickoff, so the gross curve is held to it as well.
    """
    spots = np.array(list(CARTER_MACHOL))
    theirs = np.array(list(CARTER_MACHOL.values()))
    net = first_and_ten(worth, spots)
    gross = worth.points.gross_points(states(yards_to_goal=spots))
    assert np.corrcoef(net, theirs)[0, 1] >= 0.99
    assert np.corrcoef(gross, theirs)[0, 1] >= 0.99
    own = spots > 50
    assert (net[own] > theirs[own]).all()


def test_carroll_palmer_thorn_1988_midfield(worth: Worth) -> None:
    """Their straight line: -2 at the own goal, +2 at midfield, +6 at the other (memory)."""
    assert float(first_and_ten(worth, 50)[0]) == pytest.approx(2.0, abs=0.4)


def test_romer_2002_zero_crossing_and_slope(worth: Worth) -> None:
    """NBER working paper 9024 (quoted): own 1 -1.6, zero at the own 15, a point in 18 yards.

    In the modern game the zero lies between the own 3 and the own 20 and the slope between the
    twenties is .055 to .08 a yard. The own 1 itself is -0.6 on the archive (own 1 to 5,
    measured) and near -0.9 in our fit: passing and kicking have improved since.
    """
    spots = np.arange(1, 100)
    curve = first_and_ten(worth, spots)
    crossing = 100 - int(spots[np.argmin(np.abs(curve))])
    assert 3 <= crossing <= 20
    assert 0.055 <= (curve[19] - curve[79]) / 60 <= 0.08
    assert -1.6 < curve[98] < 0


def test_romer_2006_goal_line_and_kickoff(models: Models) -> None:
    """J. Political Economy 114:340-365: first and goal at the 1 about 5.55 (memory), receiving
    a kickoff +0.62 (quoted). Own fit within .6 and .5, under the rules of his seasons' kickoff
    (from the 30, touchback at the 20)."""
    worth = models.under(rule_set("professional", 2009))
    assert float(worth.points.points(states(yards_to_goal=1))[0]) == pytest.approx(5.55, abs=0.6)
    assert float(worth.points.receiving(np.array([1500]))[0]) == pytest.approx(0.62, abs=0.5)


def test_points_are_net_of_the_kickoff(worth: Worth) -> None:
    """A touchdown is worth its points and the try, less what the receiver gets."""
    seconds = np.array([1200])
    k = float(worth.points.receiving(seconds)[0])
    gross = worth.points.gross_points(states(yards_to_goal=1, half_seconds=1200))[0]
    net = worth.points.points(states(yards_to_goal=1, half_seconds=1200))[0]
    assert 0.5 * k < gross - net < k


#: Romer 2006: yards to go up to which going is right, by yards to the goal line (memory).
ROMER = {90: 3.0, 50: 5.0, 45: 6.5, 33: 9.8, 21: 4.0}


#: Where his distance lies outside of our interval, by less than it is known to.
ON_THE_EDGE = pytest.mark.xfail(strict=True, reason="opp 45: his 6.5, our interval from 6.51 on")


@pytest.mark.parametrize(
    "spot", [pytest.param(s, marks=ON_THE_EDGE if s == 45 else ()) for s in ROMER]
)
def test_romer_2006_critical_fourth_down_distance(models: Models, spot: int) -> None:
    """Own 10: 3, midfield 5, opp 45 6.5, opp 33 9.8, opp 21 4 (memory).

    Under the kickoffs, kickers and punts of 2009 his distances lie in our 90% intervals at four
    spots, and at the opp 45 just outside, 6.5 and from 6.51 on; docs/calls.md shows both. Ours are
    longer but at the 33, where kickers of 2009 make what those of 1998-2000 did not try. The tie
    is poorly known: at the own 10 going and punting differ by less than .2 points between his
    three yards and our five.
    """
    worth = models.under(rule_set("professional", 2009))
    ours = frontier(worth, (spot,))[:, 0]
    low, high = np.quantile(ours[1:], [0.05, 0.95])
    print(f"{spot}: his {ROMER[spot]}, ours {ours[0]:.1f} ({low:.2f} to {high:.1f})")
    assert low < ROMER[spot] < high


def test_the_frontier_rises_to_a_peak_between_punt_and_kick(models: Models) -> None:
    worth = models.under(rule_set("professional", 2009))
    spots = (70, 60, 50, 45, 40, 35, 30, 21)
    ours = dict(zip(spots, frontier(worth, spots)[0], strict=True))
    assert 30 <= max(ours, key=lambda spot: ours[spot]) <= 40
    rising = [ours[s] for s in (70, 60, 50, 45, 40)]
    assert rising == sorted(rising)
    assert max(ours.values()) > ours[30] > ours[21]


def test_going_that_is_worth_half_a_point_more_would_be_seen(
    models: Models, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Negative control: then Romer's distances lie outside at the own 10 and at midfield."""
    honest = turn.critical
    monkeypatch.setattr(turn, "critical", lambda gaps: honest(gaps + 0.5))
    low = np.quantile(frontier(models.under(rule_set("professional", 2009)), (90, 50))[1:], 0.05, 0)
    assert (low > [ROMER[90], ROMER[50]]).all()


def test_brill_2024_points_go_to_zero_as_the_half_runs_out(worth: Worth) -> None:
    """Brill, Yurko & Wyner, figure 2 (seen): first and ten at the own 20, three seconds left,
    is worth nothing; a plain multinomial logit misses it. Within .1 of 0."""
    for half in (1, 2):
        late = worth.points.points(states(yards_to_goal=80, half_seconds=[3, 2, 1], half=half))
        assert np.abs(late).max() < 0.1
        assert np.abs(late[0]) <= np.abs(first_and_ten(worth, 80))


#: Yurko, Ventura & Horowitz 2019, 2.3 (seen): fourth and goal at the 1, 38 seconds left, from a
#: multinomial logit and without the kickoffs that follow; within so much of it.
GOAL_LINE, GOAL_LINE_NEAR = 2.78, 0.5


def goal_line(worth: Worth) -> np.ndarray:
    """Ours in a first and in a second half, without the kickoffs too."""
    at = states(down=4, distance=1, yards_to_goal=1, half_seconds=38, half=[1, 2])
    return np.asarray(worth.points.gross_points(at))


def test_yurko_2019_fourth_and_goal_at_the_one_in_a_second_half(worth: Worth) -> None:
    assert goal_line(worth)[1] == pytest.approx(GOAL_LINE, abs=GOAL_LINE_NEAR)


@pytest.mark.xfail(strict=True, reason="the kick alone comes to 2.9: see the next test")
def test_yurko_2019_fourth_and_goal_at_the_one_in_a_first_half(worth: Worth) -> None:
    assert goal_line(worth)[0] == pytest.approx(GOAL_LINE, abs=GOAL_LINE_NEAR)


def test_fourth_and_goal_at_the_one_is_worth_no_less_than_the_kick(worth: Worth) -> None:
    """A kick from here is made .98 of the time, and whoever goes for it expects more; and points
    at hand are not worth a touchdown. On the archive such plays came to what the next check
    prints: few, and between."""
    first, second = goal_line(worth)
    kick = float(worth.kicking.make_chance(19)[0])
    print(f"published {GOAL_LINE}, ours {first:.2f} and {second:.2f}, the kick {3 * kick:.2f}")
    assert kick > 0.97
    assert first > 3 * kick
    assert max(first, second) < 4.5


@pytest.mark.archive
def test_measured_fourth_and_goal_at_the_one_late_in_a_half(
    archive: pl.DataFrame, worth: Worth
) -> None:
    """The plays behind the figure above (13 to 63 s left): too few to fit, so they are shown.

    Counted: 3.22 points over 23 plays with an error of .64, which decides nothing between the
    published 2.78 and ours. Ours must lie within twice that error.
    """
    rows = next_score_rows(archive).filter(
        (pl.col("down") == 4)
        & (pl.col("yards_to_goal") == 1)
        & pl.col("half_seconds").is_between(13, 63)
    )
    rows = rows.with_columns(
        value=pl.col("next_score").replace_strict(POINTS, return_dtype=pl.Float64),
        fit=pl.Series(gross_by_score(worth, rows)),
    )
    for (half,), here in rows.group_by("half", maintain_order=True):
        print(f"half {half}: {len(here)} plays, {here['value'].mean()}, ours {here['fit'].mean()}")
    error = float(rows["value"].to_numpy().std()) / len(rows) ** 0.5
    assert len(rows) == 23
    assert rows["value"].to_numpy().mean() == pytest.approx(3.22, abs=0.02)
    assert error == pytest.approx(0.64, abs=0.03)
    assert abs(rows["value"].to_numpy().mean() - rows["fit"].to_numpy().mean()) < 2 * error


def gross_by_score(worth: Worth, rows: pl.DataFrame) -> np.ndarray:
    """Mean gross next score by the fit, at the score that each row had."""
    chances = worth.models.next_score.probabilities(row_states(rows))
    return np.asarray(chances @ np.array([POINTS[c] for c in CLASSES]))


@pytest.mark.archive
def test_measured_next_score_by_field_position(archive: pl.DataFrame, worth: Worth) -> None:
    """Mean next score of first and ten over two minutes from the half.

    The archive's own figures hold within .02, and the fit within 2.5 errors of each.
    """
    rows = next_score_rows(archive).filter(
        (pl.col("down") == 1) & (pl.col("distance") == 10) & (pl.col("half_seconds") > 120)
    )
    rows = rows.with_columns(
        value=pl.col("next_score").replace_strict(POINTS, return_dtype=pl.Float64),
        fit=pl.Series(gross_by_score(worth, rows)),
    )
    for (low, high), published in NEXT_SCORE_MEANS.items():
        here = rows.filter(pl.col("yards_to_goal").is_between(low, high))
        values = here["value"].to_numpy()
        assert values.mean() == pytest.approx(published, abs=0.02), (low, high)
        error = values.std() / len(values) ** 0.5
        assert abs(here["fit"].to_numpy().mean() - values.mean()) < 2.5 * error, (low, high)


@pytest.mark.archive
def test_yurko_2019_calibration(archive: pl.DataFrame, worth: Worth) -> None:
    """Calibration error .013 with 5% bins, seven classes and their weights (section 2.1.2,
    seen; ordinal logit .022); above .016 is a defect.

    Theirs leaves one season out. Here the shipped fit is held to the plays it was fitted on,
    which it must pass first; the figure out of sample is printed by the benchmark.
    """
    rows = next_score_rows(archive)
    chances = worth.models.next_score.probabilities(row_states(rows))
    truth = labels(rows)
    error = []
    total = []
    for at in range(len(CLASSES)):
        bins = np.clip(np.round(chances[:, at] / 0.05), 0, 20).astype(int)
        n = np.bincount(bins, minlength=21)
        seen = np.bincount(bins, truth == at, minlength=21)
        said = np.bincount(bins, chances[:, at], minlength=21)
        full = n > 0
        gap = np.abs(seen[full] - said[full]) / n[full]
        error.append((gap * n[full]).sum() / n.sum())
        total.append((truth == at).sum())
    weighted = np.average(error, weights=total)
    print("calibration", dict(zip(CLASSES, np.round(error, 4), strict=True)), weighted)
    assert weighted <= 0.013
