"""A league of equal teams played through by the simulator, in the columns of an archive.

Its sides differ in nothing, so nothing but the situation says who wins, and playing a situation
out from the same parts gives its true chance.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.coming import next_scores
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import kickoff_start
from pointsleft_models.playthrough.teams import Teams
from pointsleft_models.values.next_score import CLASSES

if TYPE_CHECKING:
    import polars as pl

#: Events that the fits tell from other snaps.
KINDS = {codes.KNEEL: "kneel", codes.SPIKE: "spike"}


def simulated_league(parts: Parts, games: int, seed: int | list[int]) -> pl.DataFrame:
    """Snaps of regulation of so many games, with what the fits of points and wins ask for.

    Returns
    -------
    pl.DataFrame
        The columns of the play table that ``recipes/next_score.py`` and ``recipes/wins.py``
        name, next score and result among them. Nobody is at home.
    """
    import polars as pl

    rules = parts.rules
    run = play_through(parts, kickoff_start(rules), games, seed, teams=Teams(), record=True)
    coming, then = next_scores(run.log)
    won = run.wins[run.log["game"]]
    table = pl.DataFrame(
        {
            **{c: run.log[c] for c in ("game", "down", "distance", "yards_to_goal", "half")},
            "half_seconds": run.log["seconds"],
            "lead": run.log["lead"],
            "offense_timeouts": run.log["own_timeouts"],
            "defense_timeouts": run.log["opponent_timeouts"],
            "receives_second_half": run.log["receives"],
            "offense": run.log["offense"],
            "next_score": np.array(CLASSES)[coming],
            "next_score_clock": then,
            "result": np.where(run.log["offense"] == 0, won, 1 - won),
            "kind": run.log["event"],
        }
    )
    return table.filter(pl.col("half") < 3).with_columns(
        kind=pl.col("kind").replace_strict(KINDS, default="play"),
        next_score_clock=pl.when(pl.col("next_score_clock") >= 0).then("next_score_clock"),
        offense_home=pl.lit(None, pl.Boolean),
    )
