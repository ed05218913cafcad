"""One way to every source: a line of text in, a :class:`Reading` out."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from pointsleft_models.plays.reading import Progress, Reading, quiet

if TYPE_CHECKING:
    import polars as pl

ACCEPTED = """\
  archive                 the installed play-by-play archive, 2009 to 2019
  archive:2014-2016       some of its seasons (also archive:2014,2016)
  FILE.whl                the archive as a downloaded wheel
  seasons:2023            professional seasons by nflreadpy (also seasons:2021-2023)
  college:FILE.parquet    a college season by the feed's own columns, see docs/levels.md
  FILE.csv, FILE.parquet  a play table of your own, see docs/play-table.md"""


#: How a college season is asked for.
COLLEGE = "college:"


class SourceError(ValueError):
    """A source that cannot be read; the message says why and what to do."""


class UnknownSourceError(SourceError):
    """The text names no source; the message lists what is accepted."""


def read_source(
    text: str,
    *,
    participation: str | Path | None = None,
    games: str | Path | None = None,
    leave_out: bool = False,
    progress: Progress = quiet,
) -> Reading:
    """Read any source into the neutral play table.

    Parameters
    ----------
    text
        ``archive``, ``archive:2014-2016``, a wheel, ``seasons:2023``, ``college:FILE``, or a CSV
        or Parquet file.
    participation
        A participation file to join (Parquet or CSV). ``seasons:`` brings its own without.
    games
        A games file (CSV or Parquet): spread, roof and weather are joined, and the plays of a
        table of one's own are held against its final scores. For ``college:`` the feed's own
        table of final scores.
    leave_out
        Leave games with faults out of a table of one's own instead of refusing it.

    Raises
    ------
    UnknownSourceError
        The text is none of these, or the file is not there.
    SourceError
        The source cannot be read, or has faults: the message lists them all.
    """
    from pointsleft_models.plays.archive_files import ArchiveError
    from pointsleft_models.plays.checking import PlayTableError
    from pointsleft_models.plays.college import CollegeError
    from pointsleft_models.plays.games import GamesError, join_games, read_games_file
    from pointsleft_models.plays.league import LeagueError
    from pointsleft_models.plays.participation import ParticipationError

    for path in (participation, games):
        if path is not None and not Path(path).is_file():
            raise UnknownSourceError(f"{path}: no such file")
    try:
        if text.startswith(COLLEGE):
            if participation is not None:
                raise UnknownSourceError(
                    f"{text}: participation data belong to professional seasons; leave them out"
                )
            return _college(text, games)
        about = None if games is None else read_games_file(games)
        reading = _reading(text, about, leave_out, participation is None, progress)
        if about is not None:
            reading = replace(reading, plays=join_games(reading.plays, about))
        if participation is not None:
            reading = _with_participation(reading, participation)
    except (
        ArchiveError, CollegeError, PlayTableError, LeagueError, ParticipationError, GamesError,
    ) as error:  # fmt: skip
        raise SourceError(str(error)) from error
    return reading


def _college(text: str, games: str | Path | None) -> Reading:
    from pointsleft_models.plays.college import read_college, read_college_games

    path = Path(text.removeprefix(COLLEGE))
    if not path.is_file():
        raise UnknownSourceError(f"{path}: no such file; sources of plays are\n{ACCEPTED}")
    return read_college(path, None if games is None else read_college_games(games))


def _reading(
    text: str,
    games: pl.DataFrame | None,
    leave_out: bool,
    own_participation: bool,
    progress: Progress,
) -> Reading:
    name, colon, rest = text.partition(":")
    if name == "archive":
        from pointsleft_models.plays.archive_cached import SeasonError, read_archive_cached

        seasons = _seasons(text, rest) if colon else None
        try:
            return read_archive_cached(seasons=seasons, progress=progress)
        except SeasonError as error:
            raise UnknownSourceError(str(error)) from None
    if name == "seasons":
        from pointsleft_models.plays.league import read_seasons

        return read_seasons(
            _seasons(text, rest), participation=own_participation, progress=progress
        )
    path = Path(text)
    suffix = path.suffix.lower()
    from pointsleft_models.plays.files import SUFFIXES

    if suffix not in (".whl", *SUFFIXES):
        raise UnknownSourceError(f"{text!r} is no source of plays; accepted are\n{ACCEPTED}")
    if not path.is_file():
        raise UnknownSourceError(f"{text}: no such file; sources of plays are\n{ACCEPTED}")
    if suffix == ".whl":
        from pointsleft_models.plays.archive_cached import read_archive_cached

        return read_archive_cached(path, progress=progress)
    from pointsleft_models.plays.own import read_own

    return read_own(path, games=games, leave_out=leave_out)


def _seasons(text: str, listed: str) -> tuple[int, ...]:
    """Seasons of ``2014``, ``2014-2016`` or ``2014,2016``."""
    seasons: set[int] = set()
    for part in listed.split(","):
        match = re.fullmatch(r"\s*(\d{4})(?:\s*-\s*(\d{4}))?\s*", part)
        first, last = (0, 0) if match is None else (int(match[1]), int(match[2] or match[1]))
        if match is None or last < first or last - first > 200:
            raise UnknownSourceError(
                f"{text!r}: {part!r} is no season; write e.g. {text.partition(':')[0]}:2014-2016"
            )
        seasons.update(range(first, last + 1))
    return tuple(sorted(seasons))


def _with_participation(reading: Reading, path: str | Path) -> Reading:
    import polars as pl

    from pointsleft_models.plays.participation import (
        FILLED,
        ParticipationError,
        join_participation,
        read_participation_file,
    )

    plays = join_participation(reading.plays, read_participation_file(path))
    if not plays.select(pl.any_horizontal(pl.col(FILLED).is_not_null()).any()).item():
        raise ParticipationError(
            f"participation file {path} meets no play of the source by game and play number"
        )
    return replace(reading, plays=plays)
