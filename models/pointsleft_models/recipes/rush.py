"""The pass rush: pressure by ball-out time, and sacks under pressure (participation data)."""

from __future__ import annotations

import polars as pl

from pointsleft_models.fitting.basis import Basis, Bends, Term
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.scrimmage import live

#: Ball-out time in tenths of a second, cut here at both ends.
SHORTEST, LONGEST = 8, 70


def _timed_throws(plays: pl.DataFrame) -> pl.DataFrame:
    return (
        live(plays)
        .filter(
            (pl.col("kind") == "pass")
            & pl.col("ball_out_seconds").is_not_null()
            & pl.col("pressured").is_not_null()
            & pl.col("rushers").is_not_null()
        )
        .with_columns(
            tenths=(10 * pl.col("ball_out_seconds"))
            .round(0)
            .clip(SHORTEST, LONGEST)
            .cast(pl.Int32),
            rush=pl.col("rushers").clip(3, 7).cast(pl.Int32),
        )
    )


def _pressured_dropbacks(plays: pl.DataFrame) -> pl.DataFrame:
    """Sacks carry neither a clock nor a mark of pressure; every sack is taken as pressured."""
    return (
        live(plays)
        .filter(
            pl.col("kind").is_in(["pass", "sack"])
            & (pl.col("pressured").fill_null(False) | (pl.col("kind") == "sack"))
            & pl.col("rushers").is_not_null()
        )
        .with_columns(
            sacked=pl.col("kind") == "sack", rush=pl.col("rushers").clip(3, 7).cast(pl.Int32)
        )
    )


def _hit_throws(plays: pl.DataFrame) -> pl.DataFrame:
    return (
        live(plays)
        .filter(
            (pl.col("kind") == "pass")
            & pl.col("pressured").is_not_null()
            & pl.col("quarterback_hit").is_not_null()
        )
        .with_columns(pressed=pl.col("pressured").cast(pl.Int32))
    )


RUSH = (
    Component(
        "pressure",
        _timed_throws,
        ("tenths", "rush"),
        Basis(
            (
                Term(
                    (Bends("tenths", (8, 13, 17, 20, 23, 26, 30, 35, 40, 50, 70)),),
                    1.0,
                    rises=("tenths",),
                ),
                Term((Bends("rush", (3, 4, 5, 6, 7)), Bends("tenths", (8, 20, 30, 50))), 3.0),
            )
        ),
        yes="pressured",
        needs="participation",
    ),
    Component(
        "sack if pressed",
        _pressured_dropbacks,
        ("rush",),
        Basis((Term((Bends("rush", (3, 4, 5, 6, 7)),), 3.0),)),
        yes="sacked",
        needs="participation",
    ),
    Component(
        "hit",
        _hit_throws,
        ("pressed",),
        Basis((Term((Bends("pressed", (0, 1)),), 1.0),)),
        yes="quarterback_hit",
        needs="participation",
    ),
)
