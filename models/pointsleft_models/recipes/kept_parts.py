"""Parts of a long fit kept on disk, so that an interrupted one goes on where it stopped."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

Array = np.ndarray

#: Folder of the parts, beside the fits.
NAME = ".parts"


@dataclass(frozen=True, slots=True)
class KeptParts:
    """Arrays under names; those of another key are never read.

    Attributes
    ----------
    folder
        Where the fits go.
    key
        Hash of everything that the parts depend on but the code.
    """

    folder: Path
    key: str

    def _path(self, name: str) -> Path:
        return self.folder / NAME / f"{name}.{self.key}.npz"

    def load(self, name: str) -> dict[str, Array] | None:
        """A part's arrays; ``None`` where it is not there or broken off."""
        try:
            with np.load(self._path(name), allow_pickle=False) as stored:
                return {key: stored[key] for key in stored.files}
        except (OSError, ValueError, EOFError, BadZipFile):
            return None

    def save(self, name: str, arrays: Mapping[str, Array]) -> None:
        """Keep a part, whole or not at all."""
        path = self._path(name)
        path.parent.mkdir(parents=True, exist_ok=True)
        fresh = path.with_suffix(f".{os.getpid()}.new")
        with fresh.open("wb") as file:
            np.savez(file, allow_pickle=False, **dict(arrays))
        fresh.replace(path)

    def clear(self, start: str) -> None:
        """Forget the parts whose names start so: their fit is stored."""
        folder = self.folder / NAME
        for path in folder.glob(f"{start}*"):
            path.unlink()
        if folder.is_dir() and not any(folder.iterdir()):
            folder.rmdir()
