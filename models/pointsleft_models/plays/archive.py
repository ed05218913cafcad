"""The open play-by-play archive, 2009 to 2019, as the neutral play table."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import polars as pl

from pointsleft_models.plays import archive_columns, archive_rows, derive
from pointsleft_models.plays.archive_files import ArchiveFiles, GameFile
from pointsleft_models.plays.checking import conform, validate
from pointsleft_models.plays.reading import Progress, Reading, quiet

#: Workers each take games in lots of this size.
LOT = 64


def _parse(files: ArchiveFiles, games: list[GameFile]) -> tuple[list[Any], list[Any], list[Any]]:
    lines: list[Any] = []
    scores: list[Any] = []
    finals: list[Any] = []
    for game in games:
        content = files.load(game)
        lines += archive_rows.play_rows(game.game, content)
        scores += archive_rows.score_rows(game.game, content)
        finals.append((game.game, *archive_rows.final_score(content)))
    return lines, scores, finals


def _parse_lot(
    wheel: str | None, games: list[GameFile]
) -> tuple[pl.DataFrame, list[Any], list[Any]]:
    lines, scores, finals = _parse(ArchiveFiles(wheel), games)
    return _line_frame(lines), scores, finals


def _line_frame(lines: list[list[Any]]) -> pl.DataFrame:
    text = {"game", "spot", "offense", "text", "note", "timeout_team", "penalty_team"}
    schema: dict[str, Any] = {
        name: pl.String if name in text else pl.Boolean if name[0] == "f" else pl.Int32
        for name in archive_rows.COLUMNS
    }
    return pl.DataFrame(lines, schema=schema, orient="row")


def read_archive(
    wheel: str | Path | None = None,
    *,
    seasons: tuple[int, ...] | None = None,
    workers: int = 2,
    progress: Progress = quiet,
) -> Reading:
    """Read the archive's games into the neutral table.

    Parameters
    ----------
    wheel
        A downloaded wheel; ``None`` reads the installed package.
    seasons
        Only these seasons.
    workers
        Processes; the table does not depend on their number.

    Returns
    -------
    Reading
        ``plays`` holds the games whose final score the list of scores reproduces; the others
        stand in ``left_out`` with the reason.

    Raises
    ------
    ArchiveError
        Absent, another version, or damaged.
    """
    from joblib import Parallel, delayed

    files = ArchiveFiles(wheel)
    games = [g for g in files.games() if seasons is None or g.season in seasons]
    lots = [games[at : at + LOT] for at in range(0, len(games), LOT)]
    source = None if wheel is None else str(wheel)
    jobs = (delayed(_parse_lot)(source, lot) for lot in lots)
    pool = Parallel(n_jobs=workers if len(lots) > 1 else 1, return_as="generator")
    frames, scores, finals = [], [], []
    for frame, lot_scores, lot_finals in progress(pool(jobs), len(lots), "reading the archive"):
        frames.append(frame)
        scores += lot_scores
        finals += lot_finals
    return _neutral(files.name, games, pl.concat(frames), scores, finals)


def _neutral(
    source: str, games: list[GameFile], lines: pl.DataFrame, scores: list[Any], finals: list[Any]
) -> Reading:
    final_frame = pl.DataFrame(
        finals,
        schema={
            "game": pl.String, "home": pl.String, "away": pl.String,
            "home_points": pl.Int32, "away_points": pl.Int32,
        },
        orient="row",
    )  # fmt: skip
    score_frame = pl.DataFrame(
        scores,
        schema={
            "game": pl.String, "play": pl.Int32, "team": pl.String, "what": pl.String,
            "points": pl.Int32, "extra": pl.Int32,
        },
        orient="row",
    )  # fmt: skip
    about = pl.DataFrame(
        {
            "game": [g.game for g in games],
            "season": [g.season for g in games],
            "week": [g.week for g in games],
            "stage": [g.stage for g in games],
        }
    )
    wrong = _wrong_finals(score_frame, final_frame)
    left_out = {
        row["game"]: (
            f"scores add up to {row['home_sum']}-{row['away_sum']} (home first), "
            f"the archive's final is {row['home_points']}-{row['away_points']}"
        )
        for row in wrong.iter_rows(named=True)
    }
    keep = lines.filter(~pl.col("game").is_in(list(left_out)))
    table = (
        keep.join(about, on="game", how="left", maintain_order="left")
        .join(final_frame.select("game", "home", "away"), on="game", how="left",
              maintain_order="left")
        .sort("game", "play")
    )  # fmt: skip
    table = table.with_columns(
        level=pl.lit("professional"),
        kind=archive_columns.kind(),
        no_play=archive_columns.no_play(),
        offense=archive_columns.offense(),
        timeout_by=archive_columns.timeout_by(),
    )
    table = _fill_clock(table)
    table = derive.clocks(table)
    table = _scores_before(table, score_frame)
    table = derive.sides(table)
    table = table.with_columns(**archive_columns.situation())
    table = table.with_columns(
        **archive_columns.play(), **archive_columns.kick(), **archive_columns.penalty()
    )
    table = derive.timeouts(table)
    table = derive.second_half_receiver(table)
    table = derive.drives(table)
    table = derive.next_scores(table, score_frame.filter(pl.col("what") != "try return"))
    table = derive.results(table, final_frame.drop("home", "away"))
    plays = validate(conform(table))
    return Reading(
        source=source,
        plays=plays,
        games_read=len(games),
        finals_reproduced=len(games) - len(left_out),
        left_out=left_out,
    )


def _wrong_finals(scores: pl.DataFrame, finals: pl.DataFrame) -> pl.DataFrame:
    """Games whose list of scores does not add up to the final."""
    total = (
        scores.group_by("game", "team")
        .agg((pl.col("points") + pl.col("extra")).sum().alias("sum"))
    )  # fmt: skip
    both = finals
    for side in ("home", "away"):
        both = both.join(
            total.rename({"sum": f"{side}_sum", "team": side}), on=["game", side], how="left"
        ).with_columns(pl.col(f"{side}_sum").fill_null(0))
    return both.filter(
        (pl.col("home_sum") != pl.col("home_points"))
        | (pl.col("away_sum") != pl.col("away_points"))
    ).sort("game")


def _fill_clock(table: pl.DataFrame) -> pl.DataFrame:
    """Lines without a clock (end of quarter) take the one before; the first of a period 15:00."""
    clock = pl.col("clock").forward_fill().over("game", "period")
    return table.with_columns(clock.fill_null(900).clip(0, 900).alias("clock"))


def _scores_before(table: pl.DataFrame, scores: pl.DataFrame) -> pl.DataFrame:
    """Points of both teams before each line, and points of either side on the line.

    The points of a try count from the line after it: a cancelled try is still a try, and a
    time-out between touchdown and try comes before it.
    """
    is_try = pl.col("kind").is_in(["extra point", "two-point"]) | (
        (pl.col("down") == 0) & pl.col("text").str.contains("extra point|TWO-POINT")
    )
    between = ~is_try & pl.col("kind").is_in(["time-out", "other"])
    awaited = pl.when(between).then(None).otherwise(is_try).backward_fill().over("game")
    base = table.select("game", "play", awaited.fill_null(False).alias("is_try"))
    after_try = (
        scores.filter(pl.col("extra") > 0)
        .sort("game", "play")
        .join_asof(
            base.filter(~pl.col("is_try")).with_columns(pl.col("play").alias("next")),
            on="play", by="game", strategy="forward", allow_exact_matches=False,
            check_sortedness=False,
        )
        .select("game", pl.col("next").fill_null(10**6).alias("from"), "team",
                pl.col("extra").alias("points"))
    )  # fmt: skip
    after_score = scores.select("game", (pl.col("play") + 1).alias("from"), "team", "points")
    events = pl.concat([after_score, after_try.with_columns(pl.col("from").cast(pl.Int32))])
    running = table.select("game", "play", "home", "away")
    for side in ("home", "away"):
        team = (
            events.join(table.select("game", "home", "away").unique("game"), on="game")
            .filter(pl.col("team") == pl.col(side))
            .sort("game", "from")
            .with_columns(pl.col("points").cum_sum().over("game").alias(f"{side}_score"))
            .select("game", pl.col("from").alias("play"), f"{side}_score")
            .unique(["game", "play"], keep="last", maintain_order=True)
        )
        running = running.join_asof(
            team, on="play", by="game", strategy="backward", check_sortedness=False
        ).with_columns(pl.col(f"{side}_score").fill_null(0))
    at_home = pl.coalesce("offense", "home") == pl.col("home")
    table = table.with_columns(running["home_score"], running["away_score"])
    on_line = scores.filter(pl.col("what") != "try return").select(
        "game", "play", pl.col("team").alias("_scorer"), pl.col("points").alias("_points")
    )
    table = table.join(on_line, on=["game", "play"], how="left", maintain_order="left")
    ours = pl.col("_scorer") == pl.coalesce("offense", "home")
    return table.with_columns(
        pl.when(at_home).then("home_score").otherwise("away_score").alias("offense_score"),
        pl.when(at_home).then("away_score").otherwise("home_score").alias("defense_score"),
        pl.when(ours).then("_points").otherwise(0).alias("points_offense"),
        pl.when(~ours).then("_points").otherwise(0).alias("points_defense"),
    )
