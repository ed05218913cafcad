"""A table of required columns and facts, completed with everything that follows from them.

What the source brings is kept; only columns that it lacks (or leaves empty on every row) are
worked out, the same way for every source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import polars as pl

from pointsleft_models.plays import derive, scores

NEXT = ("next_score", "next_score_clock", "drives_to_score")
SCORED = ("touchdown", "defense_touchdown", "safety")
POINTS = ("points_offense", "points_defense")
TIMEOUTS = ("offense_timeouts", "defense_timeouts")

#: Columns that follow from required ones alone.
FOLLOWING = ("half", "half_seconds", "game_seconds", "defense", "offense_home", "lead")

#: Columns worked out where a table lacks them.
DERIVED = (
    *FOLLOWING, *POINTS, *SCORED, *TIMEOUTS, *NEXT, "no_play", "receives_second_half", "drive",
    "result",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Completed:
    """The completed table, without the games that do not add up, and those games' reasons."""

    plays: pl.DataFrame
    games: int
    left_out: dict[str, str]


def complete(table: pl.DataFrame, known_finals: pl.DataFrame | None = None) -> Completed:
    """Derive what the table lacks; leave out games whose final score the rows do not reproduce.

    Parameters
    ----------
    table
        At least the required columns, each of the schema's type; any order of rows.
    known_finals
        ``game``, ``home_points``, ``away_points`` from elsewhere. Without them a game's final is
        its last row's score and what that row scored.
    """
    table = table.sort("game", "play")
    games = table["game"].n_unique()
    table = derive.sides(derive.clocks(table))
    stepped = scores.with_steps(scores.team_scores(table))
    left_out = scores.unexplained(stepped, known_finals)
    stepped = stepped.filter(~pl.col("game").is_in(list(left_out)))
    events, finals = scores.score_events(stepped), scores.finals(stepped)
    table = stepped.drop("_home", "_away", "_home_step", "_away_step")
    lacking = _Lacking(table)
    table = lacking.fill(table, POINTS, lambda t: _points(t, events))
    table = lacking.fill(table, ("no_play",), _no_play)
    table = lacking.fill(table, SCORED, _scored)
    if "timeout_by" not in lacking:
        table = lacking.fill(table, TIMEOUTS, derive.timeouts)
    table = lacking.fill(table, ("receives_second_half",), derive.second_half_receiver)
    table = lacking.fill(table, ("drive",), derive.drives)
    table = lacking.fill(table, NEXT, lambda t: derive.next_scores(t, events))
    table = lacking.fill(table, ("result",), lambda t: derive.results(t, finals))
    return Completed(table, games, dict(sorted(left_out.items())))


class _Lacking:
    """Columns that the source did not bring: absent, or empty on every row."""

    def __init__(self, table: pl.DataFrame) -> None:
        self._brought = {n for n in table.columns if table[n].null_count() < len(table)}

    def __contains__(self, name: str) -> bool:
        return name not in self._brought

    def fill(
        self,
        table: pl.DataFrame,
        names: tuple[str, ...],
        work_out: Callable[[pl.DataFrame], pl.DataFrame],
    ) -> pl.DataFrame:
        """Work out columns; of those only the lacking ones are taken."""
        wanted = [name for name in names if name in self]
        if not wanted:
            return table
        bare = table.drop([n for n in names if n in table.columns])
        worked = work_out(bare).sort("game", "play")
        return table.with_columns(worked[name] for name in wanted)


def _points(table: pl.DataFrame, events: pl.DataFrame) -> pl.DataFrame:
    by_side = events.join(
        table.select("game", "home", "away").unique("game"), on="game", how="left"
    )
    totals = by_side.group_by("game", "play").agg(
        pl.col("points").filter(pl.col("team") == pl.col(side)).sum().alias(f"_{side}")
        for side in scores.SIDES
    )
    joined = table.join(totals, on=["game", "play"], how="left", maintain_order="left")
    first_home = pl.coalesce("offense", "home") == pl.col("home")
    home, away = pl.col("_home").fill_null(0), pl.col("_away").fill_null(0)
    return joined.with_columns(
        pl.when(first_home).then(home).otherwise(away).alias("points_offense"),
        pl.when(first_home).then(away).otherwise(home).alias("points_defense"),
    ).drop("_home", "_away")


def _no_play(table: pl.DataFrame) -> pl.DataFrame:
    """A row of kind penalty is one that a penalty wiped out; other rows count."""
    return table.with_columns((pl.col("kind") == "penalty").alias("no_play"))


def _scored(table: pl.DataFrame) -> pl.DataFrame:
    """Touchdowns and safeties from the points on the row (kick returns are the defense's)."""
    kicked = pl.col("kind").is_in(["kickoff", "punt"])
    return table.with_columns(
        ((pl.col("points_offense") == 6) & ~kicked).alias("touchdown"),
        (pl.col("points_defense") == 6).alias("defense_touchdown"),
        (pl.col("points_defense") == 2).alias("safety"),
    )
