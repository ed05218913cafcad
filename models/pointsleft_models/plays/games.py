"""What was known of a game before it, and its final: joined to a play table.

Reads a table of games in the neutral names below, or the schedules table of ``nflreadpy`` (the
only place that knows that table's names). Credit asked for by its licence: see :data:`CREDIT`.

Sign of the spread: positive means that the home team was favoured. In the schedules table the
line correlates +.43 with the home team's margin, which it misses by a tenth of a point on
average (2009 to 2019); :func:`neutral_games` refuses a table in which favourites lose.
"""

from __future__ import annotations

from pathlib import Path

import polars as pl

from pointsleft_models.plays import cells
from pointsleft_models.plays.files import FileError, opened
from pointsleft_models.plays.schema import BY_NAME, Column

CREDIT = "Spreads, roof and weather: nflverse data, CC BY 4.0"

#: Columns of the neutral play table that this source fills.
FILLED = ("home_spread", "roof", "temperature", "wind")

_POINTS = {
    side: Column(f"{side}_points", "int", f"final points, {side}", "points", 0, 200)
    for side in ("home", "away")
}
#: Columns of a games table; only ``game`` must be there.
COLUMNS = (
    BY_NAME["game"],
    *_POINTS.values(),
    *(BY_NAME[name] for name in FILLED),
)

_FOREIGN = {
    "old_game_id": "game",
    "home_score": "home_points",
    "away_score": "away_points",
    "spread_line": "home_spread",
    "roof": "roof",
    "temp": "temperature",
    "wind": "wind",
}
ROOFS = {"outdoors": "outdoors", "open": "outdoors", "dome": "indoors", "closed": "indoors"}

#: Games with a spread and a result from which the sign is judged.
ENOUGH = 50


class GamesError(ValueError):
    """A games table that cannot be used; the message lists what is wrong."""


def read_games_file(path: str | Path) -> pl.DataFrame:
    """Read a table of games from CSV or Parquet, see :func:`neutral_games`.

    Raises
    ------
    GamesError
        Not there, not readable, or with faults.
    """
    try:
        with opened(path) as file:
            known = [n for n in file.columns if n in _FOREIGN or n in {c.name for c in COLUMNS}]
            if not known:
                raise GamesError(_lacking(str(path), file.columns))
            frame = file.collect(file.frame.select(known))
            comma = file.decimal_comma
    except FileError as error:
        raise GamesError(str(error)) from None
    return neutral_games(frame, str(path), decimal_comma=comma)


def neutral_games(
    frame: pl.DataFrame, source: str = "the games table", *, decimal_comma: bool = False
) -> pl.DataFrame:
    """A games table with our names and types; columns that are absent are empty.

    Parameters
    ----------
    frame
        Neutral names (``game``, ``home_points``, ``away_points`` and :data:`FILLED`) or those of
        the schedules table.

    Raises
    ------
    GamesError
        No game column, a game twice, cells that cannot be read, values out of range, or spreads
        of the wrong sign.
    """
    if "old_game_id" in frame.columns:
        frame = frame.select(pl.col(old).alias(new) for old, new in _FOREIGN.items()
                             if old in frame.columns)  # fmt: skip
    if "game" not in frame.columns:
        raise GamesError(_lacking(source, tuple(frame.columns)))
    faults = []
    columns = []
    for column in COLUMNS:
        if column.name not in frame.columns:
            columns.append(pl.lit(None, dtype=cells.TYPES[column.kind]).alias(column.name))
            continue
        dtype = frame.schema[column.name]
        raw = cells.cleaned(column.name, dtype)
        if column.name == "roof":
            said = raw.cast(pl.String).str.to_lowercase()
            words = {**ROOFS, **{word: word for word in BY_NAME["roof"].words}}
            value = said.replace_strict(words, default=None, return_dtype=pl.String)
        else:
            value = cells.value(column, dtype, decimal_comma)
        bad = frame.filter(raw.is_not_null() & value.is_null())
        if column.low is not None:
            inside = value.is_between(column.low, column.high)
            bad = pl.concat([bad, frame.filter(value.is_not_null() & ~inside)])
        if len(bad):
            expected = "one of " + ", ".join(ROOFS) if column.name == "roof" else (
                f"{cells.ACCEPTED[column.kind]}"
                + (f" from {column.low:g} to {column.high:g}" if column.low is not None else "")
            )  # fmt: skip
            faults.append(
                f"column {column.name}: {len(bad)} cells, e.g. {bad[column.name][0]!r} for game "
                f"{bad['game'][0]!r}; expected {expected}"
            )
        columns.append(value.alias(column.name))
    games = frame.select(columns).filter(pl.col("game").is_not_null())
    twice = games.filter(pl.col("game").is_duplicated())
    if len(twice):
        faults.append(
            f"column game: {len(twice)} rows name a game twice, e.g. {twice['game'][0]!r}"
        )
    faults += _wrong_sign(games)
    if faults:
        raise GamesError(f"{source} has faults:\n  " + "\n  ".join(faults))
    return games


def _lacking(source: str, columns: tuple[str, ...]) -> str:
    return (
        f"{source} lacks the column game (and home_points, away_points, {', '.join(FILLED)} as "
        f"far as known); it has {', '.join(columns[:40])}"
    )


def _wrong_sign(games: pl.DataFrame) -> list[str]:
    """A fault when favourites lost: the spread must be positive for a favoured home team."""
    margin = pl.col("home_points") - pl.col("away_points")
    judged = games.select(spread=pl.col("home_spread"), margin=margin).drop_nulls()
    judged = judged.filter(pl.col("spread") != 0)
    if len(judged) < ENOUGH:
        return []
    won_by = float((judged["spread"].sign() * judged["margin"]).to_numpy().mean())
    if won_by > 0:
        return []
    return [
        f"column home_spread: favourites lost by {-won_by:.1f} points on average over "
        f"{len(judged)} games; expected positive where the home team was favoured"
    ]


def join_games(plays: pl.DataFrame, games: pl.DataFrame) -> pl.DataFrame:
    """Fill spread, roof, temperature and wind of a play table where the game is known.

    What the games table does not say stays as the play table has it.

    Raises
    ------
    GamesError
        Not one game of the play table is in the games table.
    """
    about = games.select("game", *(pl.col(name).alias(f"_{name}") for name in FILLED))
    if not plays["game"].is_in(about["game"].implode()).any():
        raise GamesError(
            f"no game of the plays is in the games table: the plays have e.g. "
            f"{plays['game'][0]!r}, the games table {about['game'][0]!r}"
            if len(about)
            else "the games table has no rows"
        )
    joined = plays.join(about, on="game", how="left", maintain_order="left")
    return joined.with_columns(pl.coalesce(f"_{name}", name).alias(name) for name in FILLED).select(
        plays.columns
    )
