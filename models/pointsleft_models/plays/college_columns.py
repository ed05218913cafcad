"""The college season's columns and play texts in neutral facts: the only place that knows them.

One row is a line of the feed; scores on it are those *after* the play, and a touchdown's row has
its try in brackets. There is no column for the two teams of a game, for time-outs or for a lost
ball: spots, scores and the text say so.
"""

from __future__ import annotations

import polars as pl

#: Columns read, and the kind of each.
WANTED: dict[str, str] = {
    "season": "int", "game_id": "text", "play_id": "text", "quarter": "int",
    "home_score": "int", "away_score": "int", "type": "text", "start_clock": "text",
    "start_down": "int", "start_distance": "int", "start_spot": "int", "start_team": "text",
    "start_yards_to_endzone": "int", "end_team": "text", "yards_gained": "int", "desc": "text",
}  # fmt: skip

_KINDS = {
    "Kickoff": "kickoff", "Kickoff Return (Offense)": "kickoff",
    "Kickoff Return Touchdown": "kickoff", "Rush": "run", "Rushing Touchdown": "run",
    "Pass Reception": "pass", "Pass Incompletion": "pass", "Passing Touchdown": "pass",
    "Pass Interception Return": "pass", "Interception Return Touchdown": "pass", "Sack": "sack",
    "Punt": "punt", "Blocked Punt": "punt", "Punt Return Touchdown": "punt",
    "Blocked Punt Touchdown": "punt", "Field Goal Good": "field goal",
    "Field Goal Missed": "field goal", "Blocked Field Goal": "field goal",
    "Blocked Field Goal Touchdown": "field goal", "Missed Field Goal Return": "field goal",
    "Missed Field Goal Return Touchdown": "field goal", "Penalty": "penalty",
    "Timeout": "time-out", "Defensive 2pt Conversion": "two-point",
}  # fmt: skip

#: Losses of up to so many yards by nobody in particular are kneel-downs; more is a bad snap.
KNEEL_LOSS = 3

_LIVE = ("pass", "run", "sack")
SNAPS = (*_LIVE, "kneel", "spike", "punt", "field goal", "penalty")


def kind() -> pl.Expr:
    """What a row is: by its type, and by its text where the type says what became of the ball."""
    text = pl.col("desc")
    told = (
        pl.when(text.str.contains(r"(?i)\bsacked\b"))
        .then(pl.lit("sack"))
        .when(text.str.contains(r"(?i)\bkickoff\b|on-side kick"))
        .then(pl.lit("kickoff"))
        .when(text.str.contains(r"(?i)\bpunt\b"))
        .then(pl.lit("punt"))
        .when(text.str.contains(r"(?i)\byd FG\b|field goal"))
        .then(pl.lit("field goal"))
        .when(text.str.contains(r"(?i)\bpass (complete|incomplete|intercepted)|\bpass from\b"))
        .then(pl.lit("pass"))
        .when(text.str.contains(r"(?i)\b(run|rush) for\b|\d Yd Run"))
        .then(pl.lit("run"))
        .otherwise(pl.lit("other"))
    )
    typed = pl.col("type").replace_strict(_KINDS, default=None, return_dtype=pl.String)
    no_snap = pl.col("type").str.starts_with("End ") | (pl.col("type") == "Coin Toss")
    found = (
        pl.when(no_snap.fill_null(False)).then(pl.lit("other")).otherwise(pl.coalesce(typed, told))
    )
    nobody = text.str.contains(r"^(?i:team) (run|rush)\b")
    loss = -pl.col("yards_gained")
    return (
        pl.when(
            (found == "run")
            & nobody
            & loss.is_between(0, KNEEL_LOSS)
            & ~text.str.contains("(?i)safety|fumble")
        )
        .then(pl.lit("kneel"))
        .when((found == "pass") & text.str.contains(r"^(?i:team) pass incomplete"))
        .then(pl.lit("spike"))
        .otherwise(found)
    )


def situation() -> dict[str, pl.Expr]:
    """Down, distance and spot of a snap or a kick; needs ``kind``."""
    spot = pl.col("start_yards_to_endzone")
    kind = pl.col("kind")
    spot = pl.when(spot.is_between(1, 99) & kind.is_in([*SNAPS, "kickoff"])).then(spot)
    snap = kind.is_in(SNAPS) & pl.col("start_down").is_between(1, 4) & spot.is_not_null()
    distance = pl.col("start_distance")
    # goal to go is written as 0; elsewhere 0 and less are slips of the pen
    goal = (distance <= 0) & (spot <= 15)
    return {
        "yards_to_goal": spot,
        "down": pl.when(snap & ((distance > 0) | goal)).then("start_down"),
        "distance": pl.when(snap & goal)
        .then(spot)
        .when(snap & (distance > 0))
        .then(pl.min_horizontal(distance, spot)),
    }


