"""The three files of a priced game, written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from dataclasses import dataclass
from pathlib import Path

from pointsleft.game.dearest import FULL
from pointsleft.pricing.result import PricedGame
from pointsleft.report.as_json import result_text
from pointsleft.report.as_table import decisions_csv
from pointsleft.report.page import render_page


@dataclass(frozen=True, slots=True)
class Written:
    """Where the report, the table and the result were written."""

    report: Path
    table: Path
    result: Path

    def named(self) -> dict[str, Path]:
        """By the names the summary prints."""
        return {"report": self.report, "table": self.table, "result": self.result}


def put(path: Path, text: str) -> None:
    """Write beside the file, then put it in its place: a reader never sees half a file."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as out:
            out.write(text)
        mask = os.umask(0)
        os.umask(mask)
        os.chmod(name, 0o666 & ~mask)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def write_files(game: PricedGame, directory: Path, *, dearest: int = FULL) -> Written:
    """Write ``report.html``, ``decisions.csv`` and ``result.json`` into a directory.

    The directory is made if need be; files of these names in it are replaced. All three are
    rendered before the first is written, so a fault in one leaves the old three in place.

    Raises
    ------
    NotWritableError
        A figure is not finite.
    OSError
        The directory cannot be written to.
    """
    page = render_page(game, dearest=dearest)
    table = decisions_csv(game)
    result = result_text(game)
    directory.mkdir(parents=True, exist_ok=True)
    written = Written(
        directory / "report.html", directory / "decisions.csv", directory / "result.json"
    )
    for path, text in ((written.report, page), (written.table, table), (written.result, result)):
        put(path, text)
    return written
