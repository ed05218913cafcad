"""Priced games kept between runs, so that adding a game prices only that game.

One game is one JSON file named by a key of everything its figures depend on: the files of the
log, the fits, the settings, and the code that prices. A file of another key is never looked at,
so nothing stale can be read. The files lie apart from the logs, and nothing is lost with them.

The file's own hash stands in it: one that was cut off or changed is priced again.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from functools import cache
from pathlib import Path
from typing import Any

import pointsleft_models

import pointsleft
from pointsleft.players.seen import Money, SeenDecision, SeenGame
from pointsleft.pricing.settings import PriceSettings

#: Goes up when the shape of the file changes.
FORMAT = 1

#: Rooms whose code and tables a price depends on.
ROOMS = (
    (pointsleft, ("log", "pricing", "game", "players")),
    (pointsleft_models, ("football", "fitting", "laws", "values")),
)

#: Priced games kept; the ones longest unused go first.
KEPT = 600


@cache
def code_hash() -> str:
    """Hash of all code and tables that can move a price."""
    sha = hashlib.sha256()
    for package, rooms in ROOMS:
        root = Path(str(package.__file__)).parent
        files = [p for room in rooms for p in (root / room).rglob("*") if p.suffix in _READ]
        for path in sorted([*files, *root.glob("*.py")]):
            sha.update(str(path.relative_to(root)).encode() + b"\0" + path.read_bytes())
    return sha.hexdigest()


_READ = (".py", ".csv", ".toml", ".json")


def log_bytes(log: Path) -> Iterable[tuple[str, bytes]]:
    """Name and content of every file that a log is read from."""
    if log.is_file():
        yield log.name, log.read_bytes()
        return
    for path in sorted(log.iterdir()):
        if path.is_file() and path.suffix.lower() == ".csv":
            yield path.name, path.read_bytes()


def key_of(log: Path, fits: Mapping[str, str], settings: PriceSettings) -> str:
    """The key of a log priced with these fits (family -> hash) and settings."""
    sha = hashlib.sha256(f"{FORMAT} {pointsleft_models.__version__} {code_hash()}".encode())
    sha.update(repr(sorted(fits.items())).encode())
    sha.update(repr(sorted(asdict(settings).items())).encode())
    for name, data in log_bytes(log):
        sha.update(f"{name} {len(data)} ".encode() + data)
    return sha.hexdigest()[:32]


def load(folder: Path, key: str) -> SeenGame | None:
    """A kept game; ``None`` where there is none or it was damaged."""
    path = folder / f"{key}.json"
    try:
        digest, _, body = path.read_bytes().partition(b"\n")
        if hashlib.sha256(body).hexdigest().encode() != digest:
            return None
        game = _game(json.loads(body))
    except (OSError, ValueError, KeyError, TypeError):
        return None
    with contextlib.suppress(OSError):
        os.utime(path)
    return game


def save(folder: Path, key: str, game: SeenGame) -> None:
    """Keep a game. A folder that cannot be written to is no fault: the game is not kept."""
    body = json.dumps(asdict(game), ensure_ascii=False, allow_nan=False).encode()
    with contextlib.suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        handle, draft = tempfile.mkstemp(dir=folder, prefix=".draft.")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(hashlib.sha256(body).hexdigest().encode() + b"\n" + body)
            os.replace(draft, folder / f"{key}.json")
        except BaseException:
            Path(draft).unlink(missing_ok=True)
            raise
        _forget(folder)


def _forget(folder: Path) -> None:
    files = sorted(folder.glob("*.json"), key=lambda p: p.stat().st_mtime_ns)
    for path in files[:-KEPT]:
        path.unlink(missing_ok=True)


def _game(data: dict[str, Any]) -> SeenGame:
    decisions = tuple(
        SeenDecision(**{
            **d,
            "place": tuple(d["place"]),
            "points": _money(d["points"]),
            "wins": _money(d["wins"]),
        })
        for d in data["decisions"]
    )  # fmt: skip
    return SeenGame(**{**data, "warnings": tuple(data["warnings"]), "decisions": decisions})


def _money(data: dict[str, Any] | None) -> Money | None:
    return None if data is None else Money(**{**data, "refits": tuple(data["refits"])})
