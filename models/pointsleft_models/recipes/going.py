"""Going for it without a named play: third and fourth downs as teams play them."""

from __future__ import annotations

import polars as pl

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.scrimmage import live


def _tries(plays: pl.DataFrame) -> pl.DataFrame:
    return live(plays).filter(
        (pl.col("down") >= 3) & pl.col("kind").is_in(["pass", "run", "sack", "scramble"])
    ).with_columns(lost=pl.col("intercepted").fill_null(False) | pl.col("fumble_lost"))  # fmt: skip


def _kept(plays: pl.DataFrame) -> pl.DataFrame:
    return (
        _tries(plays)
        .filter(~pl.col("lost") & pl.col("gain").is_not_null())
        .with_columns(
            try_gain=pl.when(pl.col("touchdown"))
            .then(pl.col("yards_to_goal"))
            .otherwise(pl.min_horizontal("gain", pl.col("yards_to_goal") - 1))
        )
    )


COARSE = Bends(YARDS, (-10, -3, 0, 1, 2, 4, 7, 11, 16, 25))
#: Gains pile up just beyond the line to gain, wherever it is: knots at nearly every yard of both.
STICKS = Bends("to_go", (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 16, 20))
STICKS_GAINS = Bends(YARDS, (-10, -3, -1, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 16, 20, 30))
DOWNS, DOWN_GAINS = Levels("down0", 4), Bends(YARDS, (-10, 0, 1, 4, 10, 25))
GOING = (
    Component(
        "go",
        _kept,
        ("to_go", "near", "down0"),
        Basis(
            (
                Term(
                    (
                        Bends(
                            YARDS,
                            (-10, -6, -3, -1, 0, 1, 2, 3, 4, 6, 8, 10, 12, 15, 20, 30, 50, 99),
                        ),
                    ),
                    1.0,
                ),
                Term((STICKS, STICKS_GAINS), 2.0),
                Term((Bends("near", (1, 3, 6, 12, 30)), COARSE), 3.0),
                Term((DOWNS, DOWN_GAINS), 3.0),
                Term((DOWNS, Bends("to_go", (1, 3, 6, 10, 20)), DOWN_GAINS), 5.0),
            )
        ),
        gain="try_gain",
        scored="touchdown",
        low=-10,
    ),
    Component(
        "go lost",
        _tries,
        ("to_go", "down0"),
        Basis(
            (
                Term((Bends("to_go", (1, 2, 3, 4, 5, 7, 10, 12, 15, 20)),), 2.0),
                Term((DOWNS,), 10.0),
                # how often the ball is lost by the yards to go differs by down
                Term((DOWNS, Bends("to_go", (1, 2, 3, 5, 10, 20))), 20.0),
            )
        ),
        yes="lost",
    ),
)
