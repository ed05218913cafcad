"""Scores read off a running score: what was scored on which row, by whom, and the final.

A play table states the score before every row. What a row scored is the rise to the next row;
after the last row of a game it is what the row itself says, by its columns or by a gain that
ends behind a goal line. Rows may be missing, so a touchdown may show with its try (7 or 8 points
at once) and belongs to the row before the gap. A gap over two field goals cannot be told from a
touchdown; one over more is found.
"""

from __future__ import annotations

import polars as pl

TRIES = ("extra point", "two-point")

#: Kinds of row whose gain is where the offense's own carrier was stopped.
SNAPS = ("pass", "run", "sack", "scramble")

#: Rises of one team's score that one score (with its try) can make.
POSSIBLE = (1, 2, 3, 6, 7, 8)

SIDES = ("home", "away")


def team_scores(table: pl.DataFrame) -> pl.DataFrame:
    """Add ``_home`` and ``_away``, the points of both teams before each row.

    Where no team has the ball the first of the two scores is the home team's. An unknown score
    is the last one known.
    """
    first_home = pl.coalesce("offense", "home") == pl.col("home")
    home = pl.when(first_home).then("offense_score").otherwise("defense_score")
    away = pl.when(first_home).then("defense_score").otherwise("offense_score")
    return table.with_columns(
        (score.forward_fill().over("game").fill_null(0)).alias(name)
        for score, name in ((home, "_home"), (away, "_away"))
    )


def _own_points(offense: bool, columns: list[str]) -> pl.Expr:
    """Points of one side on a row by the row's own columns, tries counted; null: not said."""
    said: list[pl.Expr] = []
    tried = pl.lit(0)
    if "kick_result" in columns:
        good = pl.col("kick_result") == "good"
        if offense:
            tried = (
                pl.when(good & (pl.col("kind") == "extra point"))
                .then(1)
                .when(good & (pl.col("kind") == "two-point"))
                .then(2)
                .otherwise(0)
            )
            said.append(pl.when(good & (pl.col("kind") == "field goal")).then(3))
    touchdown = "touchdown" if offense else "defense_touchdown"
    if touchdown in columns:
        said.append(pl.when(pl.col(touchdown)).then(6))
    if not offense and "safety" in columns:
        said.append(pl.when(pl.col("safety")).then(2))
    points = "points_offense" if offense else "points_defense"
    if points in columns:
        said.insert(0, pl.col(points))
    if {"gain", "yards_to_goal"} <= set(columns):
        # no column marks such scores: where the ball ended does
        spot = pl.col("yards_to_goal") - pl.col("gain")
        snap = pl.col("kind").is_in(SNAPS)
        if offense and touchdown not in columns:
            said.append(pl.when(snap & (spot <= 0)).then(6))
        if not offense and "safety" not in columns:
            said.append(pl.when(snap & (spot >= 100)).then(2))
    own = pl.coalesce(*said, pl.lit(0)) if said else pl.lit(0)
    return pl.when(pl.col("kind").is_in(TRIES)).then(tried).otherwise(own).cast(pl.Int32)


def with_steps(table: pl.DataFrame) -> pl.DataFrame:
    """Add ``_home_step`` and ``_away_step``: points of either team on the row, tries counted.

    Needs :func:`team_scores`. Optional columns that are not in the table are not asked.
    """
    columns = [name for name in table.columns if table[name].null_count() < len(table)]
    first_home = pl.coalesce("offense", "home") == pl.col("home")
    first, second = _own_points(True, columns), _own_points(False, columns)
    own = {
        "home": pl.when(first_home).then(first).otherwise(second),
        "away": pl.when(first_home).then(second).otherwise(first),
    }
    return table.with_columns(
        pl.coalesce(
            (pl.col(f"_{side}").shift(-1) - pl.col(f"_{side}")).over("game"), own[side], pl.lit(0)
        )
        .cast(pl.Int32)
        .alias(f"_{side}_step")
        for side in SIDES
    )


