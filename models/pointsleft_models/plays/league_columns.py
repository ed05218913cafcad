"""The play-by-play of ``nflreadpy`` in the neutral columns: the only place that knows its names.

On its kickoffs the team with the ball is the receiver and the spot is seen from there; here the
kicking team is the offense, so both are turned round. Scores are taken before the play; points
of a row are what it says afterwards. Game identifiers are the old ones (date and number of the
game of that day), which the archive and the participation data use.
"""

from __future__ import annotations

import polars as pl

from pointsleft_models.plays.cells import TYPES
from pointsleft_models.plays.games import ROOFS
from pointsleft_models.plays.schema import BY_NAME

#: Columns read, and the kind of each.
WANTED: dict[str, str] = {
    "old_game_id": "text", "play_id": "int", "season": "int", "week": "int",
    "season_type": "text", "home_team": "text", "away_team": "text", "home_score": "int",
    "away_score": "int", "spread_line": "float", "roof": "text", "temp": "float", "wind": "float",
    "qtr": "int", "quarter_seconds_remaining": "int", "posteam": "text", "defteam": "text",
    "posteam_score": "int", "defteam_score": "int", "posteam_score_post": "int",
    "defteam_score_post": "int", "timeout": "int", "timeout_team": "text", "down": "int",
    "ydstogo": "int", "yardline_100": "int", "desc": "text", "play_type": "text",
    "shotgun": "int", "no_huddle": "int", "sack": "int", "qb_scramble": "int", "qb_hit": "int",
    "qb_kneel": "int", "qb_spike": "int",
    "two_point_attempt": "int", "yards_gained": "int",
    "pass_attempt": "int", "complete_pass": "int", "interception": "int",
    "receiver_player_id": "text", "air_yards": "int", "yards_after_catch": "int",
    "pass_location": "text", "run_location": "text", "run_gap": "text", "fumble": "int",
    "fumble_lost": "int", "return_yards": "int", "fumble_recovery_1_yards": "int",
    "out_of_bounds": "int", "kick_distance": "int", "field_goal_result": "text",
    "extra_point_result": "text", "two_point_conv_result": "text", "punt_blocked": "int",
    "touchback": "int", "punt_fair_catch": "int", "punt_downed": "int",
    "punt_out_of_bounds": "int", "kickoff_fair_catch": "int", "kickoff_out_of_bounds": "int",
    "penalty": "int", "penalty_team": "text", "penalty_yards": "int", "penalty_type": "text",
}  # fmt: skip

_STAGES = {"REG": "regular", "POST": "playoff"}
_SNAPS = ("pass", "sack", "run", "scramble")


def typed(frame: pl.DataFrame) -> pl.DataFrame:
    """The wanted columns, each of its kind.

    Raises
    ------
    ValueError
        Names the columns that the table lacks.
    """
    missing = [name for name in WANTED if name not in frame.columns]
    if missing:
        raise ValueError(f"it lacks the columns {', '.join(missing)}")
    return frame.select(
        pl.col(name).cast(TYPES[kind], strict=False) for name, kind in WANTED.items()
    )


def final_scores(frame: pl.DataFrame) -> pl.DataFrame:
    """``game``, ``home_points``, ``away_points`` of every game."""
    return frame.group_by("old_game_id", maintain_order=True).agg(
        home_points=pl.col("home_score").first(), away_points=pl.col("away_score").first()
    ).rename({"old_game_id": "game"})  # fmt: skip


def neutral_plays(frame: pl.DataFrame) -> pl.DataFrame:
    """Required columns and facts of every play; what follows from them is not worked out here."""
    frame = typed(frame).rename({"old_game_id": "game"}).sort("game", "play_id")
    frame = frame.with_columns(kind=_kind(), _home=_running("home"), _away=_running("away"))
    clock = pl.col("quarter_seconds_remaining").forward_fill().over("game", "qtr")
    frame = frame.with_columns(clock=clock.fill_null(900).clip(0, 900))
    kickoff = pl.col("kind") == "kickoff"
    frame = frame.with_columns(
        offense=_filled(pl.when(kickoff).then("defteam").otherwise("posteam"))
    )
    frame = frame.with_columns(**_situation(kickoff))
    frame = frame.with_columns(**_points())
    return frame.with_columns(**_play(), **_kick(), **_penalty()).select(
        name for name in BY_NAME if name in {*_BUILT, *_AS_THEY_ARE}
    )


#: Columns that carry the same name here and there.
_AS_THEY_ARE = ("game", "season", "week", "kind", "clock", "offense")
_BUILT = (
    "stage", "level", "home", "away", "home_spread", "roof", "temperature", "wind", "play",
    "no_play", "period", "offense_score", "defense_score", "timeout_by", "down", "distance",
    "yards_to_goal", "shotgun", "no_huddle", "gain", "touchdown", "defense_touchdown", "safety",
    "targeted", "complete", "intercepted", "air_yards", "yards_after_catch", "third",
    "quarterback_hit", "gap", "run_side", "fumble", "fumble_lost", "return_yards",
    "out_of_bounds", "kick_distance", "kick_result", "penalty_on", "penalty_yards", "foul",
    "points_offense", "points_defense",
)  # fmt: skip


