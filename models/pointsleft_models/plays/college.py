"""One college season from a feed of play-by-play, as the neutral play table.

Source in the docs: ``college:FILE``. The season's game facts are public; the feed's repository
states no licence, so the file is read in place and never handed on.

Not in it: air yards, thirds of the field, gaps, formations, runners out of bounds, hits. What
needs them cannot be fitted from it (see ``recipes/borrowing.py``).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import polars as pl

from pointsleft_models.plays import cells, checking, college_columns
from pointsleft_models.plays.college_clock import snap_clocks
from pointsleft_models.plays.complete import complete
from pointsleft_models.plays.files import FileError, opened
from pointsleft_models.plays.reading import Reading
from pointsleft_models.plays.schema import Column

#: Share of a side's snaps that must be seen from one goal line for it to be told which side it is.
CLEAR = 0.9

#: Rows of other kinds repeat an old score when a flag or a time-out comes before the try.
_SCORING = ("Touchdown", "Field Goal Good", "Safety", "Defensive 2pt")


class CollegeError(ValueError):
    """A college table that cannot be used; the message says what is missing."""


def read_college(path: str | Path, finals: pl.DataFrame | None = None) -> Reading:
    """Read a season.

    Parameters
    ----------
    finals
        Final scores to hold the plays against, see :func:`read_college_games`.

    Returns
    -------
    Reading
        Games whose final score the rows do not reproduce stand in ``left_out``.

    Raises
    ------
    CollegeError
        Not there, not readable, without the columns wanted, or no game adds up.
    """
    frame = _columns(path, college_columns.WANTED)
    return neutral_season(frame, Path(path).name, finals)


def read_college_games(path: str | Path) -> pl.DataFrame:
    """Final scores of the season: ``game``, ``home_points``, ``away_points``.

    Raises
    ------
    CollegeError
        Not there, not readable, or without the columns wanted.
    """
    wanted = {"game_id": "text", "home_score": "int", "away_score": "int"}
    frame = _columns(path, wanted)
    return frame.rename(
        {"game_id": "game", "home_score": "home_points", "away_score": "away_points"}
    )


def _columns(path: str | Path, wanted: dict[str, str]) -> pl.DataFrame:
    try:
        with opened(path) as file:
            missing = [name for name in wanted if name not in file.columns]
            if missing:
                raise CollegeError(
                    f"{path} is no table of a college season: it lacks {', '.join(missing)}; it "
                    f"has {', '.join(file.columns[:40])}"
                )
            frame = file.collect(file.frame.select(*wanted))
    except FileError as error:
        raise CollegeError(str(error)) from None
    if frame.is_empty():
        raise CollegeError(f"{path} has no rows below the header")
    typed = {
        name: cells.value(Column(name, kind, ""), frame.schema[name])
        for name, kind in wanted.items()
    }
    return frame.select(value.alias(name) for name, value in typed.items())


def neutral_season(frame: pl.DataFrame, source: str, finals: pl.DataFrame | None) -> Reading:
    """A season's rows as a :class:`Reading`; see :func:`read_college`."""
    games = frame["game_id"].drop_nulls().unique().sort()
    sides, left_out = _sides(frame)
    rows = (
        # within a quarter the feed's own order: identifiers follow a clock that may be mended
        frame.with_row_index("_line")
        .sort("game_id", "quarter", "_line")
        .join(sides, on="game_id", how="inner")
        .with_columns(kind=college_columns.kind())
    )
    rows = _with_tries(_scores_before(rows))
    rows = rows.with_columns(**college_columns.situation())
    rows = rows.with_columns(**college_columns.play(), **college_columns.kick())
    rows = _callers(_clocks(rows))
    no_ball = pl.col("kind").is_in(["time-out", "other"])
    at_home = (pl.col("start_team") == pl.col("home")) | no_ball
    table = rows.select(
        "season", "home", "away", "kind", "clock", "down", "distance", "yards_to_goal", "gain",
        "targeted", "complete", "intercepted", "fumble", "fumble_lost", "return_yards",
        "kick_distance", "kick_result", "timeout_by", "penalty_on", "penalty_yards",
        game="game_id",
        level=pl.lit("college"),
        play=pl.int_range(1, pl.len() + 1).over("game_id").cast(pl.Int32),
        period="quarter",
        no_play=pl.col("kind") == "penalty",
        offense=pl.when(~no_ball).then("start_team"),
        offense_score=pl.when(at_home).then("_home").otherwise("_away"),
        defense_score=pl.when(at_home).then("_away").otherwise("_home"),
    )  # fmt: skip
    table = checking.conform(table)
    bad = checking.faults(table)
    for fault in bad:
        left_out |= {game: fault.text for game in fault.games if game not in left_out}
    done = complete(table.filter(~pl.col("game").is_in(list(left_out))), finals)
    left_out |= done.left_out
    if done.plays.is_empty():
        raise CollegeError(f"{source}: no game of it adds up, e.g. {next(iter(left_out.items()))}")
    return Reading(
        source=f"{source}, college season {_seasons(done.plays)}, public game facts",
        plays=checking.validate(checking.conform(done.plays)),
        games_read=len(games),
        finals_reproduced=len(games) - len(left_out),
        left_out=dict(sorted(left_out.items())),
        rough=("clock",),  # many games read it once a drive
    )


