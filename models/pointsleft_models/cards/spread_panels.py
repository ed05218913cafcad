"""What the card of the pre-game spread compares."""

from __future__ import annotations

import numpy as np
import polars as pl

from pointsleft_models.bundle import Models
from pointsleft_models.cards.compare import binned, ticks
from pointsleft_models.cards.counted import Panel
from pointsleft_models.cards.panels import Against
from pointsleft_models.cards.value_panels import FIFTHS
from pointsleft_models.football.rules import rule_set
from pointsleft_models.recipes.plan import FIT_SEASON
from pointsleft_models.recipes.win_spread import spread_rows, spread_states

Array = np.ndarray

#: Points by which the side with the ball was favoured.
SPREADS = (-20, -13, -9.5, -6.5, -4, -2.75, -1, 1.25, 3.25, 4.5, 7, 10, 13.5, 20.5)


def spread_panels(models: Models, plays: pl.DataFrame) -> tuple[Panel, ...]:
    """Games won against the spread and against the fitted chance, by the time left; none where no
    game has a spread."""
    rows = spread_rows(plays)
    if rows.is_empty():
        return ()
    wins = models.under(rule_set(models.level, FIT_SEASON)).wins
    fit = np.concatenate([wins.wins(spread_states(part)) for part in rows.iter_slices(50_000)])
    rows = rows.with_columns(
        ours=pl.Series(spread_states(rows).spread), fitted=pl.Series(fit),
        left=pl.col("half_seconds") + pl.when(pl.col("half") == 1).then(1800).otherwise(0),
    )  # fmt: skip
    won = rows["result"].to_numpy()
    games = np.unique(rows["game"].to_numpy(), return_inverse=True)[1]
    when = (
        ("first quarter", pl.col("left") > 2700),
        ("third quarter", pl.col("left").is_between(901, 1800)),
        ("last 5:00", pl.col("left") <= 300),
    )

    def panel(title: str, x_label: str, against: Against, also: pl.Expr | None = None) -> Panel:
        series = []
        for name, where in when:
            here = rows.select(where if also is None else where & also).to_series().to_numpy()
            series.append(binned(name, against, rows, here, won, fit, games))
        return Panel(title, x_label, tuple(series), ticks(against), by_games=True)

    spread = Against(x=pl.col("ours"), edges=SPREADS)
    return (
        panel("by spread", "points favoured", spread),
        panel("by spread, within a score", "points favoured", spread,
              pl.col("lead").is_between(-8, 8)),
        panel("fitted chance against share won", "fitted chance",
              Against(x=pl.col("fitted"), edges=FIFTHS)),
    )  # fmt: skip
