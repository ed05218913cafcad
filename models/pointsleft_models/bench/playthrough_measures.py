"""What a set of games looks like, counted in one way on the archive and on simulated games."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import polars as pl

from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.result import Playthroughs
from pointsleft_models.recipes.playthrough_rows import PLAYED, snaps

#: Names of the events of the engine, flags and downs lost among the endings of drives.
EVENTS = {
    codes.RUN: "run", codes.CATCH: "catch", codes.INCOMPLETE: "incomplete", codes.SACK: "sack",
    codes.SCRAMBLE: "scramble", codes.INTERCEPTION: "turnover", codes.FUMBLE_LOST: "turnover",
    codes.KNEEL: "kneel", codes.SPIKE: "spike", codes.PUNT: "punt", codes.GOOD: "field goal",
    codes.MISSED: "miss", codes.FLAG: "flag",
}  # fmt: skip

#: Starts of drives: highest yards to goal of each zone.
ZONES = ((20, "opp 20 to 1"), (40, "opp 40 to 21"), (59, "around midfield"),
         (79, "own 40 to 21"), (99, "own 1 to 20"))  # fmt: skip

ENDINGS = ("touchdown", "field goal", "miss", "punt", "turnover", "downs", "safety", "half")


@dataclass(frozen=True, slots=True)
class Games:
    """Games in the common form.

    Attributes
    ----------
    snaps
        One row a snap of regulation, in order: ``game``, ``half``, ``seconds``, ``offense``,
        ``down``, ``distance``, ``yards_to_goal``, ``lead``, ``event``, ``gain``, ``points``
        (negative: for the defense), ``used`` (seconds to the next snap of the half, empty where
        a score or the end of the half follows).
    results
        One row a game: ``margin``, ``total``, ``overtime``.
    """

    snaps: pl.DataFrame
    results: pl.DataFrame


def simulated(run: Playthroughs) -> Games:
    """Simulated games (run with ``record``) in the common form."""
    table = pl.DataFrame(dict(run.log)).filter(pl.col("half") < 3)
    table = table.with_columns(
        event=pl.col("event").replace_strict(EVENTS, return_dtype=pl.String)
    ).sort("game", "half", "seconds", descending=[False, False, True], maintain_order=True)
    ended = (pl.col("points") != 0) | (pl.col("used") >= pl.col("seconds"))
    table = table.with_columns(used=pl.when(~ended).then("used"))
    results = pl.DataFrame({"margin": run.margin, "total": run.total, "overtime": run.overtime})
    return Games(table, results)


def archived(plays: pl.DataFrame) -> Games:
    """Games of a play table (with next snaps) in the common form."""
    lost = pl.col("intercepted").fill_null(False) | pl.col("fumble_lost")
    kind = pl.col("kind")
    event = (
        pl.when(pl.col("flagged"))
        .then(pl.lit("flag"))
        .when(kind.is_in(PLAYED) & lost)
        .then(pl.lit("turnover"))
        .when((kind == "pass") & pl.col("complete"))
        .then(pl.lit("catch"))
        .when(kind == "pass")
        .then(pl.lit("incomplete"))
        .when((kind == "field goal") & (pl.col("kick_result") != "good"))
        .then(pl.lit("miss"))
        .otherwise(kind)
    )
    scored = pl.col("points_offense") - pl.col("points_defense")
    table = snaps(plays).select(
        "game", "half", seconds="half_seconds", offense=pl.col("offense_home").cast(pl.Int64),
        down="down", distance="distance", yards_to_goal="yards_to_goal", lead="lead",
        event=event, gain="gain", points=scored,
        used=pl.when(scored == 0).then(pl.col("half_seconds") - pl.col("next_half_seconds")),
    )  # fmt: skip
    last = plays.group_by("game", maintain_order=True).last()
    home = pl.when(pl.col("offense_home").fill_null(True)).then(1).otherwise(-1)
    ours = pl.col("offense_score") + pl.col("points_offense")
    theirs = pl.col("defense_score") + pl.col("points_defense")
    final = last.with_columns(_gap=(ours - theirs) * home, _all=ours + theirs)
    extra = plays.group_by("game").agg(overtime=(pl.col("half") == 3).any())
    results = final.join(extra, on="game", maintain_order="left").select(
        margin=pl.col("_gap"), total=pl.col("_all"), overtime=pl.col("overtime")
    )
    return Games(table, results)


def drives(games: Games) -> pl.DataFrame:
    """One row a drive: ``start`` (yards to goal), ``zone``, ``ending``, ``points``, ``snaps``."""
    table = games.snaps
    new = (
        (pl.col("game") != pl.col("game").shift(1))
        | (pl.col("half") != pl.col("half").shift(1))
        | (pl.col("offense") != pl.col("offense").shift(1))
        | (pl.col("points").shift(1) != 0)
    ).fill_null(True)
    table = table.with_columns(drive=new.cast(pl.Int64).cum_sum())
    same = (pl.col("game") == pl.col("game").shift(-1)) & (
        pl.col("half") == pl.col("half").shift(-1)
    )
    table = table.with_columns(more=same.fill_null(False))
    last = table.group_by("drive", maintain_order=True).agg(
        pl.col("game").first(),
        start=pl.col("yards_to_goal").first(),
        event=pl.col("event").last(),
        points=pl.col("points").last(),
        more=pl.col("more").last(),
        down=pl.col("down").last(),
        snaps=(pl.col("event") != "flag").sum(),
        kneels=(pl.col("event").is_in(["kneel"])).all(),
    )
    ending = (
        pl.when(pl.col("points") == 6)
        .then(pl.lit("touchdown"))
        .when(pl.col("points") == -2)
        .then(pl.lit("safety"))
        .when(pl.col("event").is_in(["field goal", "miss", "punt", "turnover"]))
        .then(pl.col("event"))
        .when(pl.col("more") & (pl.col("down") == 4))
        .then(pl.lit("downs"))
        .otherwise(pl.lit("half"))
    )
    zone = pl.lit(ZONES[-1][1])
    for most, name in reversed(ZONES[:-1]):
        zone = pl.when(pl.col("start") <= most).then(pl.lit(name)).otherwise(zone)
    return last.with_columns(ending=ending, zone=zone).filter(~pl.col("kneels"))


def measures(games: Games) -> dict[str, float]:
    """Every quantity by its name."""
    found: dict[str, float] = {}
    found |= _results(games.results)
    found |= _snaps(games)
    found |= _drives(games)
    found |= _fourth(games.snaps)
    return found


def _results(results: pl.DataFrame) -> dict[str, float]:
    margin, total = results["margin"].to_numpy(), results["total"].to_numpy()
    gap = np.abs(margin)
    return {
        "margin: standard deviation": float(np.sqrt(np.mean(margin**2))),
        "margin: median": float(np.median(gap)),
        "margin: mean": float(gap.mean()),
        "margin: 90% quantile": float(np.quantile(gap, 0.9)),
        "margin of 3": float((gap == 3).mean()),
        "margin of 7": float((gap == 7).mean()),
        "margin of 8 or less": float((gap <= 8).mean()),
        "margin of 17 or more": float((gap >= 17).mean()),
        "total: mean": float(total.mean()),
        "total: standard deviation": float(total.std()),
        "total: 10% quantile": float(np.quantile(total, 0.1)),
        "total: 90% quantile": float(np.quantile(total, 0.9)),
        "overtime games": float(results["overtime"].cast(pl.Float64).mean()),  # type: ignore[arg-type]
    }


def _snaps(games: Games) -> dict[str, float]:
    table = games.snaps
    n = len(games.results)
    event = pl.col("event")
    played = table.filter(event != "flag")
    counts: Mapping[str, int] = dict(played.group_by("event").len().iter_rows())
    # a few rows of the archive carry a clock that runs backwards
    used = table.filter(pl.col("used") >= 0)
    late = used.filter(pl.col("seconds") <= 120)
    passes = sum(counts.get(e, 0) for e in ("catch", "incomplete"))
    return {
        "plays a game": len(played) / n,
        "flagged snaps a game": (len(table) - len(played)) / n,
        "seconds a play": _mean(used["used"]),
        "seconds a play, last two minutes": _mean(late["used"]),
        "runs a game": counts.get("run", 0) / n,
        "sacks a game": counts.get("sack", 0) / n,
        "turnovers a game": counts.get("turnover", 0) / n,
        "punts a game": counts.get("punt", 0) / n,
        "kneels a game": counts.get("kneel", 0) / n,
        "spikes a game": counts.get("spike", 0) / n,
        "completions": counts.get("catch", 0) / max(passes, 1),
        "yards a run": _mean(played.filter(event == "run")["gain"]),
        "yards a catch": _mean(played.filter(event == "catch")["gain"]),
    }


def _mean(values: pl.Series) -> float:
    return float(values.cast(pl.Float64).mean() or 0.0)  # type: ignore[arg-type]


def _drives(games: Games) -> dict[str, float]:
    table = drives(games)
    n = len(games.results)
    own = pl.col("points").clip(0, 6)
    found = {
        "drives a game": len(table) / n,
        "points a drive (tries apart)": _mean(table.select(own)["points"]),
        "plays a drive": _mean(table["snaps"]),
        "start of drives, yards to goal": _mean(table["start"]),
    }
    share = dict(table.group_by("ending").len().iter_rows())
    for ending in ENDINGS:
        found[f"drives: {ending}"] = share.get(ending, 0) / len(table)
    for _, zone in ZONES:
        part = table.filter(pl.col("zone") == zone)
        share = dict(part.group_by("ending").len().iter_rows())
        for ending in ENDINGS:
            found[f"drives from {zone}: {ending}"] = share.get(ending, 0) / max(len(part), 1)
    return found


def _fourth(table: pl.DataFrame) -> dict[str, float]:
    fourth = table.filter((pl.col("down") == 4) & ~pl.col("event").is_in(["flag", "kneel"]))
    kick = pl.col("event").is_in(["field goal", "miss"])
    goes = ~kick & (pl.col("event") != "punt")
    short = fourth.filter(pl.col("distance") <= 2)
    late = fourth.filter((pl.col("half") == 2) & (pl.col("seconds") <= 480) & (pl.col("lead") < 0))
    tried = fourth.filter(goes)
    return {
        "fourth downs: go": _mean(fourth.select(goes)["event"]),
        "fourth downs: field goal": _mean(fourth.select(kick)["event"]),
        "fourth and 1 or 2: go": _mean(short.select(goes)["event"]),
        "fourth down behind in the last 8:00: go": _mean(late.select(goes)["event"]),
        "fourth down tries made": _mean(
            tried.select(
                (
                    (pl.col("gain") >= pl.col("distance"))
                    & (pl.col("event").is_in(["run", "catch", "scramble"]))
                ).alias("made")
            )["made"]
        ),
    }
