"""How often the two witnesses part on snaps of the archive, and which is nearer to what came:
writes docs/witnesses.json.

    python tests/tools/measure_witnesses.py        # some eight minutes

docs/two-witnesses.md shows it. Snaps are drawn at random within parts of the game. What came is
counted over all snaps of all seasons, games as clusters; spreads need the table of games that the
benchmark reads.
"""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import numpy as np
import polars as pl
from pointsleft.bench.data import archive_plays
from pointsleft.calls.seasons import rules_of
from pointsleft.pricing.played_out import play_out
from pointsleft.pricing.result import Beside
from pointsleft_models.bench.calibration import bins
from pointsleft_models.bundle import Models, load_models
from pointsleft_models.football.rules import RuleSet
from pointsleft_models.football.situation import Situation
from pointsleft_models.playthrough.load import load_playthrough
from pointsleft_models.recipes.next_score import row_states
from pointsleft_models.recipes.plan import FIT_SEASON
from pointsleft_models.recipes.win_spread import spread_states
from pointsleft_models.recipes.wins import win_rows

ROOT = Path(__file__).resolve().parents[2]
PATH = ROOT / "docs" / "witnesses.json"
SEASON = 2019
EACH, GAMES = 300, 2000

_LATE, _CLOSE = pl.col("half_seconds") <= 120, pl.col("lead").abs() <= 8
PARTS = {
    "first half, before its last two minutes": (pl.col("half") == 1) & ~_LATE,
    "first half, last two minutes": (pl.col("half") == 1) & _LATE,
    "second half, before its last two minutes": (pl.col("half") == 2) & ~_LATE,
    "second half, last two minutes, within 8 points": (pl.col("half") == 2) & _LATE & _CLOSE,
}

#: Snaps of both halves before their last two minutes, by where the ball is and by the score.
_SPOT, _LEAD = pl.col("yards_to_goal"), pl.col("lead")
KINDS = {
    "inside the other side's 20": _SPOT <= 20,
    "from there to midfield": _SPOT.is_between(21, 50),
    "from midfield to the own 20": _SPOT.is_between(51, 80),
    "inside the own 20": _SPOT > 80,
    "behind by more than 8": _LEAD < -8,
    "behind by 1 to 8": _LEAD.is_between(-8, -1),
    "level": _LEAD == 0,
    "ahead by 1 to 8": _LEAD.is_between(1, 8),
    "ahead by more than 8": _LEAD > 8,
}
PLAYED = ("pass", "run", "sack", "scramble", "punt", "field goal")


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


def came(rows: pl.DataFrame) -> dict[str, float]:
    """What came less the chance of the regression, and how much the side was favoured."""
    games, one = rows["game"].to_numpy(), np.zeros(len(rows), dtype=int)
    whole = bins(rows["chance"].to_numpy(), rows["result"].to_numpy(), games, number=one)[0]
    found = {"rows": len(rows), "off": whole.share - whole.chance, "off_error": whole.error}
    known = rows.filter(pl.col("ours").is_not_null())
    if len(known):
        spread, none = known["ours"].to_numpy(), np.zeros(len(known))
        mean = bins(none, spread, known["game"].to_numpy(), number=none)[0]
        found |= {"favoured": mean.share, "favoured_error": mean.error}
    return found


def with_chances(models: Models, plays: pl.DataFrame) -> pl.DataFrame:
    """Snaps of games with a result, the chance of the regression and our spread beside them."""
    wins = models.under(rules_of("professional", FIT_SEASON)).wins
    rows = win_rows(plays)
    chance = [wins.wins(row_states(part)) for part in rows.iter_slices(50_000)]
    ours = pl.Series(spread_states(rows).spread).fill_nan(None)
    return rows.with_columns(chance=pl.Series(np.concatenate(chance)), ours=ours)


def main() -> None:
    rules = rules_of("professional", SEASON)
    models, playthrough = load_models(), load_playthrough(rules)
    worth = models.under(rules)
    every = archive_plays(ROOT, games=True).filter(
        (pl.col("half_seconds") > 0)
        & pl.col("kind").is_in(PLAYED)
        & pl.all_horizontal(pl.col(n).is_not_null() for n in ("down", "distance", "lead"))
    )
    chances = with_chances(models, every)
    plays = every.filter(pl.col("season") == SEASON)
    rng = np.random.default_rng(1)
    found: dict[str, Any] = {
        "date": datetime.date.today().isoformat(), "season": SEASON, "snaps": EACH, "games": GAMES,
        "parts": {}, "kinds": {},
    }  # fmt: skip
    early: list[tuple[dict[str, Any], Beside]] = []
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
            "came": came(chances.filter(part)),
        }
        if "before" in name:
            early += [
                (row, p.wins)
                for row, p in zip(some.iter_rows(named=True), played, strict=True)
                if p.wins is not None
            ]
    picked = pl.DataFrame([row for row, _ in early], schema=plays.schema)
    for name, kind in KINDS.items():
        here = picked.select(kind).to_series().to_list()
        values = [one for (_, one), is_in in zip(early, here, strict=True) if is_in]
        found["kinds"][name] = {
            "snaps": len(values),
            "wins": told(values),
            "came": came(chances.filter(kind & ~_LATE)),
        }
    PATH.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
    print(PATH.read_text(encoding="utf-8"), end="")


if __name__ == "__main__":
    main()
