"""Tables kept on disk between runs, so that a slow source is read once.

One table is a Parquet file and a small JSON file beside it that holds its hash and what else
there is to know. Both are put in place whole; a table whose hash does not fit is read again from
its source. Nothing is lost with the folder: it can be removed at any time.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import os
import tempfile
from pathlib import Path
from typing import Any

import polars as pl

from pointsleft_models.plays.schema import SCHEMA_VERSION

#: Environment variable that names another folder.
VARIABLE = "POINTSLEFT_CACHE"

#: Tables kept of one name (other versions of data or code).
KEPT = 4


def cache_folder() -> Path:
    """Where tables are kept: ``$POINTSLEFT_CACHE``, or the user's cache folder."""
    said = os.environ.get(VARIABLE)
    if said:
        return Path(said).expanduser()
    from platformdirs import user_cache_path

    return user_cache_path("pointsleft", appauthor=False)


def code_hash() -> str:
    """Hash of the source code that turns a source into a table, and of the schema's version.

    Takes in every module of this room and the plain values it stands on, so that no change of
    a reader can go unnoticed.
    """
    here = Path(__file__).parent
    sha = hashlib.sha256(str(SCHEMA_VERSION).encode())
    for path in sorted([*here.glob("*.py"), *(here.parent / "football").glob("*.py")]):
        sha.update(path.name.encode() + b"\0" + path.read_bytes())
    return sha.hexdigest()


def key_of(*parts: str) -> str:
    """A short key from everything that a table depends on."""
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()[:20]


def load(name: str, key: str) -> tuple[pl.DataFrame, dict[str, Any]] | None:
    """A kept table and what was said of it; ``None`` when absent or damaged."""
    table, card = _paths(name, key)
    try:
        about = json.loads(card.read_text(encoding="utf-8"))
        data = table.read_bytes()
        if hashlib.sha256(data).hexdigest() != about["sha256"]:
            return None
        return pl.read_parquet(io.BytesIO(data)), about["about"]
    except (OSError, ValueError, KeyError, TypeError, pl.exceptions.PolarsError):
        return None


def save(name: str, key: str, frame: pl.DataFrame, about: dict[str, Any]) -> None:
    """Keep a table. A folder that cannot be written to is no fault: the table is not kept."""
    table, card = _paths(name, key)
    buffer = io.BytesIO()
    frame.write_parquet(buffer, compression="lz4")
    data = buffer.getvalue()
    said = {"sha256": hashlib.sha256(data).hexdigest(), "about": about}
    with contextlib.suppress(OSError):
        table.parent.mkdir(parents=True, exist_ok=True)
        put_whole(table, data)
        put_whole(card, json.dumps(said, indent=1).encode())
        _forget_old(name)


def put_whole(path: Path, data: bytes) -> None:
    """Write a file so that a reader sees the old one or the new one, never a part."""
    handle, draft = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        mask = os.umask(0)
        os.umask(mask)
        os.chmod(draft, 0o666 & ~mask)  # mkstemp's own is for the user alone
        os.replace(draft, path)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(draft)
        raise


def _paths(name: str, key: str) -> tuple[Path, Path]:
    folder = cache_folder()
    return folder / f"{name}-{key}.parquet", folder / f"{name}-{key}.json"


def _forget_old(name: str) -> None:
    cards = sorted(
        cache_folder().glob(f"{name}-{'?' * 20}.json"), key=lambda p: p.stat().st_mtime_ns
    )
    for card in cards[:-KEPT]:
        card.unlink(missing_ok=True)
        card.with_suffix(".parquet").unlink(missing_ok=True)