def _filled(text: pl.Expr) -> pl.Expr:
    return pl.when(text.str.strip_chars() != "").then(text)


def _yes(name: str) -> pl.Expr:
    return pl.col(name).fill_null(0) == 1


def _kind() -> pl.Expr:
    play = pl.col("play_type")
    wiped_out = (play == "no_play") & ~_yes("timeout")
    return (
        pl.when(play == "extra_point")
        .then(pl.lit("extra point"))
        .when(_yes("two_point_attempt"))
        .then(pl.lit("two-point"))
        .when(play == "kickoff")
        .then(pl.lit("kickoff"))
        .when(play == "punt")
        .then(pl.lit("punt"))
        .when(play == "field_goal")
        .then(pl.lit("field goal"))
        .when((play == "qb_kneel") | (_yes("qb_kneel") & (play == "run")))
        .then(pl.lit("kneel"))
        .when((play == "qb_spike") | (_yes("qb_spike") & (play == "pass")))
        .then(pl.lit("spike"))
        .when((play == "pass") & _yes("sack"))
        .then(pl.lit("sack"))
        .when(play.is_in(["pass", "run"]) & _yes("qb_scramble"))
        .then(pl.lit("scramble"))
        .when(play == "pass")
        .then(pl.lit("pass"))
        .when(play == "run")
        .then(pl.lit("run"))
        .when((wiped_out | _yes("penalty")) & pl.col("down").is_not_null())
        .then(pl.lit("penalty"))
        .when(_yes("timeout"))
        .then(pl.lit("time-out"))
        .otherwise(pl.lit("other"))
    )


def _running(side: str) -> pl.Expr:
    """A team's points before each row; where the row has none, those after the row before."""
    with_ball = pl.col("posteam") == pl.col(f"{side}_team")
    known = pl.col("posteam").is_not_null() & (pl.col("posteam") != "")
    before = pl.when(with_ball).then("posteam_score").otherwise("defteam_score")
    after = pl.when(with_ball).then("posteam_score_post").otherwise("defteam_score_post")
    last = pl.when(known).then(after).forward_fill().shift(1).over("game")
    return pl.coalesce(pl.when(known).then(before), last, pl.lit(0)).cast(pl.Int32)


def _situation(kickoff: pl.Expr) -> dict[str, pl.Expr]:
    at_home = pl.coalesce("offense", "home_team") == pl.col("home_team")
    spot = pl.when(kickoff).then(100 - pl.col("yardline_100")).otherwise(pl.col("yardline_100"))
    spot = pl.when(spot.is_between(1, 99)).then(spot).cast(pl.Int32)
    scrimmage = pl.col("down").is_between(1, 4) & spot.is_not_null()
    caller = pl.when(_yes("timeout")).then("timeout_team")
    return {
        "stage": pl.col("season_type").replace_strict(
            _STAGES, default=None, return_dtype=pl.String
        ),
        "level": pl.lit("professional"),
        "home": pl.col("home_team"),
        "away": pl.col("away_team"),
        "home_spread": pl.col("spread_line"),
        "roof": pl.col("roof").replace_strict(ROOFS, default=None, return_dtype=pl.String),
        "temperature": pl.col("temp").round().cast(pl.Int32),
        "wind": pl.col("wind").round().cast(pl.Int32),
        "play": pl.col("play_id"),
        "no_play": (pl.col("play_type") == "no_play").fill_null(False)
        & (pl.col("kind") != "time-out"),
        "period": pl.col("qtr"),
        "offense_score": pl.when(at_home).then("_home").otherwise("_away"),
        "defense_score": pl.when(at_home).then("_away").otherwise("_home"),
        "timeout_by": pl.when(caller == pl.col("home_team"))
        .then(pl.lit("home"))
        .when(caller == pl.col("away_team"))
        .then(pl.lit("away")),
        "yards_to_goal": spot,
        "down": pl.when(scrimmage).then("down"),
        # a line to gain beyond the goal line is the goal line
        "distance": pl.when(scrimmage & (pl.col("ydstogo") > 0)).then(
            pl.min_horizontal("ydstogo", spot)
        ),
        "shotgun": _yes("shotgun"),
        "no_huddle": _yes("no_huddle"),
    }


