"""Rows behind the parts of the play-through: snaps, flags, waits, choices."""

from __future__ import annotations

import polars as pl

from pointsleft_models.playthrough import codes
from pointsleft_models.recipes.playthrough_strength import with_strength
from pointsleft_models.recipes.scrimmage import live

#: First season in which a field goal on the first possession of overtime was answered.
SUDDEN_UNTIL = 2012

PLAYED = ("pass", "run", "sack", "scramble")


def moods(plays: pl.DataFrame) -> pl.DataFrame:
    """Adds what the parts know of clock and score."""
    rows = plays.filter((pl.col("half") < 3) & pl.col("lead").is_not_null())
    half0 = (rows["half"] - 1).to_numpy()
    seconds, lead = rows["half_seconds"].to_numpy(), rows["lead"].to_numpy()
    spot = rows["yards_to_goal"].to_numpy()
    return rows.with_columns(
        clock=pl.col("half_seconds").cast(pl.Int32),
        half0=pl.Series(half0).cast(pl.Int32),
        score=pl.Series(codes.score_class(lead)).cast(pl.Int32),
        script=pl.Series(codes.script(half0, seconds, lead, spot)).cast(pl.Int32),
        press=pl.Series(codes.pressing(half0, seconds, codes.score_class(lead))).cast(pl.Int32),
    )


def _flagged() -> pl.Expr:
    """A penalty that decided where the next snap was; scores and turnovers are plays."""
    stays = pl.col("next_offense").is_null() | (pl.col("next_offense") == pl.col("offense"))
    kick = pl.col("kind").is_in(["punt", "field goal"]) & ~pl.col("no_play")
    return (
        pl.col("penalty_on").is_not_null()
        & stays
        & (pl.col("points_offense") == 0)
        & (pl.col("points_defense") == 0)
        & ~kick
    )


def snaps(plays: pl.DataFrame) -> pl.DataFrame:
    """Every snap, flagged or not, with ``flagged`` and ``moved`` (yards to the next snap)."""
    rows = plays.filter(
        pl.col("down").is_not_null()
        & pl.col("kind").is_in([*PLAYED, "penalty", "punt", "field goal", "kneel", "spike"])
    )
    rows = live(rows.with_columns(_gone=pl.col("no_play"), no_play=pl.lit(False))).with_columns(
        no_play=pl.col("_gone"), flagged=_flagged()
    )
    void = (pl.col("kind") == "penalty") & ~pl.col("flagged")
    return moods(rows.filter(~void)).with_columns(
        moved=pl.col("yards_to_goal") - pl.col("next_yards_to_goal")
    )


def clean(plays: pl.DataFrame) -> pl.DataFrame:
    """Snaps without a flag."""
    return snaps(plays).filter(~pl.col("flagged") & ~pl.col("no_play"))


def flags(plays: pl.DataFrame) -> pl.DataFrame:
    """Any snap of a play or a kick that could have drawn a flag."""
    return snaps(plays).filter(~pl.col("kind").is_in(["kneel", "spike"]))


def flagged(plays: pl.DataFrame) -> pl.DataFrame:
    """Flagged snaps whose next snap is known."""
    fresh = (pl.col("next_down") == 1) & (
        (pl.col("down") > 1) | (pl.col("next_distance") != pl.col("distance") - pl.col("moved"))
    )
    return (
        snaps(plays)
        .filter(pl.col("flagged") & pl.col("next_down").is_not_null())
        .with_columns(
            on_offense=pl.col("penalty_on") == "offense",
            side=(pl.col("penalty_on") == "defense").cast(pl.Int32),
            never=pl.lit(False),
            shift=pl.col("moved").clip(-20, 30).cast(pl.Int32),
            fresh=fresh,
            used_down=pl.col("next_down") == pl.col("down") + 1,
        )
    )


def flagged_offense(plays: pl.DataFrame) -> pl.DataFrame:
    return flagged(plays).filter(pl.col("side") == 0)


def flagged_defense(plays: pl.DataFrame) -> pl.DataFrame:
    return flagged(plays).filter(pl.col("side") == 1)


