"""What came next: the following snap, and the clock between the two."""

from __future__ import annotations

import polars as pl

#: Kinds of row that are a snap from scrimmage (or a wiped-out one).
SNAPS = ("pass", "sack", "scramble", "run", "kneel", "spike", "punt", "field goal", "penalty")


def with_next_snap(table: pl.DataFrame) -> pl.DataFrame:
    """Add the situation of the next snap of the same half to every row.

    Adds ``next_offense``, ``next_down``, ``next_distance``, ``next_yards_to_goal``,
    ``next_half_seconds``, ``next_kind``, ``next_play`` and the time-outs charged in between
    (``own_timeout_between``, ``opponent_timeout_between``); all empty at the end of a half.
    """
    is_snap = pl.col("down").is_not_null() & pl.col("kind").is_in(SNAPS)
    names = {
        "offense": "next_offense",
        "down": "next_down",
        "distance": "next_distance",
        "yards_to_goal": "next_yards_to_goal",
        "half_seconds": "next_half_seconds",
        "kind": "next_kind",
        "play": "next_play",
        "offense_home": "_next_home",
        "offense_timeouts": "_next_own",
        "defense_timeouts": "_next_opponent",
    }
    shifted = [
        pl.when(is_snap)
        .then(pl.col(name))
        .otherwise(None)
        .backward_fill()
        .shift(-1)
        .over("game", "half")
        .alias(new)
        for name, new in names.items()
    ]
    frame = table.with_columns(shifted)
    same = pl.col("_next_home") == pl.col("offense_home")
    own = pl.when(same).then("_next_own").otherwise("_next_opponent")
    other = pl.when(same).then("_next_opponent").otherwise("_next_own")
    return frame.with_columns(
        (pl.col("offense_timeouts") > own).alias("own_timeout_between"),
        (pl.col("defense_timeouts") > other).alias("opponent_timeout_between"),
    ).drop("_next_home", "_next_own", "_next_opponent")
