"""Rows and components of the clock of the play-through: waits, lengths of plays, time-outs."""

from __future__ import annotations

import polars as pl

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.playthrough import codes
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.playthrough_rows import PLAYED, clean, moods, snaps

#: Seconds after the two-minute warning within which a next snap means that it stopped the clock.
WARNED = 8
TWO_MINUTES, QUARTER = 120, 900


def _stopped_out() -> pl.Expr:
    """Out of bounds late in a half, when the clock stays stopped (rules of all archive seasons)."""
    window = pl.when(pl.col("half") == 1).then(120).otherwise(300)
    return pl.col("out_of_bounds") & (pl.col("clock") <= window)


def _followed(plays: pl.DataFrame) -> pl.DataFrame:
    """Snaps that kept the ball without a score, with the seconds to the next snap (``used``)."""
    over = pl.col("next_half_seconds").is_null()
    half_last = pl.col("period").is_in([2, 4])
    after = (
        pl.when(pl.col("flagged"))
        .then(codes.AFTER_FLAG)
        .when(pl.col("kind") == "kneel")
        .then(codes.AFTER_KNEEL)
        .when(pl.col("out_of_bounds"))
        .then(codes.AFTER_OUT)
        .when(pl.col("kind") == "sack")
        .then(codes.AFTER_SACK)
        .when(pl.col("kind") == "pass")
        .then(codes.AFTER_CATCH)
        .otherwise(codes.AFTER_RUN)
    )
    incomplete = (pl.col("kind") == "pass") & ~pl.col("complete").fill_null(False)
    spot = pl.col("yards_to_goal") - pl.col("gain").fill_null(pl.col("moved")).fill_null(0)
    in_range, near = codes.ZONE_EDGES
    zone = (
        pl.when((pl.col("clock") > codes.ZONED_FROM) | (spot > near))
        .then(2)
        .when(spot > in_range)
        .then(1)
        .otherwise(0)
        .cast(pl.Int32)
    )
    return (
        snaps(plays)
        .filter(
            (pl.col("kind").is_in([*PLAYED, "kneel"]) | pl.col("flagged"))
            & (pl.col("points_offense") == 0)
            & (pl.col("points_defense") == 0)
            & ~pl.col("fumble_lost")
            & ~pl.col("intercepted").fill_null(False)
            & (~over | half_last)
            & (over | (pl.col("next_offense") == pl.col("offense")))
            & (over | (pl.col("next_kind") != "spike"))
        )
        .with_columns(
            over=over,
            used=pl.when(over)
            .then(pl.col("clock"))
            .otherwise(pl.col("clock") - pl.col("next_half_seconds")),
            after=after.cast(pl.Int32),
            stopped=(~pl.col("flagged") & (incomplete | _stopped_out())),
            zone=zone,
        )
        .filter(pl.col("used").is_between(0, 200))
    )


def _barrier() -> pl.Expr:
    """Seconds to the end of the quarter or the two-minute warning where that cut the wait short."""
    landed = pl.col("clock") - pl.col("used")
    cut = []
    for mark in (QUARTER, TWO_MINUTES):
        crossed = (pl.col("clock") > mark) & landed.is_between(mark - WARNED, mark)
        cut.append(pl.when(crossed).then(pl.col("clock") - mark))
    return pl.coalesce(cut)


def _waits(plays: pl.DataFrame) -> pl.DataFrame:
    """Waits while the clock runs; one cut short by the end of the half, the quarter, or the
    warning was not seen to end."""
    called_time = pl.col("own_timeout_between").fill_null(False) | pl.col(
        "opponent_timeout_between"
    ).fill_null(False)
    rows = _followed(plays).filter(~pl.col("stopped") & ~called_time)
    cut = _barrier()
    longest = codes.LONGEST_WAIT
    return rows.with_columns(
        wait=pl.min_horizontal(pl.coalesce(cut, pl.col("used")), pl.lit(longest)),
        unseen=pl.col("over") | cut.is_not_null() | (pl.col("used") >= longest),
    )


def _choices(plays: pl.DataFrame) -> pl.DataFrame:
    """Moments between two snaps of one drive at which time could be called; where the half ran
    out nobody did."""
    rows = _followed(plays).filter(~pl.col("flagged"))
    return rows.with_columns(
        still=pl.col("stopped").cast(pl.Int32),
    )


def _own_choice(plays: pl.DataFrame) -> pl.DataFrame:
    return _choices(plays).filter(pl.col("offense_timeouts") > 0).with_columns(
        left=pl.col("offense_timeouts").cast(pl.Int32),
        calls=pl.col("own_timeout_between").fill_null(False),
    )  # fmt: skip


def _other_choice(plays: pl.DataFrame) -> pl.DataFrame:
    return _choices(plays).filter(pl.col("defense_timeouts") > 0).with_columns(
        left=pl.col("defense_timeouts").cast(pl.Int32),
        calls=pl.col("opponent_timeout_between").fill_null(False),
    )  # fmt: skip