def short_flags(plays: pl.DataFrame) -> pl.DataFrame:
    """Flags that did not reach the line to gain."""
    return flagged(plays).filter(pl.col("moved") < pl.col("distance"))


def repeated_flags(plays: pl.DataFrame) -> pl.DataFrame:
    """Flags that brought no new series."""
    return short_flags(plays).filter(~pl.col("fresh") & (pl.col("down") < 4))


def called(plays: pl.DataFrame) -> pl.DataFrame:
    """Runs and drop-backs; ``better``: points a game by which the offense is the better side."""
    return (
        with_strength(clean(plays), plays)
        .filter(pl.col("kind").is_in(PLAYED))
        .with_columns(
            passes=pl.col("kind") != "run",
            sacked=pl.col("kind") == "sack",
            scrambled=pl.col("kind") == "scramble",
            intercepted=pl.col("intercepted").fill_null(False),
            complete=pl.col("complete").fill_null(False),
        )
    )


def called_late(plays: pl.DataFrame) -> pl.DataFrame:
    """Runs and drop-backs late in a half."""
    return called(plays).filter(pl.col("clock") <= codes.LATE_FROM)


def dropbacks(plays: pl.DataFrame) -> pl.DataFrame:
    return called(plays).filter(pl.col("passes"))


def unsacked(plays: pl.DataFrame) -> pl.DataFrame:
    return dropbacks(plays).filter(~pl.col("sacked"))


def thrown(plays: pl.DataFrame) -> pl.DataFrame:
    return unsacked(plays).filter(~pl.col("scrambled"))


def kept_throws(plays: pl.DataFrame) -> pl.DataFrame:
    return thrown(plays).filter(~pl.col("intercepted"))


def _carried(rows: pl.DataFrame) -> pl.DataFrame:
    return rows.filter(~pl.col("fumble_lost") & pl.col("gain").is_not_null()).with_columns(
        carried=pl.when(pl.col("touchdown"))
        .then(pl.col("yards_to_goal"))
        .otherwise(pl.min_horizontal("gain", pl.col("yards_to_goal") - 1))
    )


def carries(plays: pl.DataFrame) -> pl.DataFrame:
    return _carried(called(plays).filter(pl.col("kind") == "run"))


def catches(plays: pl.DataFrame) -> pl.DataFrame:
    return _carried(kept_throws(plays).filter(pl.col("complete")))


def caught_short(plays: pl.DataFrame) -> pl.DataFrame:
    """Catches that did not score."""
    return catches(plays).filter(~pl.col("touchdown"))


def ran_short(plays: pl.DataFrame) -> pl.DataFrame:
    """Runs that did not score."""
    return carries(plays).filter(~pl.col("touchdown"))


def scrambles(plays: pl.DataFrame) -> pl.DataFrame:
    return _carried(dropbacks(plays).filter(pl.col("scrambled")))


def scrambled_short(plays: pl.DataFrame) -> pl.DataFrame:
    """Scrambles that did not score."""
    return scrambles(plays).filter(~pl.col("touchdown"))


def sacks(plays: pl.DataFrame) -> pl.DataFrame:
    return _carried(dropbacks(plays).filter(pl.col("sacked")))


def held(plays: pl.DataFrame) -> pl.DataFrame:
    """Plays on which somebody had the ball and could lose it."""
    how = (
        pl.when(pl.col("kind") == "run")
        .then(codes.FUMBLE_RUN)
        .when(pl.col("kind") == "sack")
        .then(codes.FUMBLE_SACK)
        .when(pl.col("kind") == "scramble")
        .then(codes.FUMBLE_SCRAMBLE)
        .otherwise(codes.FUMBLE_CATCH)
    )
    rows = called(plays).filter((pl.col("kind") != "pass") | pl.col("complete"))
    return rows.with_columns(how=how.cast(pl.Int32))


def turnovers(plays: pl.DataFrame) -> pl.DataFrame:
    """Where the other side starts: its own yard line, 100 for a return that scores."""
    rows = called(plays).filter(
        (pl.col("intercepted") | pl.col("fumble_lost"))
        & (pl.col("defense_touchdown") | (pl.col("next_offense") == pl.col("defense")))
    )
    return rows.with_columns(
        fumbled=(~pl.col("intercepted")).cast(pl.Int32),
        returned_score=pl.col("defense_touchdown"),
        start=pl.when(pl.col("defense_touchdown"))
        .then(100)
        .otherwise(100 - pl.col("next_yards_to_goal")),
    )


