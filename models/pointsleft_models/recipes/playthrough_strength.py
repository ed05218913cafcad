"""How much better one side of a game is, from its other games of the season."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl

#: Fewest other games of a side that say anything.
FEWEST_GAMES = 4

#: Differences in strength beyond which the parts make no difference, points a game.
MOST_BETTER = 21

#: Strengths are told apart in such steps, so that many rows share one.
STEP = 3


def final_results(plays: pl.DataFrame) -> pl.DataFrame:
    """``game``, ``season``, ``home``, ``away``, ``margin`` (home minus away) and ``total``."""
    last = plays.group_by("game", maintain_order=True).last()
    sign = pl.when(pl.col("offense_home").fill_null(True)).then(1).otherwise(-1)
    ours = pl.col("offense_score") + pl.col("points_offense")
    theirs = pl.col("defense_score") + pl.col("points_defense")
    return last.select(
        "game", "season", "home", "away", margin=(ours - theirs) * sign, total=ours + theirs
    )


def _others(games: pl.DataFrame, value: str, away_sign: int) -> tuple[np.ndarray, np.ndarray]:
    """Each side's mean of a result in its other games of the season: home and away, (games,)."""
    home = games.select("game", "season", team="home", x=pl.col(value))
    away = games.select("game", "season", team="away", x=away_sign * pl.col(value))
    sides = pl.concat([home, away]).with_columns(
        n=pl.len().over("season", "team"), sum=pl.col("x").sum().over("season", "team")
    )
    others = pl.when(pl.col("n") > FEWEST_GAMES).then(
        (pl.col("sum") - pl.col("x")) / (pl.col("n") - 1)
    )
    sides = sides.select("game", "team", others=others)
    both = games.join(
        sides.rename({"team": "home", "others": "_home"}), on=["game", "home"], how="left"
    ).join(sides.rename({"team": "away", "others": "_away"}), on=["game", "away"], how="left")
    return both["_home"].to_numpy().astype(float), both["_away"].to_numpy().astype(float)


def home_strength(plays: pl.DataFrame) -> pl.DataFrame:
    """``game`` and ``stronger``: points by which the home side should have been better.

    The margin regressed on both sides' mean margins in their other games of the season; what it
    foretells is the best guess of the true difference, so an effect of it is not watered down.
    """
    games = final_results(plays)
    home, away = _others(games, "margin", -1)
    gap = home - away
    known = np.isfinite(gap)
    if known.sum() <= 2:
        return games.select("game", stronger=pl.lit(0.0))
    design = np.column_stack([np.ones(int(known.sum())), gap[known]])
    fit, *_ = np.linalg.lstsq(design, games["margin"].to_numpy()[known].astype(float), rcond=None)
    return games.select("game", stronger=pl.Series(np.where(known, fit[0] + fit[1] * gap, 0.0)))


@dataclass(frozen=True, slots=True)
class Differences:
    """How the games of a table differ beside luck, points a game.

    Attributes
    ----------
    spread, level
        Standard deviations of the difference and of the sum of both sides' strengths.
    edge
        What playing at home is worth.
    equal
        Standard deviation of the margin between equal sides.
    """

    spread: float
    level: float
    edge: float
    equal: float


def differences(plays: pl.DataFrame) -> Differences:
    """Estimated from how results of one season go together.

    The covariance of a game's result with what both sides did in their other games is the
    variance of what lasts: luck does not carry over.
    """
    games = final_results(plays).with_columns(
        total=pl.col("total") - pl.col("total").mean().over("season")
    )
    margin = games["margin"].to_numpy().astype(float)
    lasting = {}
    for value, sign in (("margin", -1), ("total", 1)):
        home, away = _others(games, value, sign)
        other = home + sign * away
        known = np.isfinite(other)
        result = games[value].to_numpy().astype(float)
        lasting[value] = max(float(np.cov(other[known], result[known])[0, 1]), 0.0)
    equal = max(float(margin.var()) - lasting["margin"], 1.0)
    return Differences(
        float(np.sqrt(lasting["margin"])),
        float(np.sqrt(lasting["total"])),
        float(margin.mean()),
        float(np.sqrt(equal)),
    )


def with_strength(rows: pl.DataFrame, plays: pl.DataFrame) -> pl.DataFrame:
    """Adds ``better``: points a game (in steps) by which the offense is the better side."""
    stronger = pl.col("stronger").fill_null(0.0)
    signed = pl.when(pl.col("offense_home")).then(stronger).otherwise(-stronger)
    return (
        rows.join(home_strength(plays), on="game", how="left")
        .with_columns(
            better=((signed / STEP).round() * STEP).clip(-MOST_BETTER, MOST_BETTER).cast(pl.Int32)
        )
        .drop("stronger")
    )