def _points() -> dict[str, pl.Expr]:
    """Points of either side on the row, from its scores before and after; tries left out."""
    turned = pl.col("offense") != pl.col("posteam")  # kickoffs
    first = pl.col("posteam_score_post") - pl.col("posteam_score")
    second = pl.col("defteam_score_post") - pl.col("defteam_score")
    counts = ~pl.col("kind").is_in(["extra point", "two-point"])

    def points(own: pl.Expr, other: pl.Expr) -> pl.Expr:
        made = pl.when(turned.fill_null(False)).then(other).otherwise(own)
        return pl.when(counts & made.is_between(0, 6)).then(made).otherwise(0).cast(pl.Int32)

    return {"points_offense": points(first, second), "points_defense": points(second, first)}


def _play() -> dict[str, pl.Expr]:
    kind = pl.col("kind")
    passing = kind.is_in(["pass", "spike"])
    snap = kind.is_in(_SNAPS)
    kicked = kind.is_in(["kickoff", "punt"])
    location, gap = pl.col("run_location"), pl.col("run_gap")
    thirds = pl.col("pass_location").is_in(["left", "middle", "right"])
    up_middle = location == "middle"
    return {
        "gain": pl.when(snap | (kind == "kneel")).then("yards_gained"),
        "touchdown": (pl.col("points_offense") == 6) & ~kicked,
        "defense_touchdown": pl.col("points_defense") == 6,
        "safety": pl.col("points_defense") == 2,
        "targeted": pl.when(kind == "pass")
        .then(_filled(pl.col("receiver_player_id")).is_not_null() | _yes("interception"))
        .when(kind == "two-point")
        .then(_yes("pass_attempt")),
        "complete": pl.when(passing).then(_yes("complete_pass")),
        "intercepted": pl.when(passing).then(_yes("interception")),
        "air_yards": pl.when(kind == "pass").then(pl.col("air_yards").clip(-30, 99)),
        "yards_after_catch": pl.when(
            (kind == "pass") & pl.col("yards_after_catch").is_between(-40, 99)
        ).then("yards_after_catch"),
        "third": pl.when((kind == "pass") & thirds).then("pass_location"),
        "quarterback_hit": pl.when(kind.is_in(["pass", "sack"])).then(_yes("qb_hit")),
        "gap": pl.when(kind == "run").then(
            pl.when(up_middle)
            .then(pl.lit("middle"))
            .when(gap.is_in(["guard", "tackle", "end"]))
            .then(gap)
        ),
        "run_side": pl.when((kind == "run") & location.is_in(["left", "middle", "right"])).then(
            location
        ),
        "fumble": snap & _yes("fumble"),
        "fumble_lost": snap & _yes("fumble_lost") & ~_yes("interception"),
        "return_yards": pl.when(kicked | _yes("interception"))
        .then(pl.col("return_yards").fill_null(0))
        .when(_yes("fumble_lost"))
        .then(pl.col("fumble_recovery_1_yards").fill_null(0))
        .clip(-99, 110),
        "out_of_bounds": _yes("out_of_bounds"),
    }


def _kick() -> dict[str, pl.Expr]:
    kind = pl.col("kind")
    tries = pl.when(kind == "extra point").then("extra_point_result")
    kicks = pl.when(kind == "field goal").then("field_goal_result")
    twos = pl.when(kind == "two-point").then("two_point_conv_result")
    said = pl.coalesce(tries, kicks, twos)
    words = {"good": "good", "made": "good", "success": "good", "blocked": "blocked"}
    how = (
        pl.when((kind == "punt") & _yes("punt_blocked"))
        .then(pl.lit("blocked"))
        .when((kind == "kickoff") & pl.col("desc").str.contains("(?i)onside"))
        .then(pl.lit("onside"))
        .when(_yes("touchback"))
        .then(pl.lit("touchback"))
        .when(_yes("punt_fair_catch") | _yes("kickoff_fair_catch"))
        .then(pl.lit("fair catch"))
        .when(_yes("punt_downed"))
        .then(pl.lit("downed"))
        .when(_yes("punt_out_of_bounds") | _yes("kickoff_out_of_bounds"))
        .then(pl.lit("out of bounds"))
        .otherwise(pl.lit("returned"))
    )
    distance = pl.col("kick_distance")
    return {
        "kick_distance": pl.when(
            kind.is_in(["field goal", "punt", "kickoff"]) & distance.is_between(-10, 100)
        ).then(distance),
        "kick_result": pl.when(kind.is_in(["punt", "kickoff"]))
        .then(how)
        .when(said.is_not_null())
        .then(said.replace_strict(words, default="missed", return_dtype=pl.String)),
    }


def _penalty() -> dict[str, pl.Expr]:
    enforced = (
        _yes("penalty") & (pl.col("penalty_yards") > 0) & pl.col("penalty_team").is_not_null()
    )
    return {
        "penalty_on": pl.when(enforced & (pl.col("penalty_team") == pl.col("offense")))
        .then(pl.lit("offense"))
        .when(enforced)
        .then(pl.lit("defense")),
        "penalty_yards": pl.when(enforced).then(pl.col("penalty_yards").clip(0, 99)),
        "foul": pl.when(enforced).then("penalty_type"),
    }
