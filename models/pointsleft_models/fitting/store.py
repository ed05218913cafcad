"""Fits on disk: plain arrays (``.npz``) beside a card (``.json``), never pickled.

The card says what was fitted, on what, when, how well, and holds the hash of the arrays.
Loading checks format, version and hash.
"""

from __future__ import annotations

import hashlib
import io
import json
import zlib
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any
from zipfile import BadZipFile

import numpy as np

#: Raised whenever stored arrays change their meaning.
FORMAT = 1


class StoreError(RuntimeError):
    """A fit that cannot be read; the message says which file, why, and what to do."""


@dataclass(frozen=True, slots=True)
class Card:
    """What a fit is and how far to trust it.

    Attributes
    ----------
    name, level
        Which model, for which level of play.
    data, seasons, rows, games
        What it was fitted on.
    settings
        Everything fixed before fitting: basis, stiffness, constants.
    scores
        Out-of-sample scores and what they are measured against.
    judgement
        What part of it is judgement and not a fit; empty when none.
    credit
        What the data's licence asks to be said.
    """

    name: str
    level: str
    data: str
    seasons: tuple[int, ...]
    rows: int
    games: int
    date: str
    settings: Mapping[str, Any] = field(default_factory=dict)
    scores: Mapping[str, Any] = field(default_factory=dict)
    judgement: str = ""
    credit: str = ""
    refits: int = 0
    scheme: str = ""


@dataclass(frozen=True, slots=True)
class StoredFit:
    """A card and its arrays."""

    card: Card
    arrays: Mapping[str, np.ndarray]
    digest: str


def _digest(arrays: Mapping[str, np.ndarray]) -> str:
    sha = hashlib.sha256()
    for name in sorted(arrays):
        array = np.ascontiguousarray(arrays[name])
        sha.update(f"{name}|{array.dtype.str}|{array.shape}|".encode())
        sha.update(array.tobytes())
    return sha.hexdigest()


def save_fit(folder: Path, card: Card, arrays: Mapping[str, np.ndarray]) -> StoredFit:
    """Write ``<name>.npz`` and ``<name>.json`` into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    digest = _digest(arrays)
    buffer = io.BytesIO()
    np.savez_compressed(buffer, allow_pickle=False, **dict(arrays))
    (folder / f"{card.name}.npz").write_bytes(buffer.getvalue())
    text = json.dumps(
        {"format": FORMAT, "hash": digest, **asdict(card)}, indent=1, ensure_ascii=False
    )
    (folder / f"{card.name}.json").write_text(text + "\n", encoding="utf-8")
    return StoredFit(card, dict(arrays), digest)


def load_fit(folder: Path, name: str) -> StoredFit:
    """Read a fit and check it.

    Raises
    ------
    StoreError
        Missing, of another format, or changed since it was written.
    """
    card_path, array_path = folder / f"{name}.json", folder / f"{name}.npz"
    try:
        about = json.loads(card_path.read_text(encoding="utf-8"))
        with np.load(array_path, allow_pickle=False) as stored:
            arrays = {key: stored[key] for key in stored.files}
    except FileNotFoundError as error:
        raise StoreError(
            f"no fit {name!r} in {folder} ({error.filename} is missing); "
            "install again or run: pointsleft fit"
        ) from None
    except (OSError, ValueError, EOFError, BadZipFile, zlib.error) as error:
        raise StoreError(
            f"fit {name!r} in {folder} cannot be read ({error}); install again or run: "
            "pointsleft fit"
        ) from None
    if about.pop("format", None) != FORMAT:
        raise StoreError(
            f"fit {name!r} in {folder} has another format than this release reads ({FORMAT}); "
            "run: pointsleft fit"
        )
    digest = about.pop("hash", "")
    if digest != _digest(arrays):
        raise StoreError(
            f"fit {name!r} in {folder} was changed after it was written (its hash differs from "
            "its card); install again or run: pointsleft fit"
        )
    about["seasons"] = tuple(about["seasons"])
    return StoredFit(Card(**about), arrays, digest)