def _seasons(plays: pl.DataFrame) -> str:
    return ", ".join(str(season) for season in sorted(plays["season"].unique()))


def _sides(frame: pl.DataFrame) -> tuple[pl.DataFrame, dict[str, str]]:
    """``game_id``, ``home``, ``away``: spots are counted from the goal line that home defends."""
    spot, to_go = pl.col("start_spot"), pl.col("start_yards_to_endzone")
    votes = (
        frame.filter(
            pl.col("start_team").is_not_null()
            & (spot != 50)
            & ((spot == to_go) | (spot + to_go == 100))
        )
        .group_by("game_id", "start_team")
        .agg((spot + to_go == 100).mean().alias("share"), pl.len().alias("rows"))
        .sort("game_id", "share", "start_team", descending=[False, True, False])
    )
    found = votes.group_by("game_id", maintain_order=True).agg(
        pl.col("start_team").first().alias("home"),
        pl.col("start_team").last().alias("away"),
        pl.col("share").first().alias("_high"),
        pl.col("share").last().alias("_low"),
        pl.len().alias("_teams"),
    )
    clear = (pl.col("_teams") == 2) & (pl.col("_high") >= CLEAR) & (pl.col("_low") <= 1 - CLEAR)
    good = found.filter(clear).select("game_id", "home", "away")
    reason = "which side a team is on cannot be told from its spots"
    unclear = set(frame["game_id"].drop_nulls()) - set(good["game_id"])
    return good, dict.fromkeys(sorted(unclear), reason)


def _scores_before(rows: pl.DataFrame) -> pl.DataFrame:
    """Add ``_home``, ``_away`` before each row, and the rise on it ``_home_rise``, ``_away_rise``.

    A row that can bring no points takes the score of the row before, whatever it repeats; a
    score that a row of the right type brings stays.
    """
    scoring = pl.any_horizontal(
        pl.col("type").fill_null("").str.contains(word, literal=True) for word in _SCORING
    )
    for side in ("home", "away"):
        told = pl.col(f"{side}_score").cast(pl.Int32)
        by_type = pl.when(scoring | pl.col("type").is_null()).then(told)
        # an unusual row (a fumble carried home) brings points where what follows agrees with it
        rising = (told > told.shift(1).over("game_id")) & (
            told <= told.shift(-1).over("game_id").fill_null(told)
        )
        after = pl.coalesce(by_type, pl.when(rising).then(told))
        after = after.forward_fill().over("game_id").fill_null(0).cum_max().over("game_id")
        rows = rows.with_columns(after.alias(f"_{side}_after"))
    for side in ("home", "away"):
        before = pl.col(f"_{side}_after").shift(1).over("game_id").fill_null(0)
        rows = rows.with_columns(
            before.alias(f"_{side}"), (pl.col(f"_{side}_after") - before).alias(f"_{side}_rise")
        )
    return rows


