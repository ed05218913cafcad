"""What ``make bench`` measures, section by section, as plain data."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

from pointsleft.bench import speed
from pointsleft.cli.progress import progress

#: Repeats and refits of the coverage study, and the numbers of games it is made at: the
#: archive's, and the one of the published figures.
REPEATS, REFITS = 100, 40
GAMES = (2926, 4101)

#: Simulated games under the rules of each season of the archive.
GAMES_A_SEASON = 3000

#: Where repeats of the coverage study are kept, so that it goes on after an interruption.
KEPT = Path("out/bench/coverage")


def _speed(root: Path) -> Any:
    return [asdict(m) for m in (
        *speed.commands(), *speed.exact_value(), *speed.draws(), *speed.reading()
    )]  # fmt: skip


def _scores(root: Path) -> Any:
    from pointsleft_models.bench.scores import score_next_score, score_wins
    from pointsleft_models.plays.sources import read_source

    plays = read_source("archive", progress=progress).plays
    return {
        "points": [asdict(s) for s in score_next_score(plays, progress=progress)],
        "wins": [asdict(s) for s in score_wins(plays, progress=progress)],
    }


def _coverage(root: Path) -> Any:
    from joblib import cpu_count
    from pointsleft_models.bench.coverage import study

    return [
        asdict(
            study(games, REPEATS, REFITS, workers=cpu_count(), kept=root / KEPT, progress=progress)
        )
        for games in GAMES
    ]


def _playthrough(root: Path) -> Any:
    from pointsleft_models.bench.playthrough import (
        compare,
        season_rules,
        simulated_games,
        time_games,
    )
    from pointsleft_models.plays.sequence import with_next_snap
    from pointsleft_models.plays.sources import read_source

    plays = with_next_snap(read_source("archive", progress=progress).plays)
    games = simulated_games(season_rules(plays), GAMES_A_SEASON, seed=1, workers=2)
    return {
        "rows": [{**asdict(row), "inside": row.inside} for row in compare(plays, games)],
        "games": GAMES_A_SEASON,
        "speed": asdict(time_games()),
    }


SECTIONS: dict[str, Callable[[Path], Any]] = {
    "speed": _speed,
    "scores": _scores,
    "playthrough": _playthrough,
    "coverage": _coverage,
}
