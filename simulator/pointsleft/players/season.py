"""A season log: a folder of game logs, found, checked, and priced where it was not yet."""

from __future__ import annotations

import difflib
import warnings
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from pointsleft_models.bundle import Models, load_models

from pointsleft.game.price import price_game
from pointsleft.log import LogFaults, read_log
from pointsleft.log.faults import render
from pointsleft.log.record import LoggedGame
from pointsleft.log.source import WORKBOOKS
from pointsleft.players import keep
from pointsleft.players.seen import SeenGame, seen_game
from pointsleft.pricing.progress import Progress
from pointsleft.pricing.settings import PriceSettings

#: What a ranking prices with: it shows no spread of single endings, so none is drawn.
SETTINGS = PriceSettings(draws=0, judgement_draws=300)

#: From how many games on it pays to start a second worker.
WORTH_WORKERS = 3

#: Names that are as like as this may be one player typed twice.
ALIKE = 0.86


class SeasonFaults(Exception):
    """Logs that cannot be ranked; the message holds every fault of every log."""

    def __init__(self, messages: Sequence[str]) -> None:
        self.messages = tuple(messages)
        super().__init__("\n\n".join(messages))


@dataclass(frozen=True, slots=True)
class Season:
    """Priced games, and what was done to have them.

    Attributes
    ----------
    games
        In the order of the logs.
    priced, kept
        How many were priced now, and how many were kept from before.
    warnings
        What a reader should know of the logs as a set.
    """

    games: tuple[SeenGame, ...]
    priced: int
    kept: int
    warnings: tuple[str, ...]


def is_log(path: Path) -> bool:
    """Whether a path is one game log."""
    if path.is_dir():
        names = {p.name.lower() for p in path.iterdir() if p.is_file()}
        return {"game.csv", "snaps.csv"} <= names
    name = path.name
    return path.suffix.lower() in WORKBOOKS and not name.startswith(("~$", "."))


def find_logs(paths: Iterable[Path]) -> list[Path]:
    """The game logs at some paths: each is a log, or a folder that holds logs at any depth.

    Raises
    ------
    SeasonFaults
        Something is not there, or holds no log.
    """
    found: dict[Path, Path] = {}
    wrong = []
    for path in paths:
        if not path.exists():
            wrong.append(f"{path}: there is nothing here")
            continue
        logs = [path] if is_log(path) else sorted(_inside(path)) if path.is_dir() else []
        if not logs:
            wrong.append(
                f"{path}: no game log here; a log is a folder with game.csv and snaps.csv, or an "
                ".xlsx workbook, and a season log is a folder of such logs"
            )
        for log in logs:
            found.setdefault(log.resolve(), log)
    if wrong:
        raise SeasonFaults(wrong)
    return list(found.values())


def _inside(folder: Path) -> Iterable[Path]:
    for path in folder.iterdir():
        if path.name.startswith("."):
            continue
        if is_log(path):
            yield path
        elif path.is_dir():
            yield from _inside(path)


def read_season(
    paths: Iterable[Path],
    *,
    kept_in: Path | None = None,
    fits: Path | None = None,
    settings: PriceSettings = SETTINGS,
    workers: int = 1,
    progress: Progress | None = None,
) -> Season:
    """Every game of some logs, priced; what was priced before is taken from where it is kept.

    Parameters
    ----------
    paths
        Logs, and folders of logs.
    kept_in
        Folder of priced games; ``None`` keeps nothing.
    fits
        Folder of fits; the shipped ones of each log's level when absent.
    workers
        Processes that price; the result does not depend on it.

    Raises
    ------
    SeasonFaults
        Any log has faults; the message holds all of them, and nothing is ranked.
    """
    logs = find_logs(paths)
    games = _read(logs)
    models: dict[str, Models] = {g.level: load_models(g.level, fits) for g in games}
    hashes = {level: {n: f.digest for n, f in m.fits.items()} for level, m in models.items()}
    keys = [keep.key_of(p, hashes[g.level], settings) for p, g in zip(logs, games, strict=True)]
    seen: dict[str, SeenGame] = {}
    if kept_in is not None:
        seen = {key: game for key in keys if (game := keep.load(kept_in, key)) is not None}
    # the same content twice is one game to price and one game to count
    missing = {
        key: (log, game)
        for key, log, game in zip(keys, logs, games, strict=True)
        if key not in seen
    }
    done: dict[str, SeenGame] = {}
    for key, game in _price(missing, models, settings, workers, progress):
        done[key] = game
        if kept_in is not None:  # at once: what was priced is not lost with the rest
            keep.save(kept_in, key, game)
    everything = {**seen, **done}
    unique = list(dict.fromkeys(keys))
    warnings = _names_alike(games)
    if len(unique) < len(keys):
        first = {key: logs[keys.index(key)].name for key in unique}
        same = sorted({first[k] for i, k in enumerate(keys) if keys.index(k) != i})
        warnings.append(f"logged twice word for word, counted once: {', '.join(same)}")
    return Season(
        tuple(everything[key] for key in unique), len(done), len(unique) - len(done),
        tuple(warnings),
    )  # fmt: skip


def _read(logs: Sequence[Path]) -> list[LoggedGame]:
    games, wrong = [], []
    for log in logs:
        try:
            games.append(read_log(log))
        except LogFaults as faults:
            wrong.append(render(faults.faults, str(log)))
    if wrong:
        raise SeasonFaults(wrong)
    return games


def _price(
    missing: Mapping[str, tuple[Path, LoggedGame]],
    models: Mapping[str, Models],
    settings: PriceSettings,
    workers: int,
    progress: Progress | None,
) -> Iterator[tuple[str, SeenGame]]:
    jobs = list(missing.items())
    show = progress or (lambda items, total, what: items)
    if workers > 1 and len(jobs) >= WORTH_WORKERS:
        from joblib import Parallel, delayed

        # a worker that made room for itself is replaced; the results are the same
        warnings.filterwarnings("ignore", "A worker stopped while some jobs", UserWarning)
        run = Parallel(n_jobs=min(workers, len(jobs)), return_as="generator")
        results = run(
            delayed(_one)(game, log.name, models[game.level], settings) for _, (log, game) in jobs
        )
    else:
        results = (_one(game, log.name, models[game.level], settings) for _, (log, game) in jobs)
    priced = show(results, len(jobs), "pricing games")
    yield from ((key, game) for (key, _), game in zip(jobs, priced, strict=True))


def _one(game: LoggedGame, name: str, models: Models, settings: PriceSettings) -> SeenGame:
    return seen_game(price_game(game, settings, models=models), name)


def _names_alike(games: Sequence[LoggedGame]) -> list[str]:
    """Names so alike that they may be one player typed in two ways."""
    names = sorted({g.quarterback for g in games})
    found = []
    for at, one in enumerate(names):
        for other in names[at + 1 :]:
            like = difflib.SequenceMatcher(None, one.casefold(), other.casefold()).ratio()
            if like >= ALIKE:
                found.append(
                    f"“{one}” and “{other}” are counted as two players; if they are one, write "
                    "the name in one way in the game sheets"
                )
    return found
