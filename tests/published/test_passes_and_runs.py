"""Passes, the rush and runs against league totals, the archive and participation data.

Labels: seen, quoted, memory, measured as in test_expected_points. The figures marked measured
were counted on the archive joined with participation data; where those are at hand they are
counted again, and the fit is averaged over the very same plays.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import polars as pl
import pytest
from pointsleft.pricing.judgement_table import judged
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.fitting.logit import expit
from pointsleft_models.laws.passing import Throw
from pointsleft_models.laws.setting import Setting
from pointsleft_models.recipes.passing import _known_look, _known_pressure
from pointsleft_models.recipes.rush import _timed_throws
from scipy.stats import norm

MIDFIELD = Setting(1, 10, 50, 1, 1400, 0)

#: Completion with and without pressure, interceptions; passes of 2018 and 2019 (measured).
PRESSED = {False: (0.706, 0.020), True: (0.503, 0.032)}

#: Ball-out time up to so many seconds -> pressure share, completion, 2016-2019 (measured).
BALL_OUT = {
    1.5: (0.03, 0.857), 2.0: (0.08, 0.749), 2.5: (0.20, 0.659), 3.0: (0.33, 0.614),
    3.5: (0.36, 0.597), 4.0: (0.41, 0.542), 5.0: (0.50, 0.477), 99.0: (0.65, 0.339),
}  # fmt: skip

#: Runs by defenders in the box, downs 1 and 2 between the twenties, 2016-2019, scrambles with
#: them: mean yards, share of no gain or less (measured).
BOX = {5: (5.96, 0.114), 6: (4.93, 0.157), 7: (4.53, 0.190), 8: (4.00, 0.219), 9: (3.68, 0.263)}

#: Completion of a thrown post by coverage, 2018-2019, and how many (measured).
POST = {
    "zero": (0.34, 58), "one-deep man": (0.50, 345), "three-deep": (0.54, 519),
    "two-deep": (0.58, 271), "quarters": (0.40, 259),
}  # fmt: skip


# -- league totals ------------------------------------------------------------------------------


@pytest.mark.archive
def test_league_totals(live: pl.DataFrame) -> None:
    """Completion 60.9% in 2009 to 63.5% in 2019, interceptions 3.1% to 2.3%, sacks 6 to 7% of
    drop-backs, 4.1 to 4.4 yards a carry with median 3 and SD about 6 (memory).

    The archive's passes leave out spikes, which the totals count: half a point more.
    """
    passes = live.filter(pl.col("kind") == "pass")
    shares = passes.group_by("season").agg(pl.col("complete").mean(), pl.col("intercepted").mean())
    by_season = {row[0]: row[1:] for row in shares.rows()}
    for season, complete, picked in ((2009, 0.609, 0.031), (2019, 0.635, 0.023)):
        assert by_season[season][0] == pytest.approx(complete, abs=0.01), season
        assert by_season[season][1] == pytest.approx(picked, abs=0.002), season
    dropped_back = live.filter(pl.col("kind").is_in(["pass", "sack", "scramble"]))
    assert 0.06 <= (dropped_back["kind"] == "sack").mean() <= 0.07
    runs = live.filter(pl.col("kind").is_in(["run", "scramble", "kneel"]))
    for season, yards in runs.group_by("season").agg(pl.col("gain").mean()).rows():
        assert 4.05 <= yards <= 4.45, season
    assert runs["gain"].median() == 3
    assert runs["gain"].std() == pytest.approx(6.0, abs=0.6)


# -- pressure -----------------------------------------------------------------------------------


def test_pressure_lowers_a_completion_at_every_depth(worth: Worth) -> None:
    for air in (0, 3, 6, 10, 15, 20, 30):
        clean, pressed = (
            worth.passing.law(Throw(air, "right", pressured=p), MIDFIELD).chance("complete")
            for p in (False, True)
        )
        assert pressed < clean, air


def odds_of(models: Models, rows: pl.DataFrame, *components: str) -> np.ndarray:
    """Log odds (n,) of components over the rows of a fit."""
    names = ("air", "third_code", "near", "in_end_zone", "down0", "pressure_code", "route_code",
             "shell_code", "year")  # fmt: skip
    values = {name: rows[name].to_numpy() for name in names}
    return np.asarray(sum(models.library.logit(c).eta(values)[0] for c in components))


@pytest.mark.archive
@pytest.mark.participation
def test_measured_completion_under_pressure(watched: pl.DataFrame, models: Models) -> None:
    """.706 without and .503 with pressure, interceptions 2.0% and 3.2%, within .01.

    Those are all passes. The law is one of passes meant for a receiver: a sixth of the gap
    are balls thrown away. It is held to the same share of those, over all four seasons.
    """
    passes = watched.filter((pl.col("kind") == "pass") & pl.col("pressured").is_not_null())
    for pressed, (complete, picked) in PRESSED.items():
        here = passes.filter((pl.col("pressured") == pressed) & (pl.col("season") >= 2018))
        assert here["complete"].mean() == pytest.approx(complete, abs=0.01), pressed
        assert here["intercepted"].mean() == pytest.approx(picked, abs=0.002), pressed
    rows = _known_pressure(watched)
    rows = rows.with_columns(
        fit=pl.Series(expit(odds_of(models, rows, "complete", "complete+pressure")))
    )
    for pressed in (False, True):
        here = rows.filter(pl.col("pressured") == pressed)
        assert here["fit"].to_numpy().mean() == pytest.approx(
            here["complete"].to_numpy().mean(), abs=0.01
        ), pressed


@pytest.mark.archive
@pytest.mark.participation
def test_measured_pressure_and_completion_by_ball_out_time(
    watched: pl.DataFrame, models: Models
) -> None:
    """Eight classes of ball-out time, no sacks; counts and fitted pressure within .02."""
    rows = _timed_throws(watched)
    fit = models.library.logit("pressure").probability(
        {"tenths": rows["tenths"].to_numpy(), "rush": rows["rush"].to_numpy()}
    )[0]
    rows = rows.with_columns(fit=pl.Series(fit))
    low = 0.0
    for high, (pressed, complete) in BALL_OUT.items():
        here = rows.filter(
            (pl.col("ball_out_seconds") > low) & (pl.col("ball_out_seconds") <= high)
        )
        assert here["pressured"].mean() == pytest.approx(pressed, abs=0.02), high
        assert here["complete"].mean() == pytest.approx(complete, abs=0.02), high
        assert here["fit"].to_numpy().mean() == pytest.approx(pressed, abs=0.02), high
        low = high


def test_pressure_rises_with_ball_out_time(models: Models) -> None:
    """As in the table above, without the data: the fit at the middle of each class.

    A class is wide and the curve bends inside it, so the middle is held to .04.
    """
    middles = {1.3: 0.03, 1.8: 0.08, 2.3: 0.20, 2.8: 0.33, 3.3: 0.36, 3.8: 0.41, 4.4: 0.50}
    chances = [
        float(models.library.logit("pressure").probability({"tenths": round(10 * s), "rush": 4})[0])
        for s in middles
    ]
    assert chances == sorted(chances)
    for chance, (seconds, published) in zip(chances, middles.items(), strict=True):
        assert chance == pytest.approx(published, abs=0.04), seconds


# -- coverage -----------------------------------------------------------------------------------


@pytest.mark.archive
@pytest.mark.participation
def test_measured_completion_of_a_post_by_coverage(watched: pl.DataFrame, models: Models) -> None:
    """.34 against zero (58), .50 one deep in man (345), .54 three deep (519), .58 two deep (271),
    .40 quarters (259): counts within .015, and the fit over the same throws within two errors.

    Against zero the posts that were *chosen* were completed least, near the goal and under rush.
    Film says the middle is open there: that is a judgement about an open receiver, and the log
    takes it as one (see the trade's checks); the average throw says this.
    """
    rows = _known_look(watched)
    rows = rows.with_columns(
        fit=pl.Series(expit(odds_of(models, rows, "complete", "complete+look")))
    ).filter(pl.col("route") == "post")
    for shell, (published, throws) in POST.items():
        here = rows.filter(pl.col("shell") == shell)
        seen, fit = here["complete"].to_numpy().mean(), here["fit"].to_numpy().mean()
        print(f"post against {shell}: {seen:.3f} of {len(here)}, fit {fit:.3f}")
        assert len(here) == pytest.approx(throws, rel=0.1), shell
        assert seen == pytest.approx(published, abs=0.015), shell
        assert abs(fit - seen) < 2 * np.sqrt(seen * (1 - seen) / len(here)), shell


# -- runs ---------------------------------------------------------------------------------------


def run_over(worth: Worth, spots: tuple[int, ...], box: int) -> tuple[float, float]:
    """Mean yards and share of no gain of a first-down run, over spots and gaps alike."""
    means, none = [], []
    for spot in spots:
        for gap in ("middle", "guard", "tackle", "end"):
            at = replace(MIDFIELD, yards_to_goal=spot, box=box)
            law, low = worth.rushing.run_law(at, gap)
            yards = np.arange(low, low + len(law))
            means.append(float(law @ yards))
            none.append(float(law[yards <= 0].sum()))
    return float(np.mean(means)), float(np.mean(none))


def test_every_defender_in_the_box_costs_yards(worth: Worth) -> None:
    """5.96, 4.93, 4.53, 4.00, 3.68 yards from five to nine in the box; no gain .114 to .263."""
    found = [run_over(worth, (30, 50, 70), box) for box in BOX]
    means, none = [f[0] for f in found], [f[1] for f in found]
    assert means == sorted(means, reverse=True)
    assert none == sorted(none)
    assert means[0] - means[-1] > 1.5


@pytest.mark.archive
@pytest.mark.participation
def test_measured_runs_by_box(watched: pl.DataFrame, worth: Worth) -> None:
    """Counts within .15 yd, as published (scrambles with them). The law is one of called runs:
    over those it is held to .15 yd, or two errors of the count where the box is rare."""
    rows = watched.filter(
        pl.col("down").is_in([1, 2])
        & pl.col("yards_to_goal").is_between(20, 80)
        & pl.col("box").is_in(list(BOX))
    )
    every = rows.filter(pl.col("kind").is_in(["run", "scramble"]))
    called = rows.filter(pl.col("kind") == "run").with_columns(
        gap=pl.col("gap").fill_null("guard"),
        to_go=pl.min_horizontal("distance", pl.lit(20)),
        spot=pl.max_horizontal(pl.min_horizontal("yards_to_goal", pl.lit(70)), pl.lit(20)),
    )
    for box, (yards, none) in BOX.items():
        here = every.filter(pl.col("box") == box)
        assert here["gain"].mean() == pytest.approx(yards, abs=0.15), box
        assert (here["gain"] <= 0).mean() == pytest.approx(none, abs=0.02), box
        own = called.filter(pl.col("box") == box)
        fit = fitted_runs(worth, own, box)
        seen = own["gain"].to_numpy()
        error = float(seen.std()) / len(seen) ** 0.5
        print(f"box {box}: {seen.mean():.2f} of {len(seen)}, fit {fit:.2f}")
        assert abs(fit - seen.mean()) < max(0.15, 2.5 * error), box


def fitted_runs(worth: Worth, runs: pl.DataFrame, box: int) -> float:
    """Mean yards by the law over runs."""
    total = 0.0
    for gap, to_go, spot, n in runs.group_by("gap", "to_go", "spot").len().rows():
        at = replace(MIDFIELD, distance=min(to_go, spot), yards_to_goal=spot, box=box)
        law, low = worth.rushing.run_law(at, gap)
        total += n * float(law @ np.arange(low, low + len(law)))
    return total / len(runs)


# -- the window words ---------------------------------------------------------------------------


def test_deshpande_evans_2020_scale_of_the_window_words() -> None:
    """J. Quantitative Analysis in Sports 16:85-94 (quoted): tracking data take the log loss of
    a catch from .332 to .289; that asks for a spread of one in log odds.

    The five words are the means of the fifths of a normal with that spread.
    """
    cuts = norm.ppf(np.linspace(0, 1, 6))
    means = 5 * (norm.pdf(cuts[:-1]) - norm.pdf(cuts[1:]))
    words = ("smothered", "narrow", "even", "step", "loose")
    for word, mean in zip(words, means, strict=True):
        assert judged(f"window.{word}").value == pytest.approx(mean, abs=0.006), word