def _called_time(plays: pl.DataFrame) -> pl.DataFrame:
    """Snap to snap where somebody stopped a running clock by a time-out."""
    own = pl.col("own_timeout_between").fill_null(False)
    other = pl.col("opponent_timeout_between").fill_null(False)
    rows = _choices(plays).filter((pl.col("still") == 0) & (own != other))
    return rows.with_columns(
        whose=other.cast(pl.Int32),
        wait=pl.min_horizontal("used", pl.lit(codes.LONGEST_WAIT)),
        unseen=pl.col("used") >= codes.LONGEST_WAIT,
    )


def _drained(plays: pl.DataFrame) -> pl.DataFrame:
    """The offense's own late time-outs: was the clock run down first, for a last kick?"""
    rows = _called_time(plays).filter(
        (pl.col("whose") == 0) & (pl.col("clock").is_between(codes.DRAINED + 4, codes.DRAIN_FROM))
    )
    return rows.with_columns(drained=pl.col("next_half_seconds") <= codes.DRAINED)


def _spike_choice(plays: pl.DataFrame) -> pl.DataFrame:
    """Plays late in a half after which the clock ran and no time was called."""
    over = pl.col("next_half_seconds").is_null() & pl.col("period").is_in([2, 4])
    rows = clean(plays).filter(
        (pl.col("clock") <= codes.SPIKE_FROM)
        & pl.col("kind").is_in(PLAYED)
        & ((pl.col("kind") != "pass") | pl.col("complete").fill_null(False))
        & ~pl.col("out_of_bounds")
        & ~pl.col("fumble_lost")
        & (over | (pl.col("next_offense") == pl.col("offense")))
        & (over | (pl.col("next_down") < 4))
        & ~pl.col("own_timeout_between").fill_null(False)
        & ~pl.col("opponent_timeout_between").fill_null(False)
        & pl.col("offense_timeouts").is_not_null()
        & (pl.col("points_offense") == 0)
    )
    return rows.with_columns(
        spikes=(pl.col("next_kind") == "spike").fill_null(False),
        left=pl.col("offense_timeouts").cast(pl.Int32),
        wait=(pl.col("clock") - pl.col("next_half_seconds")).clip(0, codes.LONGEST_WAIT),
        unseen=pl.lit(False),
    )


def _spiked(plays: pl.DataFrame) -> pl.DataFrame:
    return _spike_choice(plays).filter(pl.col("spikes"))


def _lengths(plays: pl.DataFrame) -> pl.DataFrame:
    """How long plays last after which the clock stands still."""
    kick_clock = (
        pl.when(pl.col("kind") == "kickoff")
        .then(pl.col("half_seconds"))
        .otherwise(None)
        .backward_fill()
        .shift(-1)
        .over("game", "half")
    )
    rows = moods(plays.with_columns(_kick_clock=kick_clock))
    incomplete = (pl.col("kind") == "pass") & ~pl.col("complete").fill_null(False)
    lost = pl.col("intercepted").fill_null(False) | pl.col("fumble_lost")
    how = (
        pl.when(pl.col("touchdown") & pl.col("down").is_not_null())
        .then(codes.LASTS_TOUCHDOWN)
        .when(pl.col("kind") == "spike")
        .then(codes.LASTS_SPIKE)
        .when(pl.col("kind") == "punt")
        .then(codes.LASTS_PUNT)
        .when(pl.col("kind") == "field goal")
        .then(codes.LASTS_KICK)
        .when(lost & ~pl.col("defense_touchdown"))
        .then(codes.LASTS_TURNOVER)
        .when((pl.col("kind") == "kickoff") & (pl.col("kick_result") == "returned"))
        .then(codes.LASTS_RETURN)
        .when(incomplete)
        .then(codes.LASTS_INCOMPLETE)
        .when(_stopped_out() & pl.col("kind").is_in(PLAYED))
        .then(codes.LASTS_OUT)
    )
    scored = (pl.col("points_offense") > 0) | (pl.col("points_defense") > 0)
    end = pl.when(scored).then(pl.col("_kick_clock")).otherwise(pl.col("next_half_seconds"))
    cut = pl.min_horizontal(pl.col("half_seconds"), pl.lit(codes.LONGEST_LAST))
    rows = rows.with_columns(how=how.cast(pl.Int32), _end=end).filter(
        pl.col("how").is_not_null() & pl.col("penalty_on").is_null() & ~pl.col("no_play")
    )
    over = pl.col("_end").is_null()
    seconds = pl.col("half_seconds")
    rows = rows.filter(~over | (pl.col("period").is_in([2, 4]) & ~scored)).with_columns(
        used=pl.when(over).then(seconds).otherwise(seconds - pl.col("_end")), over=over
    )
    return rows.filter(pl.col("used").is_between(0, 60)).with_columns(
        lasts=pl.min_horizontal("used", cut),
        unseen=pl.col("over") | (pl.col("used") >= codes.LONGEST_LAST),
    )