def _with_tries(rows: pl.DataFrame) -> pl.DataFrame:
    """Every touchdown followed by a row of its try, which the feed tells in brackets."""
    home_td, away_td = (pl.col(f"_{s}_rise").is_in([6, 7, 8]) for s in ("home", "away"))
    returned = (pl.col("type") == "Defensive 2pt Conversion").shift(-1).over("game_id")
    made = pl.max_horizontal("_home_rise", "_away_rise")
    told = pl.coalesce(
        college_columns.try_kind(),
        pl.when(made == 8).then(pl.lit("two-point")),
        pl.when(made == 7).then(pl.lit("extra point")),
    )
    rows = rows.with_columns(_order=pl.int_range(pl.len()) * 2)
    tries = (
        rows.filter((home_td != away_td) & ~returned.fill_null(False) & told.is_not_null())
        .with_columns(
            start_team=pl.when(home_td).then("home").otherwise("away"),
            _made=made > 6,
            _passed=college_columns.try_passed(),
            _kind=told,
            _home=pl.when(home_td).then(pl.col("_home") + 6).otherwise("_home"),
            _away=pl.when(away_td).then(pl.col("_away") + 6).otherwise("_away"),
            _order=pl.col("_order") + 1,
            desc=pl.lit(""),
            type=pl.lit("try"),
            start_down=pl.lit(None, dtype=pl.Int32),
            start_yards_to_endzone=pl.lit(3, dtype=pl.Int32),
        )
        .with_columns(kind="_kind")
        .drop("_kind")
    )
    return pl.concat([rows, tries], how="diagonal_relaxed").sort("_order")


def _clocks(rows: pl.DataFrame) -> pl.DataFrame:
    parts = pl.col("start_clock").str.split_exact(":", 1)
    read = parts.struct.field("field_0").cast(pl.Int32, strict=False) * 60 + parts.struct.field(
        "field_1"
    ).cast(pl.Int32, strict=False)
    rows = rows.with_columns(
        _read=read.forward_fill().over("game_id", "quarter").fill_null(900).clip(0, 900),
        _scored=(pl.col("_home_rise") + pl.col("_away_rise")) > 0,
    )
    done = []
    for _, game in rows.group_by("game_id", maintain_order=True):
        at = snap_clocks(
            game["_read"].to_numpy(),
            game["quarter"].to_numpy(),
            game["kind"].to_numpy(),
            game["complete"].fill_null(False).to_numpy(),
            game["_scored"].to_numpy(),
        )
        done.append(at)
    return rows.with_columns(clock=pl.Series(np.concatenate(done), dtype=pl.Int32))


def _callers(rows: pl.DataFrame) -> pl.DataFrame:
    """Add ``timeout_by``, ``penalty_on`` and ``penalty_yards``: texts name teams, not sides."""
    rows = rows.with_columns(
        _called=college_columns.called_by(), _flagged=college_columns.penalised()
    )
    names = _names(rows)
    for column in ("_called", "_flagged"):
        known = names.rename({"name": column, "team": f"{column}_team"})
        rows = rows.join(known, on=["game_id", column], how="left", maintain_order="left")
    caller, flagged = pl.col("_called_team"), pl.col("_flagged_team")
    ours = flagged == pl.col("start_team")
    return rows.with_columns(
        timeout_by=pl.when(caller == pl.col("home"))
        .then(pl.lit("home"))
        .when(caller == pl.col("away"))
        .then(pl.lit("away")),
        penalty_on=pl.when(ours).then(pl.lit("offense")).when(~ours).then(pl.lit("defense")),
        penalty_yards=pl.when(flagged.is_not_null()).then(college_columns.penalty_yards()),
    )


def _names(rows: pl.DataFrame) -> pl.DataFrame:
    """``game_id``, ``name``, ``team``: the team that is in all games in which a name is used.

    A name of one game alone belongs to the side that no other name of the game has.
    """
    used = pl.concat(
        [
            rows.select("game_id", "home", "away", name=column).drop_nulls("name")
            for column in ("_called", "_flagged")
        ]
    ).unique()
    sides = used.unpivot(
        on=["home", "away"], index=["game_id", "name"], variable_name="side", value_name="team"
    )
    counted = sides.group_by("name", "team").agg(pl.len().alias("together"))
    best = counted.with_columns(
        most=pl.col("together").max().over("name"),
    ).filter(pl.col("together") == pl.col("most"))
    sure = best.filter(pl.len().over("name") == 1).select("name", "team")
    known = sides.join(sure, on=["name", "team"], how="inner").select("game_id", "name", "team")
    rest = (
        sides.join(sure.select("name"), on="name", how="anti")
        .join(known.select("game_id", "team"), on=["game_id", "team"], how="anti")
        .filter(pl.len().over("game_id", "name") == 1)
        .select("game_id", "name", "team")
    )
    return pl.concat([known, rest]).unique(["game_id", "name"])
