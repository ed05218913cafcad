"""Field goals, tries, punts and kickoffs."""

from __future__ import annotations

import polars as pl

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.laws.kicking import TOUCHBACK_SPOT
from pointsleft_models.laws.years import LAST_YEAR, YEAR
from pointsleft_models.playthrough.restart import EXPECTED_FROM
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.scrimmage import YEARS, live
from pointsleft_models.recipes.under_rules import with_kick_rules

#: Where kickoffs are taken is told to the yard: a kick out of bounds brings the ball to the 40.
RETURNED_TO = (*range(1, 46), 48, 52, 56, 60, 65, 70, 75, 80, 90, 99)
ERA_STARTS = Bends(YARDS, (1, 8, 12, 16, 19, 22, 25, 28, 32, 37, 44, 55, 75))
SOME_STARTS = Bends(YARDS, (1, 6, 11, 16, 22, 30, 40, 55, 75))
START = (1, 4, 8, 12, 16, 19, 22, 25, 28, 32, 37, 44, 55, 75, 99)


def _field_goals(plays: pl.DataFrame) -> pl.DataFrame:
    return live(plays).filter(
        (pl.col("kind") == "field goal") & pl.col("kick_distance").is_between(18, 68)
    ).with_columns(
        made=pl.col("kick_result") == "good",
        blocked=pl.col("kick_result") == "blocked",
        kick_yards=pl.col("kick_distance").cast(pl.Int32),
    )  # fmt: skip


def _missed_field_goals(plays: pl.DataFrame) -> pl.DataFrame:
    return _field_goals(plays).filter(~pl.col("made"))


def _extra_points(plays: pl.DataFrame) -> pl.DataFrame:
    rows = plays.filter((pl.col("kind") == "extra point") & ~pl.col("no_play"))
    return with_kick_rules(rows).with_columns(made=pl.col("kick_result") == "good")


def _two_points(plays: pl.DataFrame) -> pl.DataFrame:
    """A table that does not say of every try whether it was a pass tells none apart."""
    rows = plays.filter((pl.col("kind") == "two-point") & ~pl.col("no_play"))
    told = pl.col("targeted").is_not_null().all()
    return rows.with_columns(
        made=pl.col("kick_result") == "good",
        passed=pl.when(told).then(pl.col("targeted")).otherwise(True).cast(pl.Int32),
    )


def _punts(plays: pl.DataFrame) -> pl.DataFrame:
    return (
        live(plays)
        .filter((pl.col("kind") == "punt") & (pl.col("yards_to_goal") > 25))
        .with_columns(
            touchback=pl.col("kick_result") == "touchback",
            blocked=pl.col("kick_result") == "blocked",
            returned_score=pl.col("points_defense") == 6,
            # after a return that scores the next snap is the punting side's, by the kickoff
            kept=(pl.col("next_offense") == pl.col("offense")) & (pl.col("points_defense") == 0),
            start=100 - pl.col("next_yards_to_goal"),
        )
    )


def _punts_away(plays: pl.DataFrame) -> pl.DataFrame:
    return _punts(plays).filter(
        ~pl.col("blocked") & pl.col("next_offense").is_not_null() & (pl.col("points_offense") == 0)
    )


def punt_starts(plays: pl.DataFrame) -> pl.DataFrame:
    """Punts that the other side got, with ``start``: its own yard line, 100 for a touchdown."""
    rows = _punts_away(plays).filter(~pl.col("kept") & (pl.col("points_defense") != 2))
    return rows.with_columns(
        start=pl.when(pl.col("returned_score"))
        .then(100)
        .when(pl.col("touchback"))
        .then(TOUCHBACK_SPOT)
        .otherwise(pl.col("start"))
    )


def _punts_in_play(plays: pl.DataFrame) -> pl.DataFrame:
    return punt_starts(plays).filter(~pl.col("touchback"))


def _kickoffs(plays: pl.DataFrame) -> pl.DataFrame:
    rows = plays.filter(
        (pl.col("kind") == "kickoff") & (pl.col("kick_result") != "onside") & ~pl.col("no_play")
    )
    return with_kick_rules(rows).with_columns(
        touchback=pl.col("kick_result") == "touchback",
        returned_score=pl.col("points_defense") == 6,
        kept=(pl.col("next_offense") == pl.col("offense")) & (pl.col("points_defense") == 0),
        start=100 - pl.col("next_yards_to_goal"),
    ).filter(pl.col("era").is_not_null() & pl.col("next_offense").is_not_null())  # fmt: skip


