"""The files of a ranking, rendered before the first is written."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from pointsleft.players.result import Ranking
from pointsleft.report.player_page import render_player
from pointsleft.report.rank_json import ranking_text
from pointsleft.report.rank_page import render_class
from pointsleft.report.rank_table import players_csv, write_xlsx
from pointsleft.report.rank_view import page_names
from pointsleft.report.write import put

#: Folder of the players' pages beside the page of the class.
PLAYERS = "players"


@dataclass(frozen=True, slots=True)
class RankWritten:
    """Where everything was written."""

    report: Path
    players: Path
    table: Path
    result: Path
    workbook: Path | None

    def named(self) -> dict[str, Path]:
        """By the names the summary prints."""
        found = {
            "report": self.report,
            "players": self.players,
            "table": self.table,
            "result": self.result,
        }
        return found if self.workbook is None else {**found, "workbook": self.workbook}


def write_ranking(ranking: Ranking, directory: Path, *, workbook: bool = False) -> RankWritten:
    """Write ``class.html``, a page a player, ``players.csv`` and ``ranking.json``.

    The directory is made if need be; files of these names in it are replaced, and pages of
    players who are no longer among them are left alone. All is rendered before the first file is
    written, so a fault in one leaves the old ones in place.

    Parameters
    ----------
    workbook
        Also write every table as ``tables.xlsx``.

    Raises
    ------
    NotWritableError
        A figure is not finite.
    OSError
        The directory cannot be written to.
    """
    names = page_names(ranking)
    placed = ranking.standings[ranking.main]["left"].players
    texts = {
        directory / "class.html": render_class(ranking),
        directory / "players.csv": players_csv(ranking),
        directory / "ranking.json": ranking_text(ranking),
    }
    for name, file in names.items():
        if name in placed:
            texts[directory / PLAYERS / file] = render_player(ranking, name)
    (directory / PLAYERS).mkdir(parents=True, exist_ok=True)
    for path, text in texts.items():
        put(path, text)
    book = directory / "tables.xlsx" if workbook else None
    if book is not None:
        write_xlsx(ranking, book)
    return RankWritten(
        directory / "class.html", directory / PLAYERS, directory / "players.csv",
        directory / "ranking.json", book,
    )  # fmt: skip
