"""Participation data (who was where, and how long it took) joined to a play table.

The only place that knows that table's own column names. It comes from ``nflreadpy`` or from a
Parquet or CSV file of the same shape. Credit asked for by its licence: see :data:`CREDIT`.
"""

from __future__ import annotations

from pathlib import Path

import polars as pl

CREDIT = "Participation data: NFL NextGenStats via nflverse, CC BY-SA 4.0"

_SHELLS = {
    "COVER_0": "zero",
    "COVER_1": "one-deep man",
    "COVER_2": "two-deep",
    "2_MAN": "two-deep man",
    "COVER_3": "three-deep",
    "COVER_4": "quarters",
    "COVER_6": "quarter-quarter-half",
    "PREVENT": "prevent",
}

_WANTED = (
    "old_game_id", "play_id", "defenders_in_box", "number_of_pass_rushers", "time_to_throw",
    "was_pressure", "route", "defense_man_zone_type", "defense_coverage_type",
)  # fmt: skip

#: Columns of the neutral table that this source fills.
FILLED = ("pressured", "ball_out_seconds", "route", "shell", "man", "box", "rushers")


class ParticipationError(ValueError):
    """A participation table that cannot be used; the message says what is missing."""


def read_participation_file(path: str | Path) -> pl.DataFrame:
    """Read a participation table from Parquet or CSV.

    Raises
    ------
    ParticipationError
        Not there, not readable, or without the columns wanted.
    """
    path = Path(path)
    try:
        frame = pl.read_csv(path) if path.suffix == ".csv" else pl.read_parquet(path)
    except (OSError, pl.exceptions.PolarsError) as error:
        raise ParticipationError(f"participation file {path} cannot be read: {error}") from None
    return frame


def neutral_participation(frame: pl.DataFrame) -> pl.DataFrame:
    """The source's table with our names: ``game``, ``play`` and :data:`FILLED`."""
    missing = [name for name in _WANTED if name not in frame.columns]
    if missing:
        raise ParticipationError(
            f"the participation table lacks {', '.join(missing)}; it has {', '.join(frame.columns)}"
        )
    seconds = pl.col("time_to_throw")
    return frame.select(
        game=pl.col("old_game_id").cast(pl.String),
        play=pl.col("play_id").cast(pl.Int32),
        pressured=pl.col("was_pressure").cast(pl.Boolean),
        ball_out_seconds=pl.when(seconds > 0).then(seconds).cast(pl.Float64),
        route=pl.col("route").str.to_lowercase(),
        shell=pl.col("defense_coverage_type").replace_strict(
            _SHELLS, default=None, return_dtype=pl.String
        ),
        man=pl.col("defense_man_zone_type") == "MAN_COVERAGE",
        box=pl.col("defenders_in_box").cast(pl.Int32),
        rushers=pl.col("number_of_pass_rushers").cast(pl.Int32),
    ).unique(["game", "play"], keep="first", maintain_order=True)


def join_participation(plays: pl.DataFrame, participation: pl.DataFrame) -> pl.DataFrame:
    """Fill the participation columns of a play table where game and play number meet."""
    kept = [name for name in plays.columns if name not in FILLED]
    joined = plays.select(kept).join(
        neutral_participation(participation),
        on=["game", "play"],
        how="left",
        maintain_order="left",
    )
    return joined.select(plays.columns)
