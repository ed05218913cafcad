"""Situations of the simulated league with their true chance to win, by playing them out."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pointsleft_models.bench.simulated_league import simulated_league
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import Start
from pointsleft_models.playthrough.teams import Teams
from pointsleft_models.recipes.next_score import row_states
from pointsleft_models.recipes.wins import WANTED, win_rows
from pointsleft_models.values.states import States

if TYPE_CHECKING:
    import polars as pl

Array = np.ndarray

#: Games of which the situations are snaps.
SEASONS_GAMES = 2000

#: Situations that intervals are held against, and games that each is played out in.
SITUATIONS, PLAYED_OUT = 300, 40_000


@dataclass(frozen=True)
class Known:
    """Snaps of the league and what they are worth.

    Attributes
    ----------
    rows
        Snaps, in the columns that the fits ask for; ``result`` is what came of each.
    wins, error
        (n,) chance to win, a tie counting half, and its standard error.
    chances
        (n, 7) chances of the next score of the half, the score level.
    games
        In which each was played out.
    """

    rows: pl.DataFrame
    wins: Array
    error: Array
    chances: Array
    games: int

    @property
    def at(self) -> States:
        """The snaps as states."""
        return row_states(self.rows)

    @property
    def met(self) -> Array:
        """(n,) share of the plays that each snap stands for: they were drawn as they are met."""
        return np.full(len(self.wins), 1 / len(self.wins))

    def luck(self) -> float:
        """What came of the snaps less their chances, in standard errors: beyond 4 the truth is
        not that of the league."""
        came = self.rows["result"].to_numpy() - self.wins
        return float(came.sum() / np.sqrt((self.wins * (1 - self.wins)).sum()))


def known_situations(
    parts: Parts,
    seed: int,
    *,
    situations: int = SITUATIONS,
    games: int = PLAYED_OUT,
    workers: int = 1,
    kept: Path | None = None,
    progress: Progress = quiet,
) -> Known:
    """Snaps of regulation as often as they are met in play, each played out.

    Parameters
    ----------
    kept
        Folder in which the truth of every snap is kept.
    """
    from joblib import Parallel, delayed

    snaps = win_rows(simulated_league(parts, SEASONS_GAMES, [seed, 0])).select(WANTED)
    rows = snaps.sample(situations, seed=seed)
    jobs = (
        delayed(_played_out)(parts, start, games, [seed, 1, i], _path(kept, seed, games, i))
        for i, start in enumerate(starts(rows))
    )
    pool = Parallel(n_jobs=workers, return_as="generator")
    found = list(progress(pool(jobs), situations, "playing situations out"))
    wins, error, chances = (np.array(column) for column in zip(*found, strict=True))
    return Known(rows, wins, error, chances, games)


def starts(rows: pl.DataFrame) -> list[Start]:
    """The snaps as starts of a play-through."""
    return [
        Start(
            half=r["half"],
            seconds=r["half_seconds"],
            lead=r["lead"],
            down=r["down"],
            distance=r["distance"],
            yards_to_goal=r["yards_to_goal"],
            own_timeouts=r["offense_timeouts"],
            opponent_timeouts=r["defense_timeouts"],
            receives_second_half=r["receives_second_half"],
        )
        for r in rows.iter_rows(named=True)
    ]


def _path(folder: Path | None, seed: int, games: int, at: int) -> Path | None:
    return None if folder is None else folder / f"truth-{seed}-{games}-{at:03d}.json"


def _played_out(
    parts: Parts, start: Start, games: int, seed: list[int], path: Path | None
) -> tuple[float, float, list[float]]:
    """Chance to win, its standard error, and chances of the next score, between equal sides."""
    about = asdict(start)
    stored = {}
    if path is not None and path.is_file():
        stored = json.loads(path.read_text(encoding="utf-8"))
        if stored["start"] != about:
            stored = {}
    if "wins" not in stored:
        wins, error = play_through(parts, start, games, seed, teams=Teams()).win_probability()
        stored |= {"start": about, "wins": wins, "error": error}
    if "chances" not in stored:
        level = start.with_(lead=0)
        run = play_through(parts, level, games, [*seed, 2], until="score", teams=Teams())
        stored |= {"chances": run.next_chances().tolist()}
        if path is not None:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(json.dumps(stored), encoding="utf-8")
    return stored["wins"], stored["error"], stored["chances"]
