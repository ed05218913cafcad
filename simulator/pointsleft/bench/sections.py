"""What ``make bench`` measures, section by section, as plain data."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pointsleft.bench import speed
from pointsleft.bench.coverage_sections import (
    ARCHIVE_GAMES,
    KNOWN_SEED,
    PUBLISHED_GAMES,
    coverage,
    coverage_football,
    one_step,
)
from pointsleft.bench.data import archive_plays, college_plays
from pointsleft.cli.progress import progress

if TYPE_CHECKING:
    import polars as pl

#: Simulated games under the rules of each season of the archive.
GAMES_A_SEASON = 3000

#: Coarse games from every situation that the exact chains are held against.
CHAIN_GAMES = 100_000

#: Where predictions of the seasons left out are kept, for the same reason.
SCORES, UNSEEN_LAWS = Path("out/bench/scores"), Path("out/bench/laws")

#: Where film and ranked classes of the trial are kept; classes of its variants, their games that
#: count out the truth, and their looks of each situation by down.
PLAYERS, CLASSES, TRUTH_GAMES = Path("out/bench/players"), 20, 1500
FEWER_LOOKS = ((1, 4), (2, 1), (3, 1), (4, 1))


def _seasons(plays: pl.DataFrame) -> tuple[int, ...]:
    return tuple(int(s) for s in plays["season"].unique().sort())


def _speed(root: Path) -> Any:
    return [asdict(m) for m in (
        *speed.commands(), *speed.exact_value(), *speed.draws(), *speed.late_choices(),
        *speed.reading(),
    )]  # fmt: skip


def _scores(root: Path) -> Any:
    from pointsleft_models.bench.scores import score, tasks

    plays = archive_plays(root, games=True)
    kept = root / SCORES
    return {
        "tasks": [
            asdict(score(task, _seasons(plays), kept, progress=progress))
            for task in tasks(plays, kept).values()
        ]
    }


def _published_forest(root: Path) -> Any:
    from pointsleft_models.bench.published_forest import NODE, TREES, TRIED, beside_forest

    found = beside_forest(archive_plays(root, games=True), root / SCORES, progress=progress)
    return {**asdict(found), "trees": TREES, "node": NODE, "tried": TRIED}


def _calibration(root: Path) -> Any:
    from pointsleft_models.bench.calibration import FEWEST
    from pointsleft_models.bench.reliability import GOAL, study

    from pointsleft.bench.pictures import ReliabilityPanel, Shown, draw_reliability

    plays = archive_plays(root)
    found = study(plays, _seasons(plays), root / SCORES, progress=progress)
    drawn = {
        "next-score": [
            ReliabilityPanel(kind, tuple(Shown(g.name, g.judged()) for g in groups))
            for kind, groups in found.points.items()
        ],
        "wins": [ReliabilityPanel(g.name, (Shown("", g.judged()),)) for g in found.wins],
    }
    for name, panels in drawn.items():
        draw_reliability(panels, root / "docs/img/calibration" / f"{name}.png", columns=4)
    return {
        "fewest": FEWEST,
        "points": {
            "error": found.error.error, "by_middle": found.error.by_middle, "goal": GOAL,
            "by_season": found.by_season, "rows": found.rows,
        },
        "wins": {
            "rows": found.decided, "judged": found.judged(), "by_chance": found.by_chance(),
            "missed": [{"kind": kind, **asdict(b), "off": b.off} for kind, b in found.missed()],
        },
    }  # fmt: skip


def _laws(root: Path) -> Any:
    from pointsleft_models.bench.drift import drifts
    from pointsleft_models.bench.laws import score_laws
    from pointsleft_models.bundle import load_models
    from pointsleft_models.plays.sequence import with_next_snap
    from pointsleft_models.recipes.families import LAWS

    from pointsleft.bench.pictures import ReliabilityPanel, Shown, draw_reliability

    plays = with_next_snap(archive_plays(root, participation=True))
    found = score_laws(plays, root / UNSEEN_LAWS, progress=progress)
    for family in LAWS:
        panels = [
            ReliabilityPanel(law.component, (Shown("", law.bins),), whole=False)
            for law in found
            if law.family == family
        ]
        if panels:
            draw_reliability(panels, root / "docs/img/laws" / f"{family}.png")
    scored = {law.component for law in found}
    rows = [asdict(law) for law in found]
    for row in rows:
        row.pop("bins")
    return {
        "laws": rows,
        "left_out": [c.name for family in LAWS.values() for c in family if c.name not in scored],
        "drifts": [asdict(d) for d in drifts(plays, load_models().library, progress=progress)],
    }


def _drives(root: Path) -> Any:
    from pointsleft_models.bench.drive_weights import weighed
    from pointsleft_models.bench.seasons import FIRST_SEASONS

    return asdict(weighed(archive_plays(root), FIRST_SEASONS, progress=progress))


def _pace(root: Path) -> Any:
    from pointsleft_models.bench.pace import pace_study
    from pointsleft_models.bundle import load_models
    from pointsleft_models.football.rules import rule_set
    from pointsleft_models.recipes.plan import FIT_SEASON

    plays = college_plays(root)
    rules = rule_set("college", int(plays["season"][0]))
    fits = rule_set("professional", FIT_SEASON)
    found = pace_study(plays, load_models(), rules, fits, GAMES_A_SEASON)
    return {**asdict(found), "season": rules.season}


def _weather(root: Path) -> Any:
    from pointsleft_models.bench.weather import COLD, WINDY, moved_by_weather
    from pointsleft_models.bundle import load_models
    from pointsleft_models.football.rules import rule_set

    models = load_models()
    found = moved_by_weather(
        archive_plays(root, games=True),
        lambda season: models.under(rule_set(models.rules_level, season)),
    )
    return {"windy": WINDY, "cold": COLD, "moved": [asdict(one) for one in found]}


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


def _chains(_: Path) -> Any:
    from pointsleft_models.bench.coverage_football import league_parts
    from pointsleft_models.bench.exact_chains import (
        WIN_SECONDS,
        WIN_SNAPS,
        next_scores_beside,
        wins_beside,
    )
    from pointsleft_models.playthrough.chain import next_score_chain
    from pointsleft_models.playthrough.chain_wins import win_chain

    parts = league_parts()
    winners = win_chain(parts, WIN_SECONDS, WIN_SNAPS)
    found = [
        *next_scores_beside(next_score_chain(parts), parts, CHAIN_GAMES, KNOWN_SEED),
        *wins_beside(winners, parts, CHAIN_GAMES, KNOWN_SEED),
    ]
    return {
        "games": CHAIN_GAMES, "seconds": WIN_SECONDS, "snaps": WIN_SNAPS,
        "beside": [{**asdict(one), "off": one.off} for one in found],
    }  # fmt: skip


def _players(root: Path) -> Any:
    from pointsleft_models.bundle import load_models

    from pointsleft.trial.picture import draw
    from pointsleft.trial.study import Plan, study

    found = study(load_models(), Plan(), kept=root / PLAYERS, progress=progress)
    draw(found, root / "docs/img/case.png")
    return found


def _players_moved(root: Path) -> Any:
    """The same with the film or the tool moved, on less film."""
    from pointsleft_models.bundle import load_models

    from pointsleft.trial.study import Plan, study

    models = load_models()
    less = Plan(classes=CLASSES, truth_games=TRUTH_GAMES, looks=FEWER_LOOKS)
    variants = {
        "less film, else as in case.md": less,
        "openness worth .6 of what the words say": replace(less, stretch=0.6),
        "openness worth 1.5 times that": replace(less, stretch=1.5),
        "priced by the film's own fit": replace(less, tool=less.world),
    }
    return [
        {"name": name, "study": study(models, plan, kept=root / PLAYERS, progress=progress)}
        for name, plan in variants.items()
    ]


SECTIONS: dict[str, Callable[[Path], Any]] = {
    "speed": _speed,
    "scores": _scores,
    "published-forest": _published_forest,
    "calibration": _calibration,
    "laws": _laws,
    "weather": _weather,
    "drives": _drives,
    "pace": _pace,
    "playthrough": _playthrough,
    "chains": _chains,
    "players": _players,
    "players-moved": _players_moved,
    "one-step": one_step,
    "coverage": partial(coverage, ARCHIVE_GAMES),
    "coverage-published": partial(coverage, PUBLISHED_GAMES),
    "coverage-football": coverage_football,
}
