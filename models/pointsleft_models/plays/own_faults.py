"""Faults that show only between the rows or columns of a table."""

from __future__ import annotations

import polars as pl

from pointsleft_models.plays import derive, scores
from pointsleft_models.plays.checking import Fault
from pointsleft_models.plays.complete import FOLLOWING

_ONE_A_GAME = ("season", "week", "stage", "level", "home", "away")


def faults(table: pl.DataFrame) -> list[Fault]:
    """One line a fault; the table has the required columns, each of the schema's type."""
    table = table.filter(
        pl.all_horizontal(pl.col("game", "play", "home", "away").is_not_null())
    ).sort("game", "play", maintain_order=True)
    if len(table) == 0:
        return []
    return [*_teams(table), *_changing(table), *_falling(table), *_disagreeing(table)]


def _at(bad: pl.DataFrame) -> str:
    row = bad.row(0, named=True)
    return f"{len(bad)} rows, e.g. in game {row['game']!r} play {row['play']}"


def _teams(table: pl.DataFrame) -> list[Fault]:
    found: list[Fault] = []
    same = table.filter(pl.col("home") == pl.col("away"))
    if len(same):
        found.append(Fault.at(f"columns home and away: {_at(same)}; expected two teams", same))
    offense = pl.col("offense")
    other = table.filter((offense != pl.col("home")) & (offense != pl.col("away")))
    if len(other):
        row = other.row(0, named=True)
        text = (
            f"column offense: {_at(other)} it is {row['offense']!r}; expected {row['home']!r} or "
            f"{row['away']!r}, the teams of the game"
        )
        found.append(Fault.at(text, other))
    return found


def _changing(table: pl.DataFrame) -> list[Fault]:
    """What belongs to the game must be the same on all its rows."""
    found: list[Fault] = []
    for name in _ONE_A_GAME:
        if name not in table.columns:
            continue
        seen = table.group_by("game", maintain_order=True).agg(
            pl.col(name).drop_nulls().unique(maintain_order=True)
        )
        bad = seen.filter(pl.col(name).list.len() > 1)
        if len(bad):
            game, values = bad.row(0)
            text = (
                f"column {name}: {len(bad)} games have several, e.g. game {game!r} has "
                f"{' and '.join(map(repr, values[:3]))}; expected one a game"
            )
            found.append(Fault.at(text, bad))
    return found


def _falling(table: pl.DataFrame) -> list[Fault]:
    found: list[Fault] = []
    both = scores.team_scores(table)
    for side in scores.SIDES:
        before = pl.col(f"_{side}").shift(1).over("game")
        bad = both.with_columns(before.alias("_before")).filter(pl.col(f"_{side}") < before)
        if len(bad):
            row = bad.row(0, named=True)
            text = (
                f"columns offense_score and defense_score: {_at(bad)} the {side} team's score "
                f"falls from {row['_before']} to {row[f'_{side}']}; a score never goes backwards "
                "(on rows without offense the home team's stands first)"
            )
            found.append(Fault.at(text, bad))
    return found


def _disagreeing(table: pl.DataFrame) -> list[Fault]:
    """Columns that follow from required ones; where a table brings them they must agree."""
    brought = [name for name in FOLLOWING if name in table.columns]
    worked = derive.sides(derive.clocks(table.drop(brought)))
    found: list[Fault] = []
    for name in brought:
        bad = table.with_columns(worked[name].alias("_worked")).filter(
            pl.col(name) != pl.col("_worked")
        )
        if len(bad):
            row = bad.row(0, named=True)
            text = (
                f"column {name}: {_at(bad)} it is {row[name]!r}; the required columns give "
                f"{row['_worked']!r}"
            )
            found.append(Fault.at(text, bad))
    return found