def score_events(stepped: pl.DataFrame) -> pl.DataFrame:
    """Every score but tries: ``game``, ``play``, ``team``, ``what``, ``points``.

    ``what`` is ``touchdown``, ``field goal`` or ``safety``; ``points`` 6, 3 or 2. Two points
    right after a touchdown of the same team, with no snap in between, are its try.
    """
    live = pl.col("down").is_not_null() | (pl.col("kind") == "kickoff")
    scored = (pl.col("_home_step") > 0) | (pl.col("_away_step") > 0)
    frames = []
    for side in SIDES:
        step, other = pl.col(f"_{side}_step"), pl.col(f"_{_other(side)}_step")
        before = (
            pl.when(live | scored).then(step).otherwise(None).shift(1).forward_fill().over("game")
        )
        a_try = (
            pl.col("kind").is_in(TRIES)  # the try itself, or its return by the other side
            | (~live & (before == 6))  # a try whose own row is missing
            | other.is_in([6, 7, 8])  # returned, with the touchdown on one row
        )
        what = (
            pl.when(step.is_in([6, 7, 8]))
            .then(pl.lit("touchdown"))
            .when(step == 3)
            .then(pl.lit("field goal"))
            .when((step == 2) & ~a_try.fill_null(False))
            .then(pl.lit("safety"))
        )
        frames.append(
            stepped.with_columns(what.alias("what"))
            .filter(pl.col("what").is_not_null())
            .select("game", "play", pl.col(side).alias("team"), "what")
        )
    points = {"touchdown": 6, "field goal": 3, "safety": 2}
    return (
        pl.concat(frames)
        .with_columns(pl.col("what").replace_strict(points, return_dtype=pl.Int32).alias("points"))
        .sort("game", "play")
    )


def _other(side: str) -> str:
    return "away" if side == "home" else "home"


def finals(stepped: pl.DataFrame) -> pl.DataFrame:
    """``game``, ``home_points``, ``away_points`` as the rows have them."""
    return stepped.group_by("game", maintain_order=True).agg(
        (pl.col(f"_{side}") + pl.col(f"_{side}_step")).last().cast(pl.Int32).alias(f"{side}_points")
        for side in SIDES
    )


def unexplained(stepped: pl.DataFrame, known: pl.DataFrame | None = None) -> dict[str, str]:
    """Games whose rows do not add up, and why: game -> reason.

    Parameters
    ----------
    known
        Final scores from elsewhere (``game``, ``home_points``, ``away_points``), of any games.
    """
    home, away = pl.col("_home_step"), pl.col("_away_step")
    odd = ~home.is_in([0, *POSSIBLE]) | ~away.is_in([0, *POSSIBLE])
    # both at once: a touchdown whose try was returned, nothing else
    both = (home > 0) & (away > 0)
    returned = (home.is_in([6, 7, 8]) & (away == 2)) | (away.is_in([6, 7, 8]) & (home == 2))
    reasons: dict[str, str] = {}
    unsaid = stepped.group_by("game").agg(pl.col("offense_score", "defense_score").count())
    for row in unsaid.iter_rows(named=True):
        if not row["offense_score"] or not row["defense_score"]:
            reasons[row["game"]] = "no row states the score"
    for row in stepped.filter(odd | (both & ~returned)).iter_rows(named=True):
        reasons.setdefault(
            row["game"],
            f"the score rises by {row['_home_step']}-{row['_away_step']} (home first) at play "
            f"{row['play']}: rows are missing or wrong",
        )
    if known is not None:
        wanted = known.select("game", home_known="home_points", away_known="away_points")
        off = (pl.col("home_points") != pl.col("home_known")) | (
            pl.col("away_points") != pl.col("away_known")
        )
        for row in finals(stepped).join(wanted, on="game").filter(off).iter_rows(named=True):
            reasons.setdefault(
                row["game"],
                f"the plays end {row['home_points']}-{row['away_points']} (home first), the "
                f"final is {row['home_known']}-{row['away_known']}",
            )
    return reasons
