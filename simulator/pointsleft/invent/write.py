"""The demo class on disk: one log a folder, and the truth beside them."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import numpy as np
from pointsleft_models.bundle import Worth, load_worth

from pointsleft.invent import demo_class
from pointsleft.invent.demo_class import ClassGame
from pointsleft.invent.film import Film, play_game
from pointsleft.invent.logs import log_of
from pointsleft.invent.offers import Offer
from pointsleft.invent.opponents import Possessions, possessions
from pointsleft.invent.truth import long_run
from pointsleft.log.writer import write_log

#: Looks of the class's own games over which the long run is taken.
LOOKS = 800


def write_class(folder: Path) -> Iterator[Path]:
    """Play, chart and write every game of the demo class, then the truth.

    Raises
    ------
    pointsleft.log.WriteError
        A log lies there already.
    """
    worth = load_worth("professional", demo_class.SEASON)
    pool = possessions(worth.rules, demo_class.POOL_GAMES, demo_class.POOL_SEED)
    offers: list[Offer] = []
    rows: list[tuple[object, ...]] = []
    for game in demo_class.games():
        film = film_of(game, worth, pool)
        offers += [s.offer for s in film.decisions() if s.offer is not None]
        yield from _logs(game, film, folder / "class")
        rows += [
            (name, game.quarterback.name, game.opponent.name, charter.initials, film.us, film.them)
            for name, charter in zip(game.folders, game.charters, strict=True)
        ]
    yield from _truth(folder / "class-truth", worth, rows, offers)


def film_of(game: ClassGame, worth: Worth, pool: Possessions) -> Film:
    """The film of one game of the class, always the same one."""
    rng = np.random.default_rng(game.seed)
    return play_game(worth, pool, game.quarterback, game.opponent, rng)


def _logs(game: ClassGame, film: Film, folder: Path) -> Iterator[Path]:
    seeds = game.seed.spawn(len(game.charters))
    for name, charter, seed in zip(game.folders, game.charters, seeds, strict=True):
        log = log_of(film, game.fixture, charter, np.random.default_rng(seed))
        yield write_log(log, folder / name)


def _truth(
    folder: Path, worth: Worth, games: list[tuple[object, ...]], offers: Sequence[Offer]
) -> Iterator[Path]:
    seeds = np.random.SeedSequence(demo_class.SEED).spawn(2)
    kept = np.random.default_rng(seeds[0]).permutation(len(offers))[:LOOKS]
    looks = [offers[i] for i in kept]
    people = []
    for q in demo_class.QUARTERBACKS:
        run = long_run(looks, q, np.random.default_rng(seeds[1]))
        people.append(
            (q.name, q.decision_error, q.lean, q.accuracy, f"{run.left:.4f}",
             f"{run.delivered:.4f}", run.looks)
        )  # fmt: skip
    yield _table(
        folder / "quarterbacks.csv",
        ("quarterback", "decision error", "lean", "accuracy", "left a decision",
         "delivered a decision", "looks"),
        people,
    )  # fmt: skip
    yield _table(
        folder / "charters.csv",
        ("charter", "window slip", "leniency", "missed", "unseen", "timing slip", "blame slip"),
        (
            (c.initials, c.window_slip, c.leniency, c.missed, c.unseen, c.timing_slip,
             c.blame_slip)
            for c in demo_class.CHARTERS
        ),
    )  # fmt: skip
    yield _table(
        folder / "opponents.csv",
        ("opponent", "coverage", "rush"),
        ((o.name, o.coverage, o.rush) for o in demo_class.OPPONENTS),
    )
    yield _table(
        folder / "fits.csv",
        ("fit", "hash"),
        ((name, fit.digest) for name, fit in sorted(worth.models.fits.items())),
    )
    yield _table(
        folder / "games.csv", ("log", "quarterback", "opponent", "charter", "us", "them"), games
    )


def _table(path: Path, header: tuple[str, ...], rows: Iterable[Sequence[object]]) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(header)
        out.writerows(rows)
    return path
