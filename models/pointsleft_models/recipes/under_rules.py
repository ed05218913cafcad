"""What the rules of a row's own level and season say of kicks, as columns."""

from __future__ import annotations

import polars as pl

from pointsleft_models.football.rules import RuleSet, rule_sets
from pointsleft_models.laws.kickoff import ERAS, FREE_KICK

#: Yards to goal of the snap from which on a kicked try is a long one (as values take it too).
LONG_TRY = 10


def nearest_rules(level: str | None, season: int) -> RuleSet:
    """The rule set of a season, or of the nearest one that there is; no level: professional."""
    known = [r for r in rule_sets() if r.level == level]
    known = known or [r for r in rule_sets() if r.level == "professional"]
    return min(known, key=lambda r: (abs(r.season - season), r.season))


def with_kick_rules(plays: pl.DataFrame) -> pl.DataFrame:
    """Add ``kick_from``, ``free_from`` (own yard lines), ``era`` (code of kickoff and touchback
    spot, empty where no fit knows the pair) and ``long`` (0, 1: the kicked try).
    """
    seasons = plays.select("level", "season").unique(maintain_order=True)
    found = [nearest_rules(level, season) for level, season in seasons.iter_rows()]
    rules = seasons.with_columns(
        pl.Series("kick_from", [r.kickoff_from for r in found], dtype=pl.Int32),
        pl.Series("free_from", [r.free_kick_from for r in found], dtype=pl.Int32),
        pl.Series("era", [ERAS.get((r.kickoff_from, r.touchback)) for r in found], dtype=pl.Int32),
        pl.Series("long", [int(r.extra_point_snap >= LONG_TRY) for r in found], dtype=pl.Int32),
    )
    joined = plays.join(
        rules, on=["level", "season"], how="left", nulls_equal=True, maintain_order="left"
    )
    spot = 100 - pl.col("yards_to_goal")
    return joined.with_columns(
        era=pl.when(spot == pl.col("kick_from"))
        .then("era")
        .when(spot == pl.col("free_from"))
        .then(pl.lit(FREE_KICK, dtype=pl.Int32))
    )