SCORES = Levels("score", codes.SCORES)
HALVES = Levels("half0", 2)
AFTERS = Levels("after", codes.AFTERS)
CLOCK_BENDS = Bends("clock", (0, 20, 45, 80, 120, 180, 300, 600, 1800))
LATE_BENDS = Bends("clock", (0, 60, 120, 240, 600))
FINE = (0, 2, 4, 6, 8, 10, 13, 16, 20, 25, 30, 34, 37, 40, 43, 46, 50, 60)
LATE = (0, 6, 14, 24, 36, 50)
COARSE = Bends(YARDS, (0, 3, 6, 14, 24, 34, 42, 50))

ZONES = Levels("zone", codes.ZONES)
TIMEOUT_ASKS = ("clock", "score", "half0", "left", "still", "after")


def _calls_time(knots: tuple[float, ...], *more: Term) -> Basis:
    """Who calls time, after what, with how much left."""
    return Basis(
        (
            Term((HALVES, Bends("clock", (0, 10, 20, 45, 80, 120, 180, 300, 900, 1800))), 1.0),
            Term((HALVES, SCORES, Bends("clock", knots)), 2.0),
            Term((Levels("left", 4), LATE_BENDS), 5.0),
            Term((Levels("still", 2), LATE_BENDS), 3.0),
            Term((AFTERS, HALVES, Bends("clock", (0, 20, 60, 120, 300))), 1.0),
            *more,
        )
    )


PLAYTHROUGH_CLOCK = (
    Component(
        "wait",
        _waits,
        ("clock", "score", "half0", "after", "zone"),
        Basis(
            (
                Term((Bends(YARDS, FINE),), 1.0),
                Term((AFTERS, Bends(YARDS, (0, 2, 4, 6, 10, 14, 24, 30, 36, 42, 50))), 1.0),
                Term((CLOCK_BENDS, COARSE), 3.0),
                Term((AFTERS, Bends("clock", (0, 20, 60, 150, 300)), Bends(YARDS, LATE)), 3.0),
                Term((ZONES, HALVES, Bends("clock", (0, 60, 150, 300)), Bends(YARDS, LATE)), 2.0),
                Term((HALVES, SCORES, Bends(YARDS, (0, 6, 14, 24, 34, 42, 50))), 3.0),
                Term((HALVES, SCORES, LATE_BENDS, Bends(YARDS, (0, 14, 34, 50))), 3.0),
            )
        ),
        gain="wait",
        scored="unseen",
        low=0,
    ),
    Component(
        "lasts",
        _lengths,
        ("how",),
        Basis(
            (
                Term((Bends(YARDS, (0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 25)),), 1.0),
                Term(
                    (
                        Levels("how", codes.LASTS),
                        Bends(YARDS, (0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 25)),
                    ),
                    0.3,
                ),
            )
        ),
        gain="lasts",
        scored="unseen",
        low=0,
    ),
    Component(
        "own time-out",
        _own_choice,
        (*TIMEOUT_ASKS, "zone"),
        _calls_time(
            (0, 30, 80, 130, 300, 1800),
            Term((ZONES, HALVES, SCORES, Bends("clock", (0, 15, 30, 45, 90, 150))), 1.0),
        ),
        yes="calls",
    ),
    Component(
        "other time-out",
        _other_choice,
        TIMEOUT_ASKS,
        _calls_time((0, 30, 80, 130, 180, 300, 1800)),
        yes="calls",
    ),
    Component(
        "time-out wait",
        _called_time,
        ("clock", "whose"),
        Basis(
            (
                Term((Bends(YARDS, (0, 3, 4, 5, 6, 7, 8, 10, 14, 20, 28, 34, 40, 46, 60)),), 1.0),
                Term(
                    (
                        Levels("whose", 2),
                        Bends("clock", (0, 60, 120, 180, 300, 600, 1800)),
                        Bends(YARDS, (0, 4, 6, 8, 14, 28, 36, 44)),
                    ),
                    1.0,
                ),
            )
        ),
        gain="wait",
        scored="unseen",
        low=0,
    ),
    Component(
        "time-out drained",
        _drained,
        ("zone", "clock", "score", "half0"),
        Basis(
            (
                Term((ZONES, Bends("clock", (8, 15, 25, 40, 60))), 1.0),
                Term((ZONES, HALVES, SCORES), 3.0),
            )
        ),
        yes="drained",
    ),
    Component(
        "spike",
        _spike_choice,
        ("clock", "score", "half0", "left"),
        Basis(
            (
                Term((HALVES, Bends("clock", (0, 10, 20, 40, 60, 90, 150))), 2.0),
                Term((HALVES, SCORES, Bends("clock", (0, 40, 80, 150))), 3.0),
                Term((Levels("left", 4),), 5.0),
            )
        ),
        yes="spikes",
    ),
    Component(
        "spike wait",
        _spiked,
        ("clock",),
        Basis(
            (
                Term((Bends(YARDS, (0, 5, 8, 11, 14, 17, 20, 24, 30, 40)),), 1.0),
                Term((Bends("clock", (0, 40, 150)), Bends(YARDS, (0, 12, 20, 30))), 5.0),
            )
        ),
        gain="wait",
        scored="unseen",
        low=0,
    ),
)
