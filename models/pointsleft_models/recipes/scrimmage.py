"""Covariates that several laws share, worked out once from the play table."""

from __future__ import annotations

import polars as pl

from pointsleft_models.fitting.basis import Bends, Levels
from pointsleft_models.laws.words import ROUTE_CODES, SHELL_CODES
from pointsleft_models.laws.years import FIRST_SEASON, LAST_YEAR, YEAR

#: Seasons told apart where a law moves with them: at the ends of the archive and in its middle.
#: A law has this term where on seasons left out it gains .0005 a play or more, as much as is asked
#: of expected points against their peers, with its 90% interval below nothing.
YEARS = Bends(YEAR, (0, 5, LAST_YEAR))

THIRD = {"left": 1, "middle": 2, "right": 3}
GAP = {"middle": 1, "guard": 2, "tackle": 3, "end": 4}

#: Axes of what throws share.
THIRDS = Levels("third_code", len(THIRD) + 1)
ROUTES = Levels("route_code", len(ROUTE_CODES) + 1)
SHELLS = Levels("shell_code", len(SHELL_CODES) + 1)

#: Yards to goal beyond which the field is open for a law.
OPEN_FIELD = 30

#: Longest distance to go that a law tells apart.
LONGEST = 20


def live(plays: pl.DataFrame) -> pl.DataFrame:
    """Scrimmage rows that counted, with the shared covariates (0 always means unknown).

    ``near``: yards to goal, at most :data:`OPEN_FIELD`; ``to_go``: distance, at most
    :data:`LONGEST`; ``down0``: down from 0; ``year`` as in ``laws/years.py``; codes of the third,
    gap, pressure and box.
    """
    return plays.filter(pl.col("down").is_not_null() & ~pl.col("no_play")).with_columns(
        near=pl.min_horizontal("yards_to_goal", pl.lit(OPEN_FIELD)).cast(pl.Int32),
        to_go=pl.min_horizontal("distance", pl.lit(LONGEST)).cast(pl.Int32),
        down0=(pl.col("down") - 1).cast(pl.Int32),
        year=(pl.col("season") - FIRST_SEASON).clip(0, LAST_YEAR).cast(pl.Int32),
        third_code=pl.col("third").replace_strict(THIRD, default=0, return_dtype=pl.Int32),
        gap_code=pl.col("gap").replace_strict(GAP, default=0, return_dtype=pl.Int32),
        pressure_code=pl.when(pl.col("pressured").is_null())
        .then(0)
        .when(pl.col("pressured"))
        .then(2)
        .otherwise(1)
        .cast(pl.Int32),
        box_code=pl.col("box").fill_null(0).clip(0, 10).cast(pl.Int32),
    )


def with_look(throws: pl.DataFrame) -> pl.DataFrame:
    """Throws with the codes of their route and coverage (0 always means unknown)."""
    return throws.with_columns(
        route_code=pl.col("route").replace_strict(ROUTE_CODES, default=0, return_dtype=pl.Int32),
        shell_code=pl.col("shell").replace_strict(SHELL_CODES, default=0, return_dtype=pl.Int32),
    )
