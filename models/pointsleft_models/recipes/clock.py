"""The clock between snaps: how long a play lasts, how long a team waits, who calls time.

A play after which the half ran out is a wait that was not seen to end, not a missing row.
"""

from __future__ import annotations

import polars as pl

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.laws.clock import TWO_MINUTES
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.scrimmage import ROUTES, THIRDS, YEARS, live, with_look
from pointsleft_models.values.ending import KNEEL, LAST_KNEEL, RUNOFF

#: Longest wait between snaps that is told apart.
LONGEST_WAIT = 50
LONGEST_PLAY = 14

LATE = ("late",)


def state_code(lead: pl.Expr) -> pl.Expr:
    """0 behind by two scores, 1 behind by one, 2 level, 3 ahead by one, 4 by two or more."""
    return (
        pl.when(lead <= -9)
        .then(0)
        .when(lead < 0)
        .then(1)
        .when(lead == 0)
        .then(2)
        .when(lead <= 8)
        .then(3)
        .otherwise(4)
        .cast(pl.Int32)
    )


def _timed(plays: pl.DataFrame) -> pl.DataFrame:
    over = pl.col("next_half_seconds").is_null()
    used = pl.col("half_seconds") - pl.col("next_half_seconds")
    half_last = (pl.col("period") == 2) | (pl.col("period") == 4)
    return (
        live(plays)
        .filter(
            (pl.col("half") < 3)
            & pl.col("kind").is_in(["pass", "run", "sack", "scramble"])
            & (pl.col("points_offense") == 0)
            & (pl.col("points_defense") == 0)
            & ~pl.col("fumble")
            & ~pl.col("intercepted").fill_null(False)
            & pl.col("lead").is_not_null()
            & (~over | half_last)
            & (over | (pl.col("next_offense") == pl.col("offense")))
            & pl.col("penalty_on").is_null()
        )
        .with_columns(
            over=over,
            used=pl.when(over).then(pl.col("half_seconds")).otherwise(used),
            state=state_code(pl.col("lead")),
            half0=(pl.col("half") - 1).cast(pl.Int32),
            late=pl.min_horizontal("half_seconds", pl.lit(600)).cast(pl.Int32),
            stays=(pl.col("kind") == "pass") & ~pl.col("complete").fill_null(False),
            air=pl.col("air_yards").fill_null(5).clip(-6, 50).cast(pl.Int32),
        )
        .filter((pl.col("used") >= 0) & (pl.col("used") <= 300))
    )


def _in_bounds(plays: pl.DataFrame) -> pl.DataFrame:
    return _timed(plays).filter(~pl.col("stays") & ~pl.col("out_of_bounds"))


def _waits(plays: pl.DataFrame) -> pl.DataFrame:
    rows = _in_bounds(plays).filter(
        ~pl.col("own_timeout_between").fill_null(False)
        & ~pl.col("opponent_timeout_between").fill_null(False)
    )
    # where the clock stops at two minutes the wait itself is not seen to end
    warned = (pl.col("level") == "professional") & (pl.col("half_seconds") > TWO_MINUTES)
    to_warning = pl.when(warned).then(pl.col("half_seconds") - TWO_MINUTES)
    longest = pl.min_horizontal("half_seconds", pl.lit(LONGEST_WAIT), to_warning)
    return rows.with_columns(
        wait=pl.min_horizontal("used", longest),
        unseen=pl.col("over") | (pl.col("used") >= pl.min_horizontal(LONGEST_WAIT, to_warning)),
    )


def _own_choice(plays: pl.DataFrame) -> pl.DataFrame:
    return _in_bounds(plays).filter((pl.col("offense_timeouts") > 0) & ~pl.col("over"))


def _other_choice(plays: pl.DataFrame) -> pl.DataFrame:
    return _in_bounds(plays).filter((pl.col("defense_timeouts") > 0) & ~pl.col("over"))


def _lasted(plays: pl.DataFrame) -> pl.DataFrame:
    """Incomplete passes: the clock stops when the ball falls."""
    rows = _timed(plays).filter(pl.col("stays"))
    return rows.with_columns(
        lasts=pl.min_horizontal("used", pl.lit(LONGEST_PLAY), pl.col("half_seconds")),
        unseen=pl.col("over") | (pl.col("used") >= LONGEST_PLAY),
    )


