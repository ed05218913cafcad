"""Are the laws, mixed as teams call plays, worth what their situations are worth?

If they are, ``offered`` of an average call is nothing. A sample of every kind of play is priced
by its law, as it was in its season, and the kinds are weighted by how often they were called. The
laws know nothing of flags and the values of situations do, so the sum is given without the flagged
plays and with them, those at what they really came to.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import polars as pl

from pointsleft_models.bundle import Worth
from pointsleft_models.laws.lattice import OutcomeLaw
from pointsleft_models.laws.passing import Throw, thrown_away
from pointsleft_models.laws.setting import Setting
from pointsleft_models.recipes.next_score import row_states
from pointsleft_models.values.following import Team

#: Air yards from which a pass counts as a kind of its own.
DEEP = 15

#: Seconds of an ordinary play.
PLAY_SECONDS = 6.0

#: Last seconds of a half that are left out: there the clock is called, not the play.
LATE = 130

CALLED = ("pass", "run", "sack", "scramble", "punt", "field goal")


@dataclass(frozen=True, slots=True)
class CalledPlays:
    """One group of situations.

    Attributes
    ----------
    plays
        How many were called and not flagged.
    gap
        Mean value of the laws less that of the situations, points, flagged plays left out.
    with_flags
        The same over all plays, the flagged ones at what they came to.
    error
        Standard error of ``gap`` from the sampling of plays to price.
    """

    plays: int
    gap: float
    with_flags: float
    error: float


def law_of_call(worth: Worth, at: Setting, row: dict[str, object]) -> OutcomeLaw:
    """The law of a play as it was called."""
    kind = row["kind"]
    if kind == "pass":
        if not row["targeted"] or row["air_yards"] is None:
            return thrown_away(at)
        third = row["third"]
        return worth.passing.law(
            Throw(int(str(row["air_yards"])), None if third is None else str(third)), at
        )
    if kind == "run":
        return worth.rushing.run(at, str(row["gap"] or "guard"))
    if kind == "sack":
        return worth.rushing.sack(at)
    if kind == "scramble":
        return worth.rushing.scramble(at)
    if kind == "punt":
        return worth.kicking.punt(at)
    return worth.kicking.field_goal(at)


def value_of_call(worth: Worth, row: dict[str, object]) -> float:
    """Points of the law of a play as it was called."""
    down, distance, spot, half, seconds, lead, own, other = (int(str(row[n])) for n in _NUMBERS)
    at = Setting(down, distance, spot, half, seconds, lead, bool(row["shotgun"]))
    field = worth.valuation.field(at, Team(own, other, 0), PLAY_SECONDS, with_wins=False)
    assert field.points is not None
    return float(law_of_call(worth, at, row).value(field.points)[0])


def _gaps(worth: Worth, rows: pl.DataFrame) -> np.ndarray:
    """(rows,) value of the law of each call less that of its situation."""
    priced = np.array([value_of_call(worth, row) for row in rows.iter_rows(named=True)])
    return np.asarray(priced - worth.points.points(row_states(rows)))


_NUMBERS = ("down", "distance", "yards_to_goal", "half", "half_seconds", "lead",
            "offense_timeouts", "defense_timeouts")  # fmt: skip


def called_plays(
    under: Callable[[int], Worth], drifted: pl.DataFrame, rng: np.random.Generator, draws: int = 500
) -> CalledPlays:
    """Laws against situations over one group of plays.

    Parameters
    ----------
    under
        Season -> values and laws of its game.
    drifted
        Rows of :func:`~pointsleft_models.checks.drift.drift`, one group of situations.
    draws
        Plays to price, shared among the kinds by how often they were called.
    """
    rows = drifted.filter(
        (pl.col("half_seconds") > LATE)
        & pl.col("offense_timeouts").is_not_null()
        & pl.col("defense_timeouts").is_not_null()
    )
    flagged = pl.col("no_play") | pl.col("penalty_on").is_not_null()
    flagged = flagged | ~pl.col("kind").is_in(CALLED)
    flags = rows.filter(flagged)
    called = rows.filter(~flagged).with_columns(
        sort=pl.when((pl.col("kind") == "pass") & (pl.col("air_yards") >= DEEP))
        .then(pl.lit("deep pass"))
        .otherwise("kind")
    )
    total, variance = 0.0, 0.0
    for _, kind in called.group_by("sort", maintain_order=True):
        take = min(len(kind), max(30, round(draws * len(kind) / len(called))))
        picked = kind[np.sort(rng.choice(len(kind), take, replace=False))]
        gaps = np.concatenate(
            [
                _gaps(under(int(str(s))), rows)
                for (s,), rows in picked.group_by("season", maintain_order=True)
            ]
        )
        total += len(kind) * float(gaps.mean())
        variance += len(kind) ** 2 * float(gaps.var()) / take
    flagged_total = float((flags["after"] - flags["before"]).sum())
    return CalledPlays(
        plays=len(called),
        gap=total / len(called),
        with_flags=(total + flagged_total) / len(rows),
        error=float(np.sqrt(variance)) / len(called),
    )
