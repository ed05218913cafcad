"""Every fourth down of a review as a table."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from pointsleft.calls.parts import OPTIONS
from pointsleft.calls.play_table import UNSEEN
from pointsleft.calls.review import Review
from pointsleft.calls.settling import word


def calls_frame(review: Review) -> Any:
    """One row a fourth down; a figure that is not there is empty."""
    import polars as pl

    table, at = review.downs, review.downs.at
    options = np.array(OPTIONS, dtype=object)
    called = np.where(table.called == UNSEEN, None, options[np.maximum(table.called, 0)])
    columns: dict[str, Any] = {
        "game": table.game, "season": table.season, "week": table.week, "team": table.team,
        "opponent": table.opponent, "play": table.play, "period": table.period,
        "clock": table.clock, "yards_to_goal": at.yards_to_goal, "distance": at.distance,
        "lead": at.lead, "called": called, "conversion": review.converted,
        "kick_good": review.made,
    }  # fmt: skip
    for name, money, values in (
        ("points", review.points, review.values_points), ("wins", review.wins, review.values_wins)
    ):  # fmt: skip
        for i, option in enumerate(OPTIONS):
            columns[f"{name}_{option.replace(' ', '_')}"] = values[:, i]
        columns[f"{name}_best"] = options[money.best]
        columns[f"{name}_share"] = money.share
        columns[f"{name}_verdict"] = [word(float(s)) for s in money.share]
        columns[f"{name}_left"] = money.left
        columns[f"{name}_left_crossfit"] = money.crossfit
    return pl.DataFrame(
        {k: (v.tolist() if v.dtype == object else v) if isinstance(v, np.ndarray) else v
         for k, v in columns.items()}
    ).fill_nan(None)  # fmt: skip


def write_calls(review: Review, path: Path) -> None:
    """Write the table as CSV or Parquet; names of strangers' files are made safe for a sheet."""
    import polars as pl

    from pointsleft.report.safe_text import neutral_cell

    frame = calls_frame(review)
    if path.suffix.lower() == ".parquet":
        frame.write_parquet(path)
        return
    text = pl.col("game", "team", "opponent").map_elements(neutral_cell, return_dtype=pl.String)
    frame.with_columns(text).write_csv(path)
