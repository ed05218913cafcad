"""Runs from a hand-off, scrambles and sacks."""

from __future__ import annotations

import polars as pl

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.scrimmage import live

GAINS = (-8, -5, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6, 8, 10, 13, 17, 25, 40, 99)
COARSE_GAINS = Bends(YARDS, (-8, -2, 0, 2, 4, 8, 20))
TO_GO = Bends("to_go", (1, 2, 3, 6, 10, 15))
NEAR = Bends("near", (1, 3, 6, 12, 30))

#: Where a carrier is stopped follows the line to gain closely: he reaches for it, and the spot is
#: given at it. So yards and yards to go bend together at every yard near the sticks.
GAP_GAINS = Bends(YARDS, (-8, -4, -2, -1, 0, 1, 2, 3, 4, 6, 8, 12, 20))
STICKS_GAINS = Bends(
    YARDS, (-8, -5, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 16, 20, 30)
)
STICKS = Bends("to_go", (1, 2, 3, 4, 6, 8, 10, 12, 15, 20))

#: What the number in the box says of a run differs by gap, by the yards to go and near the goal
#: line, where it also says what the defense expects.
BOX = Bends("box_code", (5, 7, 9))

LOSSES = (0, 1, 3, 5, 7, 9, 12, 16, 22, 30)


def _gain(frame: pl.DataFrame) -> pl.DataFrame:
    """For a touchdown the field the runner had; for a safety all of it behind him."""
    return frame.with_columns(
        run_gain=pl.when(pl.col("touchdown"))
        .then(pl.col("yards_to_goal"))
        .otherwise(pl.min_horizontal("gain", pl.col("yards_to_goal") - 1))
    )


def gap_told() -> pl.Expr:
    """Rows that name their gap; every row of a table that names none."""
    return (pl.col("gap_code") > 0) | (pl.col("gap_code").max() == 0)


def _runs(plays: pl.DataFrame) -> pl.DataFrame:
    rows = live(plays).filter(
        (pl.col("kind") == "run") & gap_told() & pl.col("gain").is_not_null() & ~pl.col("fumble")
    )
    return _gain(rows)


def _boxed_runs(plays: pl.DataFrame) -> pl.DataFrame:
    return _runs(plays).filter(pl.col("box_code") > 0)


def _carries(plays: pl.DataFrame) -> pl.DataFrame:
    rows = live(plays).filter((pl.col("kind") == "run") & gap_told() & pl.col("gain").is_not_null())
    return rows.with_columns(stopped_at=pl.col("gain").clip(-5, 20))


def _scrambles(plays: pl.DataFrame) -> pl.DataFrame:
    rows = live(plays).filter(
        (pl.col("kind") == "scramble") & pl.col("gain").is_not_null() & ~pl.col("fumble")
    )
    return _gain(rows)


def _all_scrambles(plays: pl.DataFrame) -> pl.DataFrame:
    return live(plays).filter(pl.col("kind") == "scramble")


def _sacks(plays: pl.DataFrame) -> pl.DataFrame:
    rows = live(plays).filter((pl.col("kind") == "sack") & pl.col("gain").is_not_null())
    behind = 100 - pl.col("yards_to_goal")
    return rows.with_columns(
        loss=pl.when(pl.col("safety")).then(behind).otherwise(
            pl.min_horizontal((-pl.col("gain")).clip(0), behind - 1)
        ),
        behind=pl.min_horizontal(behind, pl.lit(25)).cast(pl.Int32),
        # a formation that is not told counts as the usual one
        gun=pl.col("shotgun").fill_null(True).cast(pl.Int32),
    )  # fmt: skip


def _sacks_ended(plays: pl.DataFrame) -> pl.DataFrame:
    return _sacks(plays).filter(~pl.col("fumble_lost"))


def _yards(conditions: tuple[Term, ...]) -> Basis:
    return Basis((Term((Bends(YARDS, GAINS),), 1.0), *conditions))


RUSHING = (
    Component(
        "run",
        _runs,
        ("gap_code", "to_go", "near"),
        _yards(
            (
                Term((Levels("gap_code", 5), GAP_GAINS), 3.0),
                Term((STICKS, STICKS_GAINS), 2.0),
                Term((NEAR, COARSE_GAINS), 3.0),
                Term((Levels("gap_code", 5), TO_GO, COARSE_GAINS), 5.0),
            )
        ),
        gain="run_gain",
        scored="touchdown",
        low=-8,
    ),
    Component(
        "run+box",
        _boxed_runs,
        ("box_code", "gap_code", "to_go", "near"),
        Basis(
            (
                Term((Levels("box_code", 11), COARSE_GAINS), 30.0),
                Term((BOX, NEAR, COARSE_GAINS), 40.0),
                Term((BOX, TO_GO, COARSE_GAINS), 40.0),
                Term((Levels("gap_code", 5), BOX, COARSE_GAINS), 40.0),
            )
        ),
        gain="run_gain",
        scored="touchdown",
        low=-8,
        on="run",
        needs="participation",
    ),
    Component(
        "run fumbled",
        _carries,
        ("stopped_at",),
        Basis((Term((Bends("stopped_at", (-5, -4, -3, -2, -1, 0, 1, 2, 4, 8, 20)),), 3.0),)),
        yes="fumble_lost",
    ),
    Component(
        "scramble",
        _scrambles,
        ("to_go", "near"),
        _yards((Term((STICKS, STICKS_GAINS), 2.0), Term((NEAR, COARSE_GAINS), 5.0))),
        gain="run_gain",
        scored="touchdown",
        low=-8,
    ),
    Component(
        "scramble fumbled",
        _all_scrambles,
        ("to_go",),
        Basis((Term((Bends("to_go", (1, 20)),), 10.0),)),
        yes="fumble_lost",
    ),
    Component(
        "sack",
        _sacks_ended,
        ("gun", "behind"),
        Basis(
            (
                Term((Bends(YARDS, LOSSES),), 1.0),
                Term((Levels("gun", 2), Bends(YARDS, (0, 4, 8, 16))), 5.0),
                Term((Bends("behind", (1, 4, 8, 14, 25)), Bends(YARDS, (0, 4, 8, 16))), 5.0),
            )
        ),
        gain="loss",
        scored="safety",
        low=0,
    ),
    Component(
        "sack fumbled",
        _sacks,
        ("gun", "behind"),
        Basis((Term((Bends("gun", (0, 1)),), 10.0), Term((Bends("behind", (1, 10, 25)),), 10.0))),
        yes="fumble_lost",
    ),
)