def _caught_somewhere(plays: pl.DataFrame) -> pl.DataFrame:
    return _timed(plays).filter((pl.col("kind") == "pass") & ~pl.col("stays"))


def _ran_somewhere(plays: pl.DataFrame) -> pl.DataFrame:
    return _timed(plays).filter((pl.col("kind") == "run") & (pl.col("gap_code") > 0))


def _scrambled_somewhere(plays: pl.DataFrame) -> pl.DataFrame:
    return _timed(plays).filter(pl.col("kind") == "scramble")


def _caught_on_route(plays: pl.DataFrame) -> pl.DataFrame:
    return with_look(_caught_somewhere(plays)).filter(pl.col("route_code") > 0)


LATE_BENDS = Bends("late", (0, 20, 45, 80, 120, 180, 300, 600))
STATES, HALVES = Levels("state", 5), Levels("half0", 2)
#: Where a throw is caught says much of whether the catch ends out of bounds, above all near the
#: line and by the route.
CATCH_AIR = Bends("air", (-6, -3, 0, 2, 4, 6, 9, 14, 20, 30, 45))
#: Who calls time, and how long nobody snaps, turns at the two-minute warning: before it a stop
#: comes for nothing, and after it nothing stops the clock but a side that wants it stopped.
TIME_OUT_LATE = Bends(
    "late",
    (0, 10, 20, 32, 45, 60, 80, 100, 112, 118, 121, 124, 130, 145, 165, 180, 210, 240, 300, 420,
     600),
)  # fmt: skip
TIME_OUT_BENDS = Bends(
    "late", (0, 12, 25, 45, 70, 100, 115, 120, 124, 135, 160, 180, 220, 300, 420, 600)
)
TIME_OUTS = Basis((Term((TIME_OUT_LATE,), 3.0), Term((HALVES, STATES, TIME_OUT_BENDS), 3.0)))
WAIT_LATE = Bends(
    "late",
    (0, 10, 20, 30, 45, 60, 80, 100, 112, 120, 125, 135, 150, 165, 180, 210, 240, 300, 420, 600),
)
#: Waits pile up just before the play clock is out, and a hurried one takes as long as it takes to
#: line up.
WAITS = (
    0, 2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 18, 21, 25, 28, 30, 32, 34, 36, 38, 39, 40, 41, 42, 43, 44,
    45, 46, 48, 50,
)  # fmt: skip
SOME_WAITS = Bends(YARDS, (0, 6, 14, 24, 34, 38, 42, 46, 50))
#: Seconds of a play are whole and few, and how long a ball is in the air follows its depth closely.
SECONDS = Bends(YARDS, tuple(range(LONGEST_PLAY + 1)))
THROWN_AIR = Bends(
    "air", (-6, -4, -2, 0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 14, 17, 20, 25, 30, 37, 45)
)

