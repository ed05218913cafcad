"""Do expected points drift? V(next) - V(now) over a play table must average to nothing.

The value of what came next is worked out by the convention that the values themselves keep: net
points of a score with the expected try, less the kickoff receiver's expected points; the next
snap's value, turned where the ball changed hands; nothing at the end of a half.
"""

from __future__ import annotations

import numpy as np
import polars as pl

from pointsleft_models.bundle import Models
from pointsleft_models.football.rules import rule_set
from pointsleft_models.recipes.next_score import next_score_rows, row_states
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.states import states

Array = np.ndarray

#: Seconds of a scoring play, which come off the clock before the kickoff.
SCORING_PLAY = 6


def drift(models: Models, plays: pl.DataFrame) -> pl.DataFrame:
    """Value before and after every scrimmage row of regulation.

    Parameters
    ----------
    models
        Fits; each season is valued under its own rules.
    plays
        A play table with the next snaps (:func:`~pointsleft_models.plays.sequence.with_next_snap`).

    Returns
    -------
    pl.DataFrame
        The rows with ``before`` and ``after``, points from the offense's view; kneels, spikes
        and tries left out.
    """
    parts = []
    for (level, season), here in plays.group_by("level", "season", maintain_order=True):
        points = models.under(rule_set(str(level), int(str(season)))).points
        rows = next_score_rows(here).filter(pl.col("kind") != "other")
        if rows.is_empty():
            continue
        before = points.points(row_states(rows))
        parts.append(
            rows.with_columns(before=pl.Series(before), after=pl.Series(after(points, rows)))
        )
    return pl.concat(parts)


def after(points: ExpectedPoints, rows: pl.DataFrame) -> Array:
    """Points (n,) of what came next, from the view of the team that had the ball."""
    same = (rows["next_offense"] == rows["offense"]).fill_null(False).to_numpy()
    own, other = (rows[f"{side}_timeouts"].fill_null(3).to_numpy() for side in _SIDES)
    following = states(
        down=rows["next_down"].fill_null(1).to_numpy(),
        distance=rows["next_distance"].fill_null(10).to_numpy(),
        yards_to_goal=rows["next_yards_to_goal"].fill_null(50).to_numpy(),
        half=rows["half"].to_numpy(),
        half_seconds=rows["next_half_seconds"].fill_null(0).to_numpy(),
        own_timeouts=np.where(same, own, other),
        opponent_timeouts=np.where(same, other, own),
    )
    value = points.points(following) * np.where(same, 1, -1)
    value = np.where(rows["next_down"].is_not_null().to_numpy(), value, 0.0)
    seconds = np.maximum(rows["half_seconds"].to_numpy() - SCORING_PLAY, 0)
    kickoff = points.receiving(seconds) * (seconds > 0)
    free_kick = points.receiving_free_kick(seconds) * (seconds > 0)
    touchdown = 6 + points.try_points - kickoff
    ours, theirs = rows["points_offense"].to_numpy(), rows["points_defense"].to_numpy()
    return np.select(
        [ours == 6, ours == 3, ours == 2, theirs == 6, theirs == 2],
        [touchdown, 3 - kickoff, 2 + free_kick, -touchdown, -2 - free_kick],
        value,
    )


_SIDES = ("offense", "defense")