def fourth(plays: pl.DataFrame) -> pl.DataFrame:
    return (
        clean(plays)
        .filter((pl.col("down") == 4) & pl.col("kind").is_in([*PLAYED, "punt", "field goal"]))
        .with_columns(
            kicks=pl.col("kind") == "field goal",
            goes=pl.col("kind").is_in(PLAYED),
        )
    )


def fourth_not_kicked(plays: pl.DataFrame) -> pl.DataFrame:
    return fourth(plays).filter(~pl.col("kicks"))


def last_kick_choice(plays: pl.DataFrame) -> pl.DataFrame:
    """First three downs in the last seconds, near enough for a field goal."""
    return clean(plays).filter(
        (pl.col("down") < 4) & (pl.col("clock") <= codes.LAST_KICK_FROM)
        & (pl.col("yards_to_goal") <= codes.LAST_KICK_SPOT)
    ).with_columns(kicks=pl.col("kind") == "field goal")  # fmt: skip


def overtime_kick_choice(plays: pl.DataFrame) -> pl.DataFrame:
    """First three downs of overtime in range: ``ends`` where a field goal wins the game."""
    new = (pl.col("offense") != pl.col("offense").shift(1)).fill_null(True).over("game")
    rows = (
        plays.filter((pl.col("half") == 3) & pl.col("offense").is_not_null())
        .with_columns(_possession=new.cast(pl.Int32).cum_sum().over("game"))
        .filter(
            (pl.col("down") < 4)
            & pl.col("kind").is_in([*PLAYED, "field goal"])
            & ~pl.col("no_play")
            & (pl.col("yards_to_goal") <= codes.LAST_KICK_SPOT)
        )
    )
    # the row before the first snap is the kickoff, by the other side
    later = (pl.col("lead") == 0) & (pl.col("_possession") > 2)
    sudden = (pl.col("season") < SUDDEN_UNTIL) & (pl.col("stage") == "regular")
    return rows.with_columns(
        ends=(later | sudden).cast(pl.Int32),
        down0=(pl.col("down") - 1).cast(pl.Int32),
        kicks=pl.col("kind") == "field goal",
    )


def kneel_choice(plays: pl.DataFrame) -> pl.DataFrame:
    """``spare``: seconds left beyond what kneeling out the downs would burn."""
    waits = 4 - pl.col("down")
    running = pl.max_horizontal(waits - pl.col("defense_timeouts"), pl.lit(0))
    capacity = codes.KNEEL_SECONDS * waits + codes.KNEEL_PLAY_CLOCK * running + 3
    return (
        clean(plays)
        .filter((pl.col("clock") <= codes.KNEEL_FROM) & pl.col("defense_timeouts").is_not_null())
        .with_columns(
            spare=(pl.col("clock") - capacity).clip(-125, 125).cast(pl.Int32),
            knelt=pl.col("kind") == "kneel",
        )
    )


def tries(plays: pl.DataFrame) -> pl.DataFrame:
    """Every try: ``gap`` is the lead before it, ``game_left`` the seconds of regulation left."""
    return plays.filter(
        pl.col("kind").is_in(["extra point", "two-point"])
        & ~pl.col("no_play")
        & (pl.col("half") < 3)
        & pl.col("lead").is_not_null()
    ).with_columns(
        gap=(pl.col("lead").clip(-codes.MOST_GAP, codes.MOST_GAP) + codes.MOST_GAP).cast(pl.Int32),
        game_left=pl.col("game_seconds").cast(pl.Int32),
        two=pl.col("kind") == "two-point",
    )  # fmt: skip


def kickoffs(plays: pl.DataFrame) -> pl.DataFrame:
    rows = plays.filter(
        (pl.col("kind") == "kickoff") & ~pl.col("no_play") & (pl.col("yards_to_goal") < 80)
    )
    return moods(rows).with_columns(onside=pl.col("kick_result") == "onside")