CLOCK = (
    Component(
        "wait",
        _waits,
        ("late", "state", "half0", "year"),
        Basis(
            (
                Term((YEARS,), 3.0),
                Term((YEARS, SOME_WAITS), 3.0),
                Term((Bends(YARDS, WAITS),), 1.0),
                Term((WAIT_LATE, SOME_WAITS), 3.0),
                Term((HALVES, STATES, Bends(YARDS, (0, 6, 14, 24, 34, 42, 50))), 3.0),
                # whoever is ahead late snaps as the play clock runs out
                Term(
                    (
                        HALVES,
                        STATES,
                        Bends("late", (0, 60, 120, 150, 200, 300, 600)),
                        Bends(YARDS, (32, 38, 41, 43, 46)),
                    ),
                    5.0,
                ),
                Term(
                    (
                        HALVES,
                        STATES,
                        Bends("late", (0, 30, 60, 120, 150, 200, 300, 600)),
                        Bends(YARDS, (0, 7, 14, 24, 34, 50)),
                    ),
                    3.0,
                ),
            )
        ),
        gain="wait",
        scored="unseen",
        low=0,
    ),
    Component(
        "own time-out",
        _own_choice,
        ("late", "state", "half0"),
        TIME_OUTS,
        yes="own_timeout_between",
    ),
    Component(
        "other time-out",
        _other_choice,
        ("late", "state", "half0"),
        TIME_OUTS,
        yes="opponent_timeout_between",
    ),
    Component(
        "play",
        _lasted,
        ("air", "year"),
        Basis(
            (
                Term((YEARS,), 3.0),
                Term((SECONDS,), 1.0),
                Term((THROWN_AIR, SECONDS), 3.0),
            )
        ),
        gain="lasts",
        scored="unseen",
        low=0,
    ),
    Component(
        "caught out of bounds",
        _caught_somewhere,
        ("third_code", "air", "late", "state", "half0", "year"),
        Basis(
            (
                Term((YEARS,), 3.0),
                Term((THIRDS, CATCH_AIR), 3.0),
                Term((CATCH_AIR,), 3.0),
                Term((HALVES, STATES, LATE_BENDS), 10.0),
            )
        ),
        yes="out_of_bounds",
    ),
    Component(
        "caught out of bounds+route",
        _caught_on_route,
        ("route_code", "air", "third_code"),
        Basis(
            (
                Term((ROUTES,), 100.0),
                Term((ROUTES, CATCH_AIR), 50.0),
                Term((ROUTES, THIRDS), 100.0),
            )
        ),
        yes="out_of_bounds",
        on="caught out of bounds",
        needs="participation",
    ),
    Component(
        "ran out of bounds",
        _ran_somewhere,
        ("gap_code", "late", "state", "half0", "year"),
        Basis(
            (
                Term((YEARS,), 3.0),
                Term((Levels("gap_code", 5),), 10.0),
                Term((Bends("gap_code", (0, 4)),), 10.0),
                Term((HALVES, STATES, LATE_BENDS), 10.0),
            )
        ),
        yes="out_of_bounds",
    ),
    Component(
        "scrambled out of bounds",
        _scrambled_somewhere,
        ("late", "state", "half0"),
        Basis(
            (
                Term((LATE_BENDS,), 10.0),
                # behind late he steps out, ahead he stays in
                Term((HALVES, STATES, Bends("late", (0, 120, 300, 600))), 10.0),
            )
        ),
        yes="out_of_bounds",
    ),
)


def _last_plays(plays: pl.DataFrame) -> pl.DataFrame:
    """Plays from scrimmage with at most seven seconds left by teams that wanted a touchdown."""
    wanted = (pl.col("half") == 1) | (pl.col("lead") <= -4)
    return live(plays).filter(
        (pl.col("half") < 3)
        & (pl.col("half_seconds") <= 7)
        & pl.col("kind").is_in(["pass", "run", "sack", "scramble"])
        & wanted
    )


def _kneelable(plays: pl.DataFrame) -> pl.DataFrame:
    """One row a game that could have been knelt out: the first such snap."""
    waits = 4 - pl.col("down")
    running = pl.max_horizontal(waits - pl.col("defense_timeouts"), pl.lit(0))
    capacity = KNEEL * waits + RUNOFF * running + LAST_KNEEL
    rows = plays.filter(
        pl.col("down").is_not_null()
        & (pl.col("half") == 2)
        & (pl.col("lead") > 0)
        & (pl.col("half_seconds") <= capacity)
        & pl.col("result").is_not_null()
    )
    return rows.group_by("game", maintain_order=True).first().with_columns(always=pl.lit(0))


ENDING = (
    Component(
        "last touchdown",
        _last_plays,
        ("yards_to_goal",),
        Basis(
            (
                Term(
                    (Bends("yards_to_goal", (1, 4, 8, 15, 25, 45, 65, 99)),),
                    3.0,
                    falls=("yards_to_goal",),
                ),
            )
        ),
        yes="touchdown",
    ),
    Component(
        "knelt out",
        _kneelable,
        ("always",),
        Basis((Term((Bends("always", (0, 1)),), 0.01),)),
        yes="result",
    ),
)