def play() -> dict[str, pl.Expr]:
    """What became of a snap; needs ``kind``, and ``_passed`` of tries."""
    kind, text, type_ = pl.col("kind"), pl.col("desc"), pl.col("type").fill_null("")
    passed = kind.is_in(["pass", "spike"])
    lost_ball = type_.is_in(["Fumble Recovery (Opponent)", "Fumble Return Touchdown"])
    changed = pl.col("end_team").is_not_null() & (pl.col("end_team") != pl.col("start_team"))
    fumbled = text.str.contains(r"(?i)\bfumble") | lost_ball
    intercepted = type_.str.contains("Interception") | (
        passed & text.str.contains(r"(?i)\bpass intercepted")
    )
    complete = text.str.contains(r"(?i)\bpass complete|\bpass from\b")
    live = kind.is_in(_LIVE)
    return {
        "gain": pl.when(live & intercepted)
        .then(0)
        .when(live | (kind == "kneel"))
        .then(pl.when(fumbled).then(_told_gain()).otherwise("yards_gained").clip(-99, 99)),
        "targeted": pl.when((kind == "pass") & (complete | intercepted))
        .then(True)
        .when((kind == "pass") & text.str.contains(r"(?i)\bincomplete to\b"))
        .then(True)
        .when(kind == "two-point")
        .then("_passed"),
        "complete": pl.when(passed).then(complete & ~intercepted),
        "intercepted": pl.when(passed).then(intercepted),
        "fumble": live & fumbled & ~intercepted,
        # a fourth down that fails changes hands as well
        "fumble_lost": live
        & ~intercepted
        & (lost_ball | (fumbled & changed & (pl.col("start_down") < 4))),
        "return_yards": pl.when(intercepted | kind.is_in(["kickoff", "punt"])).then(
            pl.col("yards_gained").clip(-99, 110)
        ),
    }


def _told_gain() -> pl.Expr:
    """Net gain by the words before any fumble: ``for 6 yds``, ``loss of 2 yards``, ``no gain``."""
    text = pl.col("desc").str.replace(r"(?i)\bfumble.*", "")
    loss = text.str.extract(r"(?i)loss of (\d+) y").cast(pl.Int32, strict=False)
    gain = text.str.extract(r"(?i)\bfor (\d+) y").cast(pl.Int32, strict=False)
    none = text.str.contains(r"(?i)no gain")
    return pl.coalesce(-loss, gain, pl.when(none).then(0))


def kick() -> dict[str, pl.Expr]:
    """Distance and end of a kick or a try; needs ``kind``, and ``_made`` of tries."""
    kind, text, type_ = pl.col("kind"), pl.col("desc"), pl.col("type").fill_null("")
    yards = pl.coalesce(
        text.str.extract(r"(?i)(\d+) yd FG"),
        text.str.extract(r"(?i)(?:punt|kickoff) for (-?\d+) y"),
        pl.when(kind == "field goal").then(pl.col("yards_gained").cast(pl.String)),
    ).cast(pl.Int32, strict=False)
    blocked = type_.str.contains("Blocked") | text.str.contains(r"(?i)\bFG BLOCKED|punt blocked")
    ended = (
        pl.when((kind == "punt") & blocked)
        .then(pl.lit("blocked"))
        .when(text.str.contains("(?i)on-?side"))
        .then(pl.lit("onside"))
        .when(text.str.contains("(?i)touchback"))
        .then(pl.lit("touchback"))
        .when(text.str.contains("(?i)fair catch"))
        .then(pl.lit("fair catch"))
        .when(text.str.contains("(?i)downed"))
        .then(pl.lit("downed"))
        .when(text.str.contains("(?i)out.of.bounds"))
        .then(pl.lit("out of bounds"))
        .otherwise(pl.lit("returned"))
    )
    goal = (
        pl.when(type_ == "Field Goal Good")
        .then(pl.lit("good"))
        .when(blocked)
        .then(pl.lit("blocked"))
        .when(type_ == "")
        .then(pl.when(text.str.contains("(?i)FG GOOD")).then(pl.lit("good")))
        .otherwise(pl.lit("missed"))
    )
    kicked = kind.is_in(["field goal", "punt", "kickoff"])
    return {
        "kick_distance": pl.when(kicked & yards.is_between(-10, 100)).then(yards),
        "kick_result": pl.when(kind.is_in(["punt", "kickoff"]))
        .then(ended)
        .when(kind == "field goal")
        .then(goal)
        .when(kind.is_in(["extra point", "two-point"]))
        .then(
            pl.when(pl.col("_made").fill_null(False))
            .then(pl.lit("good"))
            .otherwise(pl.lit("missed"))
        ),
    }


def try_kind() -> pl.Expr:
    """The try told in brackets on a touchdown's row: ``extra point``, ``two-point`` or nothing."""
    text = pl.col("desc")
    two = text.str.contains(r"(?i)conversion|\bintercepted ?\)\s*$")
    kicked = text.str.contains(r"(?i)\bkick\)?\s*$|\bPAT\b")
    return pl.when(two).then(pl.lit("two-point")).when(kicked).then(pl.lit("extra point"))


def try_passed() -> pl.Expr:
    """Whether a two-point try was a pass, where its words say so."""
    text = pl.col("desc")
    return (
        pl.when(text.str.contains(r"(?i)\bintercepted ?\)\s*$|two-point pass conv"))
        .then(True)
        .when(text.str.contains(r"(?i)\(.*\bpass\b.* for two-point"))
        .then(True)
        .when(text.str.contains(r"(?i)\(.*\brun\b.* for two-point|two-point run conv"))
        .then(False)
    )


def called_by() -> pl.Expr:
    """Name of the team that called time, as the text spells it."""
    return pl.col("desc").str.extract(r"(?i)\btime-?out (.*?), clock")


def penalised() -> pl.Expr:
    """Name of the team of an enforced penalty, as the text spells it."""
    text = pl.when(~pl.col("desc").str.contains("(?i)declined|off-?set")).then("desc")
    return text.str.extract(r"([A-Z][A-Z.&'() -]*[A-Z.)]) Penalty,")


def penalty_yards() -> pl.Expr:
    return (
        pl.col("desc")
        .str.extract(r"(?i)\(-?(\d+) yards?\)|\b(\d+) yards to the [^,]*, NO PLAY")
        .cast(pl.Int32, strict=False)
    )
