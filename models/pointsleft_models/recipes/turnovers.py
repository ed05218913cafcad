"""Returns of interceptions and of lost fumbles."""

from __future__ import annotations

import polars as pl

from pointsleft_models.fitting.basis import Basis, Bends, Term
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.scrimmage import live

RETURN = (-5, -1, 0, 1, 3, 6, 10, 15, 22, 32, 50, 75, 100)
FINE_RETURN = Bends(YARDS, (-5, -1, 0, 1, 3, 8, 15, 25, 40))
COARSE_RETURN = Bends(YARDS, (-5, 0, 1, 8, 25))
DEPTH = Bends("air", (-5, 0, 5, 10, 15, 20, 30, 40, 50))
COARSE_DEPTH = Bends("air", (0, 10, 25, 45))
FIELD = Bends("goal_near", (0, 5, 10, 15, 20, 25, 30, 40, 50, 60))
COARSE_FIELD = Bends("goal_near", (5, 15, 30, 60))


def _interceptions(plays: pl.DataFrame) -> pl.DataFrame:
    """``spot``: yards to goal (offense's view) where the ball was caught."""
    return (
        live(plays)
        .filter(
            (pl.col("kind") == "pass")
            & pl.col("intercepted")
            & pl.col("air_yards").is_not_null()
            & pl.col("next_offense").is_not_null()
            & ~pl.col("fumble_lost")
        )
        .with_columns(
            air=pl.col("air_yards").clip(-10, 60).cast(pl.Int32),
            spot=(pl.col("yards_to_goal") - pl.col("air_yards")).clip(-9, 99).cast(pl.Int32),
        )
    )


def _deep_interceptions(plays: pl.DataFrame) -> pl.DataFrame:
    return _interceptions(plays).filter(pl.col("spot") <= 0).with_columns(
        touchback=(pl.col("next_yards_to_goal") == 80) & (pl.col("points_defense") == 0)
    )  # fmt: skip


def _field_interceptions(plays: pl.DataFrame) -> pl.DataFrame:
    field = 100 - pl.col("spot")
    return (
        _interceptions(plays)
        .filter((pl.col("spot") > 0) & pl.col("return_yards").is_not_null())
        .with_columns(
            returned_score=pl.col("defense_touchdown"),
            back=pl.when(pl.col("defense_touchdown"))
            .then(field)
            .otherwise(pl.min_horizontal(pl.col("return_yards").clip(-5, 99), field - 1)),
            goal_near=pl.min_horizontal(field, pl.lit(60)).cast(pl.Int32),
        )
    )


def _lost_fumbles(plays: pl.DataFrame) -> pl.DataFrame:
    """The ball changes hands ``moved`` yards up (+) or down the field from the line."""
    return (
        live(plays)
        .filter(
            pl.col("fumble_lost")
            & pl.col("next_offense").is_not_null()
            & pl.col("kind").is_in(["sack", "run", "scramble", "pass"])
        )
        .with_columns(
            sacked=(pl.col("kind") == "sack").cast(pl.Int32),
            returned_score=pl.col("defense_touchdown"),
        )
    )


TURNOVERS = (
    Component(
        "end zone touchback",
        _deep_interceptions,
        ("air",),
        Basis((Term((Bends("air", (0, 20, 40)),), 3.0),)),
        yes="touchback",
    ),
    Component(
        "interception return",
        _field_interceptions,
        ("air", "goal_near"),
        Basis(
            (
                Term((Bends(YARDS, RETURN),), 1.0),
                Term((DEPTH, FINE_RETURN), 5.0),
                Term((FIELD, FINE_RETURN), 5.0),
                # what a depth says of a return differs by the field that is left to run
                Term((COARSE_DEPTH, COARSE_FIELD, COARSE_RETURN), 5.0),
            )
        ),
        gain="back",
        scored="returned_score",
        low=-5,
    ),
    Component(
        "fumble returned",
        _lost_fumbles,
        ("sacked",),
        Basis((Term((Bends("sacked", (0, 1)),), 3.0),)),
        yes="returned_score",
    ),
)
