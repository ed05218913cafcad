"""Facts of the plays of invented games: what a fit needs beyond down, distance and score.

They are drawn at random and mean nothing; they only agree with the gains that are there.
"""

from __future__ import annotations

import numpy as np
import polars as pl
from invented_plays import TRUTHS, invented_table


def table_to_fit(seed: int, games: int, seasons: tuple[int, ...] = (2018, 2019)) -> pl.DataFrame:
    """Whole invented games with facts of throws, runs, fumbles and kicks.

    The columns that a reader derives are left out, as a user would.
    """
    rng = np.random.default_rng(seed)
    plays = invented_table(seed, games).drop(TRUTHS)
    n = len(plays)
    number = pl.col("game").str.slice(1).cast(pl.Int32)
    season = pl.lit(pl.Series(list(seasons), dtype=pl.Int32)).get(number % len(seasons))
    kind, gain, room = pl.col("kind"), pl.col("gain"), pl.col("yards_to_goal")
    drawn = pl.DataFrame({f"u{i}": rng.random(n) for i in range(6)})
    thrown = kind == "pass"
    caught = thrown & (gain != 0)
    aimed = (pl.col("u0") * 30 - 5).cast(pl.Int32)
    plays = pl.concat([plays, drawn], how="horizontal").with_columns(
        season=season.cast(plays.schema["season"]),
        targeted=pl.when(thrown | (kind == "two-point")).then(pl.col("u1") < 0.9),
    )
    fumble = kind.is_in(["run", "scramble", "sack", "pass"]) & (pl.col("u2") < 0.08)
    return plays.with_columns(
        complete=pl.when(thrown).then(caught & pl.col("targeted")),
        air_yards=pl.when(thrown).then(pl.min_horizontal(aimed, room + 9)),
        intercepted=pl.when(thrown).then(~caught & (pl.col("u3") < 0.5)),
        third=pl.when(thrown).then(_word("u4", "left", "middle", "right")),
        gap=pl.when(kind == "run").then(_word("u4", "middle", "guard", "tackle", "end")),
        shotgun=pl.when(pl.col("down").is_not_null()).then(pl.col("u3") < 0.6),
        fumble=fumble, fumble_lost=fumble & (pl.col("u3") < 0.5),
        out_of_bounds=pl.when(gain.is_not_null()).then(pl.col("u5") < 0.2),
        kick_distance=pl.when(kind == "field goal").then(room + 18),
        kick_result=pl.when(kind == "kickoff").then(_word("u4", "touchback", "returned", "onside"))
        .when(kind == "punt").then(_word("u4", "returned", "touchback", "fair catch", "blocked"))
        .otherwise(pl.col("kick_result")),
    ).with_columns(
        yards_after_catch=pl.when(pl.col("complete")).then(gain - pl.col("air_yards")),
        return_yards=pl.when(pl.col("intercepted")).then((pl.col("u5") * 20).cast(pl.Int32)),
    ).drop(drawn.columns)  # fmt: skip


def _word(drawn: str, *words: str) -> pl.Expr:
    at = (pl.col(drawn) * len(words)).cast(pl.Int32)
    return pl.lit(pl.Series(list(words))).get(at)