def _kickoffs_returned(plays: pl.DataFrame) -> pl.DataFrame:
    rows = _kickoffs(plays).filter(~pl.col("touchback") & ~pl.col("kept"))
    return rows.with_columns(
        start=pl.when(pl.col("returned_score")).then(100).otherwise(pl.col("start"))
    )


def _onside(plays: pl.DataFrame) -> pl.DataFrame:
    """Onside kicks, told apart by whether the score and the clock asked for them."""
    late = (pl.col("half") == 2) & (pl.col("half_seconds") <= EXPECTED_FROM) & (pl.col("lead") < 0)
    return plays.filter(
        (pl.col("kind") == "kickoff")
        & (pl.col("kick_result") == "onside")
        & ~pl.col("no_play")
        & pl.col("next_offense").is_not_null()
    ).with_columns(kept=pl.col("next_offense") == pl.col("offense"), expected=late.cast(pl.Int32))


KICKING = (
    Component(
        "field goal",
        _field_goals,
        ("kick_yards", "year"),
        Basis(
            (
                Term(
                    (Bends("kick_yards", (18, 25, 32, 38, 43, 48, 53, 58, 64)),),
                    3.0,
                    falls=("kick_yards",),
                ),
                Term((Bends(YEAR, (0, LAST_YEAR)),), 3.0),
            )
        ),
        yes="made",
    ),
    Component(
        "field goal blocked",
        _missed_field_goals,
        ("kick_yards",),
        Basis((Term((Bends("kick_yards", (18, 40, 64)),), 3.0),)),
        yes="blocked",
    ),
    Component(
        "extra point",
        _extra_points,
        ("long",),
        Basis((Term((Bends("long", (0, 1)),), 1.0),)),
        yes="made",
    ),
    Component(
        "two-point",
        _two_points,
        ("passed",),
        Basis((Term((Bends("passed", (0, 1)),), 1.0),)),
        yes="made",
    ),
    Component(
        "punt blocked",
        _punts,
        ("yards_to_goal",),
        Basis((Term((Bends("yards_to_goal", (30, 60, 99)),), 10.0),)),
        yes="blocked",
    ),
    Component(
        "punt kept",
        _punts_away,
        ("yards_to_goal",),
        Basis((Term((Bends("yards_to_goal", (30, 60, 99)),), 10.0),)),
        yes="kept",
    ),
    Component(
        "punt touchback",
        _punts_away,
        ("yards_to_goal",),
        Basis(
            (
                Term(
                    (
                        Bends(
                            "yards_to_goal",
                            (30, 33, 36, 39, 42, 45, 48, 51, 55, 60, 65, 72, 80, 99),
                        ),
                    ),
                    3.0,
                ),
            )
        ),
        yes="touchback",
    ),
    Component(
        "punt",
        _punts_in_play,
        ("yards_to_goal", "year"),
        Basis(
            (
                Term((YEARS,), 3.0),
                # they have become longer where there is room, and are downed nearer the goal
                Term((YEARS, Bends("yards_to_goal", (30, 46, 65, 99))), 3.0),
                Term((YEARS, SOME_STARTS), 3.0),
                Term((Bends(YARDS, START),), 1.0),
                Term((Bends("yards_to_goal", (30, 38, 46, 55, 65, 75, 85, 99)), SOME_STARTS), 3.0),
            )
        ),
        gain="start",
        scored="returned_score",
        low=1,
    ),
    Component(
        "kickoff touchback",
        _kickoffs,
        ("era",),
        Basis((Term((Levels("era", 5),), 5.0), Term((Bends("era", (0, 4)),), 5.0))),
        yes="touchback",
    ),
    Component(
        "kickoff kept",
        _kickoffs,
        ("era",),
        Basis((Term((Levels("era", 5),), 50.0), Term((Bends("era", (0, 4)),), 50.0))),
        yes="kept",
    ),
    Component(
        "kickoff",
        _kickoffs_returned,
        ("era",),
        Basis(
            (
                Term((Bends(YARDS, RETURNED_TO),), 1.0),
                Term((Levels("era", 5), ERA_STARTS), 5.0),
            )
        ),
        gain="start",
        scored="returned_score",
        low=1,
    ),
    Component(
        "onside kept",
        _onside,
        ("expected",),
        Basis((Term((Bends("expected", (0, 1)),), 1.0),)),
        yes="kept",
    ),
)
