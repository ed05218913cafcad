"""The fourth downs of a neutral play table, and what was called on each."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from pointsleft.calls.downs import Downs, downs

if TYPE_CHECKING:
    import polars as pl

Array = np.ndarray

#: Kind of a play -> which of :data:`~pointsleft.calls.parts.OPTIONS` was called.
CALLED: dict[str, int] = {
    "pass": 0, "run": 0, "sack": 0, "scramble": 0, "field goal": 1, "punt": 2,
}  # fmt: skip

#: No call is seen: a flag wiped the play out, or came before the snap.
UNSEEN = -1

#: Columns a row must have a value in to be priced.
NEEDED = ("distance", "yards_to_goal", "half_seconds", "lead", "offense")


@dataclass(frozen=True, slots=True)
class FourthDowns:
    """Fourth downs in regulation.

    Attributes
    ----------
    at
        The situations.
    called
        (n,) what was called: 0 go, 1 field goal, 2 punt, -1 not seen.
    season, week
        (n,) whole numbers; week -1 where not known.
    game, team, opponent
        (n,) names.
    play, period, clock
        (n,) number of the row, quarter, seconds left in it.
    level
        Level of play of the whole table.
    left_out
        Reason -> number of fourth downs not priced.
    """

    at: Downs
    called: Array
    season: Array
    week: Array
    game: Array
    team: Array
    opponent: Array
    play: Array
    period: Array
    clock: Array
    level: str
    left_out: dict[str, int]

    def __len__(self) -> int:
        return len(self.called)

    def take(self, rows: Array) -> FourthDowns:
        """Some of them: a mask (n,) or their places."""
        columns = (
            "called",
            "season",
            "week",
            "game",
            "team",
            "opponent",
            "play",
            "period",
            "clock",
        )
        return replace(
            self, at=self.at.take(rows), **{name: getattr(self, name)[rows] for name in columns}
        )


def fourth_downs(plays: pl.DataFrame, *, with_spread: bool = False) -> FourthDowns:
    """Pick the fourth downs of a play table.

    Parameters
    ----------
    plays
        The neutral table (docs/play-table.md), conformed. Time-outs that are not known count as
        three; who receives the second-half kickoff may be unknown.
    with_spread
        Whether the pre-game spreads of the table are to be known; where a game has none it is
        one of equal teams either way.
    """
    import polars as pl

    fourth = plays.filter(pl.col("down") == 4)
    left_out: dict[str, int] = {}

    def keep(frame: pl.DataFrame, condition: pl.Expr, why: str) -> pl.DataFrame:
        kept = frame.filter(condition)
        if len(kept) < len(frame):
            left_out[why] = len(frame) - len(kept)
        return kept

    called = list(CALLED)
    flagged = pl.col("no_play").fill_null(False) | (pl.col("kind") == "penalty")
    fourth = keep(fourth, pl.col("period") <= 4, "in overtime")
    fourth = keep(fourth, pl.col("kind").is_in(called) | flagged, "kneels, spikes and other rows")
    known = pl.all_horizontal(pl.col(name).is_not_null() for name in NEEDED)
    fourth = keep(fourth, known, "situation not known")
    fourth = keep(fourth, pl.col("half_seconds") > 0, "no time left")
    number = pl.col("kind").replace_strict(CALLED, default=UNSEEN, return_dtype=pl.Int32)
    fourth = fourth.with_columns(_called=pl.when(flagged).then(UNSEEN).otherwise(number))

    def whole(name: str, unknown: int = 0) -> Array:
        return fourth[name].cast(pl.Int64).fill_null(unknown).to_numpy()

    def text(name: str) -> Array:
        return fourth[name].cast(pl.String).to_numpy()

    receives = fourth.select(
        pl.when(pl.col("receives_second_half")).then(1)
        .when(~pl.col("receives_second_half")).then(-1).otherwise(0)
    ).to_series().to_numpy()  # fmt: skip
    other = fourth.select(
        pl.when(pl.col("offense") == pl.col("home")).then(pl.col("away")).otherwise(pl.col("home"))
    ).to_series().to_numpy()  # fmt: skip
    levels = fourth["level"].drop_nulls().unique().to_list()
    return FourthDowns(
        at=downs(
            distance=whole("distance"), yards_to_goal=whole("yards_to_goal"), half=whole("half"),
            half_seconds=whole("half_seconds"), lead=whole("lead"),
            own_timeouts=whole("offense_timeouts", 3), other_timeouts=whole("defense_timeouts", 3),
            receives=receives, spread=_spread(fourth) if with_spread else np.nan,
        ),
        called=whole("_called"), season=whole("season"), week=whole("week", -1),
        game=text("game"), team=text("offense"), opponent=other, play=whole("play"),
        period=whole("period"), clock=whole("clock"),
        level=levels[0] if len(levels) == 1 else "professional", left_out=left_out,
    )  # fmt: skip


def _spread(rows: pl.DataFrame) -> Array:
    """Points (n,) by which each offense was favoured, not a number where no spread is known."""
    import polars as pl

    ours = pl.when(pl.col("offense") == pl.col("home")).then(1).otherwise(-1)
    return rows.select((pl.col("home_spread") * ours).cast(pl.Float64)).to_series().to_numpy()
