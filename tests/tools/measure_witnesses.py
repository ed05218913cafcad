"""How often the two witnesses part on snaps of the archive: writes docs/witnesses.json.

    python tests/tools/measure_witnesses.py        # some four minutes

docs/two-witnesses.md shows it. Snaps are drawn at random within parts of the game.
"""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import numpy as np
import polars as pl
from pointsleft.calls.seasons import rules_of
from pointsleft.pricing.played_out import play_out
from pointsleft.pricing.result import Beside
from pointsleft_models.bundle import load_models
from pointsleft_models.football.rules import RuleSet
from pointsleft_models.football.situation import Situation
from pointsleft_models.plays.sources import read_source
from pointsleft_models.playthrough.load import load_playthrough

PATH = Path(__file__).resolve().parents[2] / "docs" / "witnesses.json"
SEASON = 2019
EACH, GAMES = 150, 2000

_LATE, _CLOSE = pl.col("half_seconds") <= 120, pl.col("lead").abs() <= 8
PARTS = {
    "first half, before its last two minutes": (pl.col("half") == 1) & ~_LATE,
    "first half, last two minutes": (pl.col("half") == 1) & _LATE,
    "second half, before its last two minutes": (pl.col("half") == 2) & ~_LATE,
    "second half, last two minutes, within 8 points": (pl.col("half") == 2) & _LATE & _CLOSE,
}


def situation_of(row: dict[str, Any], rules: RuleSet) -> Situation:
    """A row of the play table as a situation."""
    return Situation(
        row["period"], row["clock"], row["down"], row["distance"], row["yards_to_goal"],
        row["lead"], rules, own_timeouts=row["offense_timeouts"],
        opponent_timeouts=row["defense_timeouts"],
        receives_second_half=row["receives_second_half"] if row["half"] == 1 else None,
    )  # fmt: skip


def told(values: list[Beside]) -> dict[str, float]:
    """Share that part, mean of played out less regression, and the sizes of both spreads."""
    gaps = np.array([v.played - v.value for v in values])
    return {
        "apart": float(np.mean([v.apart for v in values])),
        "gap": float(gaps.mean()),
        "gap_error": float(gaps.std(ddof=1) / np.sqrt(len(gaps))),
        "spread": float(np.median([v.spread for v in values])),
        "error": float(np.median([v.error for v in values])),
    }


def main() -> None:
    rules = rules_of("professional", SEASON)
    models, playthrough = load_models(), load_playthrough(rules)
    worth = models.under(rules)
    plays = read_source("archive").plays.filter(
        (pl.col("season") == SEASON) & (pl.col("half_seconds") > 0)
        & pl.col("kind").is_in(["pass", "run", "sack", "scramble", "punt", "field goal"])
        & pl.all_horizontal(pl.col(n).is_not_null() for n in ("down", "distance", "lead"))
    )  # fmt: skip
    rng = np.random.default_rng(1)
    found: dict[str, Any] = {
        "date": datetime.date.today().isoformat(), "season": SEASON, "snaps": EACH, "games": GAMES,
        "parts": {},
    }  # fmt: skip
    for name, part in PARTS.items():
        rows = plays.filter(part)
        some = rows[np.sort(rng.choice(len(rows), EACH, replace=False)).tolist()]
        played = [
            play_out(worth, *playthrough, situation_of(row, rules), "", games=GAMES, seed=at)
            for at, row in enumerate(some.iter_rows(named=True))
        ]
        found["parts"][name] = {
            "points": told([p.points for p in played if p.points is not None]),
            "wins": told([p.wins for p in played if p.wins is not None]),
        }
    PATH.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
    print(PATH.read_text(encoding="utf-8"), end="")


if __name__ == "__main__":
    main()
