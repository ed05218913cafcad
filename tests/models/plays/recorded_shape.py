"""Invented games in the shape in which ``nflreadpy`` gives play-by-play: names and conventions.

There the team with the ball on a kickoff is the receiver, and the spot is seen from there.
"""

from __future__ import annotations

from typing import Any

import polars as pl
from pointsleft_models.plays.cells import TYPES
from pointsleft_models.plays.league_columns import WANTED

PLAY_TYPES = {
    "pass": "pass", "sack": "pass", "run": "run", "scramble": "run", "punt": "punt",
    "field goal": "field_goal", "kickoff": "kickoff", "extra point": "extra_point",
    "two-point": "pass", "penalty": "no_play", "time-out": "no_play", "other": None,
}  # fmt: skip


def recorded(truth: pl.DataFrame) -> pl.DataFrame:
    """The invented table of ``invented_plays`` in the source's shape."""
    rows = list(truth.iter_rows(named=True))
    return shaped([_recorded(row, _next(rows, at)) for at, row in enumerate(rows)])


def shaped(rows: list[dict[str, Any]]) -> pl.DataFrame:
    """Rows with every column of the source that is read; numbers are floats, as there."""
    schema = {
        name: TYPES["text"] if kind == "text" else TYPES["float"] for name, kind in WANTED.items()
    }
    return pl.DataFrame([{**dict.fromkeys(WANTED), **row} for row in rows], schema=schema)


def _next(rows: list[dict[str, Any]], at: int) -> dict[str, Any] | None:
    later = rows[at + 1] if at + 1 < len(rows) else None
    return later if later is not None and later["game"] == rows[at]["game"] else None


def _scores(row: dict[str, Any]) -> dict[str, int]:
    first = row["offense"] or row["home"]
    second = row["away"] if first == row["home"] else row["home"]
    return {first: row["offense_score"], second: row["defense_score"]}


def _after(row: dict[str, Any], later: dict[str, Any] | None) -> dict[str, int]:
    if later is not None:
        return _scores(later)
    after = _scores(row)
    if row["offense"] is not None:
        other = row["away"] if row["offense"] == row["home"] else row["home"]
        after[row["offense"]] += row["points_offense"]
        after[other] += row["points_defense"]
        if row["kick_result"] == "good":
            after[row["offense"]] += {"extra point": 1, "two-point": 2}.get(row["kind"], 0)
    return after


def _recorded(row: dict[str, Any], later: dict[str, Any] | None) -> dict[str, Any]:
    kind, home, away = row["kind"], row["home"], row["away"]
    holder = row["offense"]
    if kind == "kickoff":
        holder = away if holder == home else home
    other = None if holder is None else away if holder == home else home
    before, after = _scores(row), _after(row, later)
    spot = row["yards_to_goal"]
    caller = {"home": home, "away": away}.get(row["timeout_by"])
    good = row["kick_result"]
    return {
        "old_game_id": row["game"], "play_id": row["play"], "season": row["season"], "week": 3,
        "season_type": "REG", "home_team": home, "away_team": away, "spread_line": 2.5,
        "roof": "dome", "temp": None, "wind": None, "qtr": row["period"],
        "quarter_seconds_remaining": row["clock"], "posteam": holder, "defteam": other,
        "posteam_score": before.get(holder), "defteam_score": before.get(other),
        "posteam_score_post": after.get(holder), "defteam_score_post": after.get(other),
        "timeout": int(caller is not None), "timeout_team": caller, "down": row["down"],
        "ydstogo": row["distance"] or 0,
        "yardline_100": 100 - spot if kind == "kickoff" else spot,
        "play_type": PLAY_TYPES[kind], "sack": int(kind == "sack"),
        "qb_scramble": int(kind == "scramble"), "two_point_attempt": int(kind == "two-point"),
        "penalty": int(kind == "penalty"), "yards_gained": row["gain"],
        "field_goal_result": {"good": "made"}.get(good, good) if kind == "field goal" else None,
        "extra_point_result": {"missed": "failed"}.get(good, good)
        if kind == "extra point" else None,
        "two_point_conv_result": {"good": "success", "missed": "failure"}.get(good)
        if kind == "two-point" else None,
        "desc": "invented",
    }  # fmt: skip


def with_finals(table: pl.DataFrame, truth: pl.DataFrame) -> pl.DataFrame:
    """The recorded table with the final scores of its games."""
    finals = {}
    for row in truth.group_by("game", maintain_order=True).tail(1).iter_rows(named=True):
        after = _after(row, None)
        finals[row["game"]] = (after[row["home"]], after[row["away"]])
    return table.with_columns(
        pl.col("old_game_id")
        .replace_strict({game: final[at] for game, final in finals.items()})
        .cast(pl.Float64)
        .alias(name)
        for at, name in enumerate(("home_score", "away_score"))
    )
