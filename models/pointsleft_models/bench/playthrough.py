"""Whether simulated games look like the archive's: every quantity beside its range of seasons."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import polars as pl

from pointsleft_models.bench.playthrough_measures import Games, archived, measures, simulated
from pointsleft_models.football.rules import RuleSet, rule_set
from pointsleft_models.playthrough.load import load_playthrough
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import kickoff_start


@dataclass(frozen=True, slots=True)
class Row:
    """One quantity of simulated games beside the seasons of the archive."""

    what: str
    simulated: float
    archive: float
    lowest: float
    highest: float

    @property
    def inside(self) -> bool:
        """Within the range of the seasons."""
        return self.lowest <= self.simulated <= self.highest


def season_measures(plays: pl.DataFrame) -> dict[int, dict[str, float]]:
    """Every quantity in every season of a play table (with next snaps)."""
    seasons = sorted(plays["season"].unique())
    return {s: measures(archived(plays.filter(pl.col("season") == s))) for s in seasons}


def simulated_games(
    seasons: Sequence[RuleSet],
    games: int,
    seed: int,
    *,
    folder: str | Path | None = None,
    workers: int = 1,
) -> Games:
    """So many games under the rules of every season, by the shipped or other fits."""
    parts = []
    for k, rules in enumerate(seasons):
        own, teams = load_playthrough(rules, rules.level, folder)
        run = play_through(
            own, kickoff_start(rules), games, [seed, k], teams=teams, record=True, workers=workers
        )
        one = simulated(run)
        parts.append(Games(one.snaps.with_columns(pl.col("game") + k * games), one.results))
    return Games(pl.concat([p.snaps for p in parts]), pl.concat([p.results for p in parts]))


def compare(plays: pl.DataFrame, games: Games) -> list[Row]:
    """Simulated games beside the archive, quantity by quantity."""
    by_season = season_measures(plays)
    ours = measures(games)
    rows = []
    for what, value in ours.items():
        seen = np.array([m[what] for m in by_season.values()])
        rows.append(Row(what, value, float(seen.mean()), float(seen.min()), float(seen.max())))
    return rows


def season_rules(plays: pl.DataFrame, level: str = "professional") -> list[RuleSet]:
    """The rule set of every season of a play table."""
    return [rule_set(level, int(s)) for s in sorted(plays["season"].unique())]


@dataclass(frozen=True, slots=True)
class Speed:
    """How long so many full games took, on so many workers."""

    games: int
    workers: int
    seconds: float


def time_games(games: int = 100_000, workers: int = 2, seed: int = 1) -> Speed:
    """Play full games by the shipped fits against the clock; loading apart."""
    rules = rule_set("professional", 2016)
    parts, teams = load_playthrough(rules)
    begun = time.perf_counter()
    play_through(parts, kickoff_start(rules), games, seed, teams=teams, workers=workers)
    return Speed(games, workers, time.perf_counter() - begun)
