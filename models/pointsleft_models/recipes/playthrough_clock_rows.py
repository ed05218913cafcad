"""Rows behind the clock of the play-through: waits, lengths of plays, time-outs, spikes."""

from __future__ import annotations

import numpy as np
import polars as pl

from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.parts import WAIT_CLOCKS
from pointsleft_models.recipes.playthrough_rows import PLAYED, clean, moods, snaps

#: Kneels that needed the whole play clock: with so many seconds to spare at most, or so many
#: lacking; and the shortest wait that is one.
SPARED, LACKED, SHORTEST = 12, 20, 25

#: Seconds after the two-minute warning within which a next snap means that it stopped the clock.
WARNED = 8
TWO_MINUTES, QUARTER, HALF = 120, 900, codes.HALF_SECONDS


def _stopped_out() -> pl.Expr:
    """Out of bounds late in a half, when the clock stays stopped (rules of all archive seasons)."""
    window = pl.when(pl.col("half") == 1).then(120).otherwise(300)
    return pl.col("out_of_bounds") & (pl.col("clock") <= window)


def _zone() -> pl.Expr:
    """Where the drive stands after the play, late in a half (as ``codes.zone``)."""
    spot = pl.col("yards_to_goal") - pl.col("gain").fill_null(pl.col("moved")).fill_null(0)
    in_range, near = codes.ZONE_EDGES
    return (
        pl.when((pl.col("clock") > codes.ZONED_FROM) | (spot > near))
        .then(2)
        .when(spot > in_range)
        .then(1)
        .otherwise(0)
        .cast(pl.Int32)
    )


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
        )
        .with_columns(
            over=over,
            used=pl.when(over)
            .then(pl.col("clock"))
            .otherwise(pl.col("clock") - pl.col("next_half_seconds")),
            after=after.cast(pl.Int32),
            stopped=(~pl.col("flagged") & (incomplete | _stopped_out())),
            zone=_zone(),
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


def _read_at(rows: pl.DataFrame, readings: np.ndarray) -> pl.DataFrame:
    """The clock as the look-ups of the engine read it, at the nearest of few readings: a fit on
    those says the same and is much smaller."""
    nearest = readings[np.abs(np.arange(HALF + 1)[:, None] - readings[None, :]).argmin(1)]
    return rows.with_columns(clock=pl.Series(nearest[rows["clock"].to_numpy()]).cast(pl.Int32))


def waits(plays: pl.DataFrame) -> pl.DataFrame:
    """Waits while the clock runs; one cut short by the end of the half, the quarter, or the
    warning was not seen to end."""
    called_time = pl.col("own_timeout_between").fill_null(False) | pl.col(
        "opponent_timeout_between"
    ).fill_null(False)
    spiked = (pl.col("next_kind") == "spike").fill_null(False)
    rows = _followed(plays).filter(~pl.col("stopped") & ~called_time & ~spiked)
    cut = _barrier()
    longest = codes.LONGEST_WAIT
    rows = rows.with_columns(
        wait=pl.min_horizontal(pl.coalesce(cut, pl.col("used")), pl.lit(longest)),
        unseen=pl.col("over") | cut.is_not_null() | (pl.col("used") >= longest),
    )
    return _read_at(rows, WAIT_CLOCKS)


def kneel_waits(plays: pl.DataFrame) -> pl.DataFrame:
    """Waits after kneels of a side ahead that needed about the whole play clock.

    A wait of less than :data:`SHORTEST` seconds is a time-out that the source did not write down.
    """
    rows = _followed(plays).filter(
        (pl.col("kind") == "kneel") & (pl.col("half") == 2) & (pl.col("lead") > 0)
        & (pl.col("defense_timeouts").is_not_null()) & ~pl.col("over")
    )  # fmt: skip
    waits_left = 4 - pl.col("down")
    running = pl.max_horizontal(waits_left - pl.col("defense_timeouts"), pl.lit(0))
    burns = codes.KNEEL_SECONDS * waits_left + codes.KNEEL_PLAY_CLOCK * running
    needed = (pl.col("clock") - burns).is_between(-SPARED, LACKED)
    return rows.filter(
        needed & pl.col("used").is_between(SHORTEST, codes.LONGEST_WAIT)
    ).with_columns(wait=pl.col("used"), unseen=pl.lit(False))


def _choices(plays: pl.DataFrame) -> pl.DataFrame:
    """Moments between two snaps of one drive at which time could be called; where the half ran
    out nobody did."""
    rows = _followed(plays).filter(~pl.col("flagged"))
    return rows.with_columns(still=pl.col("stopped").cast(pl.Int32))


def own_choice(plays: pl.DataFrame) -> pl.DataFrame:
    """The offense's choice, once the defense has not called time (it is asked first)."""
    own = pl.col("own_timeout_between").fill_null(False)
    other = pl.col("opponent_timeout_between").fill_null(False)
    rows = _choices(plays).filter((pl.col("offense_timeouts") > 0) & (own | ~other))
    return _read_at(
        rows.with_columns(left=pl.col("offense_timeouts").cast(pl.Int32), calls=own), codes.CLOCKS
    )


def other_choice(plays: pl.DataFrame) -> pl.DataFrame:
    """The defense's choice."""
    rows = _choices(plays).filter(pl.col("defense_timeouts") > 0)
    other = pl.col("opponent_timeout_between").fill_null(False)
    return _read_at(
        rows.with_columns(left=pl.col("defense_timeouts").cast(pl.Int32), calls=other), codes.CLOCKS
    )


def called_time(plays: pl.DataFrame) -> pl.DataFrame:
    """Snap to snap where somebody stopped a running clock by a time-out."""
    own = pl.col("own_timeout_between").fill_null(False)
    other = pl.col("opponent_timeout_between").fill_null(False)
    rows = _choices(plays).filter((pl.col("still") == 0) & (own != other))
    return rows.with_columns(
        whose=other.cast(pl.Int32),
        wait=pl.min_horizontal("used", pl.lit(codes.LONGEST_WAIT)),
        unseen=pl.col("used") >= codes.LONGEST_WAIT,
    )


def drained(plays: pl.DataFrame) -> pl.DataFrame:
    """The offense's own late time-outs: was the clock run down first, for a last kick?"""
    rows = called_time(plays).filter(
        (pl.col("whose") == 0) & (pl.col("clock").is_between(codes.DRAINED + 4, codes.DRAIN_FROM))
    )
    return rows.with_columns(drained=pl.col("next_half_seconds") <= codes.DRAINED)


def spike_choice(plays: pl.DataFrame) -> pl.DataFrame:
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
        zone=_zone(),
        spikes=(pl.col("next_kind") == "spike").fill_null(False),
        left=pl.col("offense_timeouts").cast(pl.Int32),
        wait=(pl.col("clock") - pl.col("next_half_seconds")).clip(0, codes.LONGEST_WAIT),
        unseen=pl.lit(False),
    )


def spiked(plays: pl.DataFrame) -> pl.DataFrame:
    return spike_choice(plays).filter(pl.col("spikes"))


def lengths(plays: pl.DataFrame) -> pl.DataFrame:
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
    late = (pl.col("half_seconds") <= codes.QUICK_FROM) & (how != codes.LASTS_RETURN)
    rows = rows.with_columns(how=how.cast(pl.Int32), quick=late.cast(pl.Int32), _end=end).filter(
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
