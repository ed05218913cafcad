"""The open play-by-play archive, 2009 to 2019, as the neutral play table."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import polars as pl

from pointsleft_models.football.field import KICK_EXTRA
from pointsleft_models.plays import archive_rows, derive
from pointsleft_models.plays.archive_files import ArchiveFiles, GameFile
from pointsleft_models.plays.reading import Progress, Reading, quiet
from pointsleft_models.plays.schema import conform, validate

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
        level=pl.lit("professional"), kind=_kind(), no_play=_no_play(), raw_clock=pl.col("clock")
    )
    table = _fill_clock(table)
    table = derive.clocks(table)
    table = _scores_before(table, score_frame)
    table = derive.sides(table)
    table = table.with_columns(**_situation())
    table = table.with_columns(**_play(), **_kick(), **_penalty())
    table = derive.timeouts(table, _timeout_team())
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


def _any(*columns: str) -> pl.Expr:
    return pl.any_horizontal(pl.col(c).is_not_null() for c in columns)


def _kind() -> pl.Expr:
    """What a line is, from its statistic ids (and its text where no id marks it).

    Ids: 2 and 29-32 punts; 41-44 kickoffs; 69-71, 87 and 88 field goals; 72-74 kicked tries;
    75-78 two-point tries; 14-16 and 19 passes; 20 sacks; 10-13 runs.
    """
    text = pl.col("text")
    has_down = pl.col("down") > 0
    return (
        pl.when(_any("f72", "f73", "f74"))
        .then(pl.lit("extra point"))
        .when(_any("f75", "f76", "f77", "f78") | (~has_down & text.str.contains("TWO-POINT")))
        .then(pl.lit("two-point"))
        .when(_any("y41", "y42", "y43", "y44"))
        .then(pl.lit("kickoff"))
        .when(_any("f2", "y29", "y30", "y31", "y32"))
        .then(pl.lit("punt"))
        .when(_any("y69", "y70", "y71", "y87", "y88"))
        .then(pl.lit("field goal"))
        .when(_any("y14", "y15", "y16", "y19") & text.str.contains(r"\bspiked\b"))
        .then(pl.lit("spike"))
        .when(_any("y14", "y15", "y16", "y19"))
        .then(pl.lit("pass"))
        .when(_any("y20"))
        .then(pl.lit("sack"))
        .when(_any("y10", "y11", "y12", "y13") & text.str.contains(r"\bkneels\b"))
        .then(pl.lit("kneel"))
        .when(_any("y10", "y11", "y12", "y13") & text.str.contains(r"\bscrambles\b"))
        .then(pl.lit("scramble"))
        .when(_any("y10", "y11", "y12", "y13"))
        .then(pl.lit("run"))
        .when(text.str.contains("(?i)penalty") & has_down)
        .then(pl.lit("penalty"))
        .when(text.str.contains(r"(?i)^time-?out") | pl.col("timeout_team").is_not_null())
        .then(pl.lit("time-out"))
        .otherwise(pl.lit("other"))
    )


def _no_play() -> pl.Expr:
    return pl.col("text").str.contains("No Play", literal=True)


def _fill_clock(table: pl.DataFrame) -> pl.DataFrame:
    """Lines without a clock (end of quarter) take the one before; the first of a period 15:00."""
    clock = pl.col("clock").forward_fill().over("game", "period")
    return table.with_columns(clock.fill_null(900).clip(0, 900).alias("clock"))


def _scores_before(table: pl.DataFrame, scores: pl.DataFrame) -> pl.DataFrame:
    """Points of both teams before each line, and points of either side on the line.

    The points of a try count from the line after the touchdown that is not itself a try.
    """
    is_try = pl.col("kind").is_in(["extra point", "two-point"]) | (
        (pl.col("down") == 0) & pl.col("text").str.contains("extra point|TWO-POINT")
    )
    base = table.select("game", "play", is_try.alias("is_try"))
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
    at_home = pl.col("offense") == pl.col("home")
    table = table.with_columns(running["home_score"], running["away_score"])
    on_line = scores.filter(pl.col("what") != "try return").select(
        "game", "play", pl.col("team").alias("_scorer"), pl.col("points").alias("_points")
    )
    table = table.join(on_line, on=["game", "play"], how="left", maintain_order="left")
    ours = pl.col("_scorer") == pl.col("offense")
    return table.with_columns(
        pl.when(at_home).then("home_score").otherwise("away_score").alias("offense_score"),
        pl.when(at_home).then("away_score").otherwise("home_score").alias("defense_score"),
        pl.when(ours).then("_points").otherwise(0).alias("points_offense"),
        pl.when(~ours).then("_points").otherwise(0).alias("points_defense"),
    )


def _situation() -> dict[str, pl.Expr]:
    spot = pl.col("spot").str.strip_chars()
    number = spot.str.extract(r"(\d+)$").cast(pl.Int32, strict=False)
    team = spot.str.extract(r"^([A-Z]+)\s")
    own = team == pl.col("offense")
    yards = pl.when(spot == "50").then(50).when(own).then(100 - number).otherwise(number)
    scrimmage = (pl.col("down") > 0) & yards.is_between(1, 99)
    return {
        "offense": pl.when(pl.col("offense") == "").then(None).otherwise(pl.col("offense")),
        "yards_to_goal": pl.when(yards.is_between(1, 99)).then(yards),
        "down": pl.when(scrimmage).then(pl.col("down")),
        # a line to gain beyond the goal line is the goal line
        "distance": pl.when(scrimmage & (pl.col("distance") > 0)).then(
            pl.min_horizontal(pl.col("distance"), yards)
        ),
        "shotgun": pl.col("text").str.contains("(Shotgun)", literal=True),
        "no_huddle": pl.col("text").str.contains("(No Huddle", literal=True),
    }


def _play() -> dict[str, pl.Expr]:
    """Ids 10-13 rushing yards, 15/16 passing, 20 sacked; 11, 16 touchdowns; 115 target; 25-28
    interception returns, 59-62 fumble returns of the other side; 111/112 air yards, 113 after
    the catch."""
    text = pl.col("text")
    zero = pl.lit(0, dtype=pl.Int32)

    def total(*ids: int) -> pl.Expr:
        return pl.sum_horizontal(pl.col(f"y{i}").fill_null(zero) for i in ids)

    kind = pl.col("kind")
    passing = kind.is_in(["pass", "spike"])
    running = kind.is_in(["run", "scramble", "kneel"])
    end_points = pl.col("points_offense")
    where = text.str.extract(r"pass(?: incomplete)? (?:short|deep) (left|middle|right)")
    run_side = text.str.extract(r" (left|right) (?:end|tackle|guard)")
    gap = text.str.extract(r" (?:left|right) (end|tackle|guard)")
    up_middle = text.str.contains("up the middle", literal=True)
    return {
        "gain": pl.when(kind == "pass")
        .then(total(15, 16))
        .when(kind == "sack")
        .then(total(20))
        .when(running)
        .then(total(10, 11, 12, 13)),
        "touchdown": (end_points == 6) & ~kind.is_in(["kickoff", "punt"]),
        "defense_touchdown": pl.col("points_defense") == 6,
        "safety": (pl.col("points_defense") == 2),
        "targeted": pl.when(kind == "pass")
        .then(_any("f115", "y19", "f21", "f22"))
        .when(kind == "two-point")
        .then(_any("f77", "f78")),
        "complete": pl.when(passing).then(_any("y15", "y16")),
        "intercepted": pl.when(passing).then(_any("y19")),
        "air_yards": pl.when(kind == "pass").then(pl.coalesce("y111", "y112")).clip(-30, 99),
        "yards_after_catch": pl.when((kind == "pass") & pl.col("y113").is_between(-40, 99)).then(
            "y113"
        ),
        "third": pl.when(kind == "pass").then(where),
        "quarterback_hit": pl.when(kind.is_in(["pass", "sack"])).then(_any("y110")),
        "gap": pl.when(kind == "run").then(
            pl.when(up_middle).then(pl.lit("middle")).otherwise(gap)
        ),
        "run_side": pl.when(kind == "run").then(
            pl.when(up_middle).then(pl.lit("middle")).otherwise(run_side)
        ),
        "fumble": _any("f52", "f53", "f54") & kind.is_in(["pass", "sack", "run", "scramble"]),
        "fumble_lost": _any("f106")
        & _any("y59", "y60", "y61", "y62")
        & ~_any("y19")
        & kind.is_in(["pass", "sack", "run", "scramble"]),
        "out_of_bounds": text.str.contains(r"\bob at\b|pushed ob|ran ob|out of bounds"),
        "return_yards": pl.when(kind == "punt")
        .then(total(33, 34, 35, 36))
        .when(kind == "kickoff")
        .then(total(45, 46, 47, 48))
        .when(_any("y19"))
        .then(total(25, 26, 27, 28))
        .when(_any("y59", "y60"))
        .then(total(59, 60)),
    }


def _kick() -> dict[str, pl.Expr]:
    """Ids 70 made, 69 missed, 71 blocked field goals; 29 punt yards, 2 blocked; 37 out of bounds,
    38 downed, 39 fair catch, 40 touchback of a punt; 41-44 kickoff yards, 51 touchback."""
    kind = pl.col("kind")
    text = pl.col("text")
    said = text.str.extract(r"(\d+) yard field goal").cast(pl.Int32, strict=False)
    kicked = pl.coalesce("y41", "y42", "y43", "y44")  # one line credits the kick twice
    return {
        "kick_distance": pl.when(kind == "field goal")
        .then(pl.coalesce(said, pl.col("yards_to_goal") + KICK_EXTRA))
        .when(kind == "punt")
        .then(pl.coalesce("y29", "y30", "y31", "y32"))
        .when(kind == "kickoff")
        .then(pl.when(kicked <= 100).then(kicked))
        .when(kind == "extra point")
        .then(pl.lit(None, dtype=pl.Int32)),
        "kick_result": pl.when((kind == "field goal") & _any("y70"))
        .then(pl.lit("good"))
        .when((kind == "field goal") & (_any("y71", "y87") | text.str.contains("BLOCKED")))
        .then(pl.lit("blocked"))
        .when(kind == "field goal")
        .then(pl.lit("missed"))
        .when((kind == "extra point") & _any("f72"))
        .then(pl.lit("good"))
        .when((kind == "extra point") & _any("f74"))
        .then(pl.lit("blocked"))
        .when(kind == "extra point")
        .then(pl.lit("missed"))
        .when((kind == "two-point") & _any("f75", "f77"))
        .then(pl.lit("good"))
        .when((kind == "two-point") & _any("f76", "f78"))
        .then(pl.lit("missed"))
        .when((kind == "punt") & _any("f2"))
        .then(pl.lit("blocked"))
        .when((kind == "punt") & (_any("f40", "y32")))
        .then(pl.lit("touchback"))
        .when((kind == "punt") & _any("f39"))
        .then(pl.lit("fair catch"))
        .when((kind == "punt") & _any("f38"))
        .then(pl.lit("downed"))
        .when((kind == "punt") & _any("f37"))
        .then(pl.lit("out of bounds"))
        .when((kind == "kickoff") & text.str.contains("(?i)onside"))
        .then(pl.lit("onside"))
        .when((kind == "kickoff") & _any("f51", "y44"))
        .then(pl.lit("touchback"))
        .when((kind == "kickoff") & _any("f49"))
        .then(pl.lit("out of bounds"))
        .when((kind == "kickoff") & _any("f50"))
        .then(pl.lit("fair catch"))
        .when(kind.is_in(["punt", "kickoff"]))
        .then(pl.lit("returned")),
    }


def _penalty() -> dict[str, pl.Expr]:
    text = pl.col("text")
    pattern = r"PENALTY on ([A-Z]{2,3})[^,]*, ([A-Za-z][^,]*?), (\d+) yards?, enforced"
    team = text.str.extract(pattern, 1)
    return {
        "penalty_on": pl.when(team == pl.col("offense"))
        .then(pl.lit("offense"))
        .when(team.is_not_null())
        .then(pl.lit("defense")),
        "penalty_yards": text.str.extract(pattern, 3).cast(pl.Int32, strict=False),
        "foul": text.str.extract(pattern, 2),
    }


def _timeout_team() -> pl.Expr:
    """Team charged: the statistic where it is kept, else the text of the line."""
    said = pl.col("text").str.extract(r"^Timeout #\d by ([A-Z]{2,3})")
    return pl.coalesce("timeout_team", said)
