"""Late situations of the archive played on, beside what came of them.

Every snap in the last two minutes of a half is a start of its own, the same time-outs, score and
clock; what the rest-of-half simulator makes of it stands beside the archive's next score (first
half) or winner (second half).

    python -m pointsleft_models.bench.playthrough_late [--save docs/late-measured.json]
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
import polars as pl

from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.board import Board
from pointsleft_models.playthrough.engine import run_batch
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.start import Start
from pointsleft_models.playthrough.whistle import Mode
from pointsleft_models.recipes.playthrough_rows import snaps

Array = np.ndarray

#: Last seconds of a half that are looked at, and the upper ends of the bands of the clock.
LAST, BANDS = 120, (10, 20, 35, 60, 90, 120)

#: Largest lead at which the winner of the second half is asked for.
CLOSE = 8

#: Net points of the classes of the next score; a touchdown with its try.
NET = np.array([0, 6.95, 3, 2, -2, -3, -6.95])
CLASSES = {
    "none": codes.NO_SCORE, "touchdown": codes.TOUCHDOWN, "field goal": codes.FIELD_GOAL,
    "safety": codes.SAFETY, "safety against": codes.SAFETY_AGAINST,
    "field goal against": codes.FIELD_GOAL_AGAINST, "touchdown against": codes.TOUCHDOWN_AGAINST,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Beside:
    """One band of the clock: what was played out, and what was seen.

    Attributes
    ----------
    error
        Standard error of the archive's mean, games the clusters (by their number).
    """

    what: str
    band: str
    rows: int
    games: int
    simulated: float
    archive: float
    error: float

    @property
    def off(self) -> float:
        """Simulated minus archive."""
        return self.simulated - self.archive


@dataclass(frozen=True)
class RowStarts(Start):
    """A start of its own for every game: the rows of a table, again and again."""

    table: pl.DataFrame | None = None

    def board(self, games: int) -> Board:
        assert self.table is not None
        whole = -(-games // len(self.table))
        rows = pl.concat([self.table] * whole).head(games)
        board = Start.board(self, games)
        board.clock = _column(rows, "half_seconds")
        board.difference = _column(rows, "lead")
        board.timeouts0 = np.clip(_column(rows, "offense_timeouts"), 0, 3)
        board.timeouts1 = np.clip(_column(rows, "defense_timeouts"), 0, 3)
        board.down = _column(rows, "down")
        board.yards_to_goal = _column(rows, "yards_to_goal")
        board.distance = np.minimum(_column(rows, "distance"), board.yards_to_goal)
        return board


def _column(rows: pl.DataFrame, name: str) -> Array:
    return rows[name].to_numpy().astype(np.int64)


def late_rows(plays: pl.DataFrame, half: int) -> pl.DataFrame:
    """Snaps of the last two minutes of a half (with next snaps) whose situation is known."""
    return snaps(plays).filter(
        (pl.col("half") == half)
        & pl.col("half_seconds").is_between(1, LAST)
        & pl.col("offense_timeouts").is_not_null()
        & pl.col("defense_timeouts").is_not_null()
        & (pl.col("distance") > 0)
        & pl.col("yards_to_goal").is_between(1, 99)
        & pl.col("next_score").is_not_null()
        & pl.col("result").is_not_null()
    )


def beside(parts: Parts, plays: pl.DataFrame, repeats: int = 8, seed: int = 1) -> list[Beside]:
    """Both halves, band by band.

    Parameters
    ----------
    repeats
        Games played from every snap.
    """
    first, second = late_rows(plays, 1), late_rows(plays, 2)
    close = second.filter(pl.col("lead").abs() <= CLOSE)
    seen = first["next_score"].replace_strict(CLASSES, return_dtype=pl.Int64).to_numpy()
    played = _play(parts, first, 1, repeats, seed)
    found = list(
        _bands("points to come, first half", first, NET[played[0]].mean(0), NET[seen])
    )  # fmt: skip
    margins = _play(parts, close, 2, repeats, seed)[1]
    wins = (0.5 * (1 + np.sign(margins))).mean(0)
    found += _bands("wins, close second half", close, wins, close["result"].to_numpy())
    return found


def _play(
    parts: Parts, rows: pl.DataFrame, half: int, repeats: int, seed: int
) -> tuple[Array, Array]:
    """(repeats, rows) classes of the next score, and margins at the end of the half."""
    start = RowStarts(half=half, seconds=LAST, table=rows)
    games = repeats * len(rows)
    rng = np.random.Generator(np.random.SFC64(np.random.SeedSequence([seed, half])))
    run = run_batch(parts, start, np.zeros((2, games), np.float32), rng, Mode("half"))
    shape = repeats, len(rows)
    return run.next_score.reshape(shape), run.margin.reshape(shape)


def _bands(what: str, rows: pl.DataFrame, simulated: Array, seen: Array) -> Iterator[Beside]:
    clock, game = rows["half_seconds"].to_numpy(), rows["game"].to_numpy()
    low = 0
    for high in BANDS:
        here = (clock > low) & (clock <= high)
        games = len(np.unique(game[here]))
        error = float(seen[here].std(ddof=1) / np.sqrt(games))
        yield Beside(
            what, f"{low + 1} to {high} s", int(here.sum()), games,
            float(simulated[here].mean()), float(seen[here].mean()), error,
        )  # fmt: skip
        low = high


def main() -> None:
    """Measure, print, and write to a file."""
    import json

    import click

    from pointsleft_models.football.rules import rule_set
    from pointsleft_models.plays.sequence import with_next_snap
    from pointsleft_models.plays.sources import read_source
    from pointsleft_models.playthrough.load import load_playthrough

    @click.command(help="Late situations of the archive played on, beside what came of them.")
    @click.option("--plays", "source", default="archive", show_default=True, help="Source.")
    @click.option("--save", type=click.Path(path_type=Path), help="Write it to a JSON file too.")
    def command(source: str, save: Path | None) -> None:
        parts, _ = load_playthrough(rule_set("professional", 2016))
        found = beside(parts, with_next_snap(read_source(source).plays))
        for row in found:
            click.echo(
                f"{row.what:28}{row.band:>12}{row.rows:>7}{row.simulated:>8.3f}"
                f"{row.archive:>8.3f} +-{row.error:.3f}"
            )
        if save is not None:
            save.write_text(json.dumps([asdict(r) for r in found], indent=1) + "\n", "utf-8")

    command()


if __name__ == "__main__":
    main()
