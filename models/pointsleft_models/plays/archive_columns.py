"""What an archive line says, column by column: statistic ids and text as expressions.

Every function gives Polars expressions over the rows of
:mod:`~pointsleft_models.plays.archive_rows`; the ids are explained where they are used.
"""

from __future__ import annotations

import polars as pl

from pointsleft_models.football.field import KICK_EXTRA


def _any(*columns: str) -> pl.Expr:
    return pl.any_horizontal(pl.col(c).is_not_null() for c in columns)


def kind() -> pl.Expr:
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


def no_play() -> pl.Expr:
    return pl.col("text").str.contains("No Play", literal=True)


def offense() -> pl.Expr:
    """Team with the ball; empty on time-outs and at the end of a period."""
    return pl.when(pl.col("offense") != "").then(pl.col("offense"))


def situation() -> dict[str, pl.Expr]:
    spot = pl.col("spot").str.strip_chars()
    number = spot.str.extract(r"(\d+)$").cast(pl.Int32, strict=False)
    team = spot.str.extract(r"^([A-Z]+)\s")
    own = team == pl.col("offense")
    yards = pl.when(spot == "50").then(50).when(own).then(100 - number).otherwise(number)
    scrimmage = (pl.col("down") > 0) & yards.is_between(1, 99)
    return {
        "yards_to_goal": pl.when(yards.is_between(1, 99)).then(yards),
        "down": pl.when(scrimmage).then(pl.col("down")),
        # a line to gain beyond the goal line is the goal line
        "distance": pl.when(scrimmage & (pl.col("distance") > 0)).then(
            pl.min_horizontal(pl.col("distance"), yards)
        ),
        "shotgun": pl.col("text").str.contains("(Shotgun)", literal=True),
        "no_huddle": pl.col("text").str.contains("(No Huddle", literal=True),
    }


def play() -> dict[str, pl.Expr]:
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


def kick() -> dict[str, pl.Expr]:
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


def penalty() -> dict[str, pl.Expr]:
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


def timeout_by() -> pl.Expr:
    """Side charged with a time-out: the statistic where it is kept, else the line's text."""
    said = pl.col("text").str.extract(r"^Timeout #\d by ([A-Z]{2,3})")
    team = pl.coalesce("timeout_team", said)
    return (
        pl.when(team == pl.col("home"))
        .then(pl.lit("home"))
        .when(team == pl.col("away"))
        .then(pl.lit("away"))
    )
