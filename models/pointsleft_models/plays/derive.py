"""What follows from the required columns of a play table, the same for every source.

Half and seconds left, possession, lead, time-outs, drives, next score, result of the game.
"""

from __future__ import annotations

import polars as pl


def clocks(table: pl.DataFrame, quarter_seconds: int = 900) -> pl.DataFrame:
    """Add ``half``, ``half_seconds`` and ``game_seconds``."""
    period, clock = pl.col("period"), pl.col("clock")
    half = pl.when(period > 4).then(3).when(period > 2).then(2).otherwise(1)
    more = pl.when((period == 1) | (period == 3)).then(quarter_seconds).otherwise(0)
    half_seconds = (clock + more).cast(pl.Int32)
    first = pl.when(period <= 2).then(2 * quarter_seconds).otherwise(0)
    return table.with_columns(
        half.cast(pl.Int32).alias("half"),
        half_seconds.alias("half_seconds"),
        (half_seconds + first).cast(pl.Int32).alias("game_seconds"),
    )


def sides(table: pl.DataFrame) -> pl.DataFrame:
    """Add ``defense``, ``offense_home`` and ``lead``; empty where no team has the ball."""
    at_home = pl.col("offense") == pl.col("home")
    other = pl.when(at_home).then(pl.col("away")).otherwise(pl.col("home"))
    lead = (pl.col("offense_score") - pl.col("defense_score")).cast(pl.Int32)
    has_ball = at_home.is_not_null()
    return table.with_columns(
        at_home.alias("offense_home"),
        pl.when(has_ball).then(other).alias("defense"),
        pl.when(has_ball).then(lead).alias("lead"),
    )


def timeouts(table: pl.DataFrame) -> pl.DataFrame:
    """Add the time-outs left to either side *before* each row, from ``timeout_by``.

    Three a half, two in overtime; empty where no team has the ball.
    """
    allowed = pl.when(pl.col("half") == 3).then(2).otherwise(3)
    frame = table
    for side in ("home", "away"):
        charged = (pl.col("timeout_by") == side).fill_null(False).cast(pl.Int32)
        used = charged.cum_sum().over("game", "half") - charged
        frame = frame.with_columns(
            (allowed - used).clip(0, 3).cast(pl.Int32).alias(f"_{side}_timeouts")
        )
    home, away = pl.col("_home_timeouts"), pl.col("_away_timeouts")
    at_home, at_away = pl.col("offense_home"), ~pl.col("offense_home")
    return frame.with_columns(
        pl.when(at_home).then(home).when(at_away).then(away).alias("offense_timeouts"),
        pl.when(at_home).then(away).when(at_away).then(home).alias("defense_timeouts"),
    ).drop("_home_timeouts", "_away_timeouts")


def second_half_receiver(table: pl.DataFrame) -> pl.DataFrame:
    """Add ``receives_second_half`` from who kicked off at the start of the game."""
    opening = (
        table.filter((pl.col("kind") == "kickoff") & (pl.col("period") == 1))
        .group_by("game", maintain_order=True)
        .agg(pl.col("offense").first().alias("_kicked"))
    )
    joined = table.join(opening, on="game", how="left", maintain_order="left")
    return joined.with_columns(
        (pl.col("offense") == pl.col("_kicked")).alias("receives_second_half")
    ).drop("_kicked")


def drives(table: pl.DataFrame) -> pl.DataFrame:
    """Add ``drive``: the number of the possession within the game.

    A possession ends when another team has the ball, at the half and at a score.
    """
    down = pl.col("down").is_not_null()
    owner = pl.when(down).then(pl.col("offense")).otherwise(None)
    owner = owner.forward_fill().over("game")
    frame = table.with_columns(owner.fill_null("").alias("_owner"))
    scored = (
        (pl.col("points_offense").fill_null(0) + pl.col("points_defense").fill_null(0)) > 0
    ).cast(pl.Int32)
    starts = (
        (pl.col("_owner") != pl.col("_owner").shift(1)).fill_null(True)
        | (pl.col("half") != pl.col("half").shift(1)).fill_null(True)
        | (scored.shift(1) == 1).fill_null(False)
    )
    frame = frame.with_columns(
        starts.over("game").cast(pl.Int32).cum_sum().over("game").cast(pl.Int32).alias("drive")
    )
    return frame.drop("_owner")


def next_scores(table: pl.DataFrame, scores: pl.DataFrame) -> pl.DataFrame:
    """Add ``next_score``, ``next_score_clock`` and ``drives_to_score``.

    Parameters
    ----------
    scores
        ``game``, ``play``, ``team``, ``what`` (touchdown, field goal, safety) of every score;
        needs no row of its own in the table.
    """
    keys = table.select("game", "play", "half", "half_seconds", "drive")
    placed = (
        scores.sort("game", "play")
        .join_asof(
            keys.sort("game", "play"),
            on="play",
            by="game",
            strategy="backward",
            check_sortedness=False,
        )
        .select(
            "game",
            "half",
            pl.col("play").alias("_at"),
            pl.col("play"),
            pl.col("team").alias("_team"),
            pl.col("what").alias("_what"),
            pl.col("half_seconds").alias("next_score_clock"),
            pl.col("drive").alias("_drive"),
        )
        .sort("game", "half", "play")
    )
    joined = table.sort("game", "half", "play").join_asof(
        placed, on="play", by=["game", "half"], strategy="forward", check_sortedness=False
    )
    ours = pl.col("_team") == pl.col("offense")
    label = (
        pl.when(pl.col("_what").is_null())
        .then(pl.lit("none"))
        .when(ours)
        .then(pl.col("_what"))
        .otherwise(pl.col("_what") + pl.lit(" against"))
    )
    labelled = (pl.col("half") < 3) & pl.col("offense").is_not_null()
    return (
        joined.with_columns(
            pl.when(labelled).then(label).alias("next_score"),
            (pl.col("_drive") - pl.col("drive")).clip(0).cast(pl.Int32).alias("drives_to_score"),
        )
        .drop("_at", "_team", "_what", "_drive")
        .sort("game", "play")
    )


def results(table: pl.DataFrame, finals: pl.DataFrame) -> pl.DataFrame:
    """Add ``result``, the game's end for the offense (1, .5, 0).

    Parameters
    ----------
    finals
        ``game``, ``home_points``, ``away_points``.
    """
    joined = table.join(finals, on="game", how="left", maintain_order="left")
    margin = pl.col("home_points") - pl.col("away_points")
    at_home, at_away = pl.col("offense_home"), ~pl.col("offense_home")
    margin = pl.when(at_home).then(margin).when(at_away).then(-margin)
    return joined.with_columns(((margin.sign() + 1) / 2).cast(pl.Float64).alias("result")).drop(
        "home_points", "away_points"
    )
