"""Professional seasons from ``nflreadpy``: downloaded once, kept on disk, made neutral.

Needs the network the first time. A finished season is kept for good, one still being played for
a day; without a network a kept one is used however old it is, and the source's name says when it
was fetched.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from typing import Any

import polars as pl

from pointsleft_models.plays import cache, checking, league_columns
from pointsleft_models.plays.complete import complete
from pointsleft_models.plays.participation import (
    FIRST_SEASON,
    join_participation,
    wanted_columns,
)
from pointsleft_models.plays.reading import Progress, Reading, quiet

#: First season of the play-by-play.
FIRST_PLAYS = 1999

FRESH = datetime.timedelta(days=1)


class LeagueError(RuntimeError):
    """Seasons that cannot be had; the message says why and what to do."""


Fetch = Callable[[int], "pl.DataFrame | None"]


def read_seasons(
    seasons: Sequence[int],
    *,
    participation: bool = True,
    progress: Progress = quiet,
    fetch_plays: Fetch | None = None,
    fetch_participation: Fetch | None = None,
) -> Reading:
    """Read whole seasons, participation joined where there is any.

    Parameters
    ----------
    fetch_plays, fetch_participation
        Give one season's table as ``nflreadpy`` has it; by default they call ``nflreadpy``.

    Returns
    -------
    Reading
        Games whose final score the plays do not reproduce stand in ``left_out``.

    Raises
    ------
    LeagueError
        No network and nothing kept, a season that does not exist, or a table of another shape.
    """
    fetch_plays = fetch_plays or _download_plays
    fetch_participation = fetch_participation or _download_participation
    wanted = sorted(set(seasons))
    early = [season for season in wanted if season < FIRST_PLAYS]
    if early:
        raise LeagueError(f"play-by-play begins in {FIRST_PLAYS}; there is no season {early[0]}")
    tables: list[pl.DataFrame] = []
    dates: list[str] = []
    left_out: dict[str, str] = {}
    games = 0
    for season in progress(wanted, len(wanted), "reading seasons"):
        raw, fetched = _kept("plays", season, tuple(league_columns.WANTED), fetch_plays)
        if raw is None or len(raw) == 0:
            raise LeagueError(f"season {season} has no play-by-play yet")
        dates.append(fetched)
        done = complete(league_columns.neutral_plays(raw), league_columns.final_scores(raw))
        plays = checking.conform(done.plays)
        if participation and season >= FIRST_SEASON:
            more, _ = _kept("participation", season, wanted_columns(), fetch_participation)
            if more is not None and len(more):
                plays = join_participation(plays, more)
        tables.append(plays)
        left_out |= done.left_out
        games += done.games
    listed = ", ".join(map(str, wanted))
    return Reading(
        source=f"nflreadpy, season{'s' * (len(wanted) > 1)} {listed}, fetched {min(dates)}",
        plays=checking.validate(pl.concat(tables)),
        games_read=games,
        finals_reproduced=games - len(left_out),
        left_out=left_out,
    )


def _kept(
    what: str, season: int, columns: tuple[str, ...], fetch: Fetch
) -> tuple[pl.DataFrame | None, str]:
    """A season's table from the cache or, where it is absent or too old, fetched; and its date."""
    name, key = f"{what}-{season}", cache.key_of(*columns)
    today = datetime.date.today()
    old = cache.load(name, key)
    if old is not None:
        fetched = datetime.date.fromisoformat(old[1]["fetched"])
        if fetched >= _final_from(season) or today - fetched < FRESH:
            return old[0], str(fetched)
    try:
        frame = fetch(season)
    except OSError as error:
        if old is not None:
            return old[0], old[1]["fetched"]
        raise LeagueError(
            f"season {season} ({what}) cannot be fetched: {_reason(error)}. nflreadpy needs the "
            "network the first time a season is read; check the connection, or read the archive "
            "(`archive`) or a table of your own (a CSV or Parquet file)"
        ) from None
    if frame is None:
        return None, str(today)
    missing = [column for column in columns if column not in frame.columns]
    if missing:
        raise LeagueError(
            f"the {what} table of season {season} lacks the columns {', '.join(missing)}: "
            "nflreadpy gives another shape than this release knows; update pointsleft"
        )
    frame = frame.select(columns)
    cache.save(name, key, frame, {"fetched": str(today)})
    return frame, str(today)


def _final_from(season: int) -> datetime.date:
    """From when on a season's table does not change any more (corrections come until summer)."""
    return datetime.date(season + 1, 8, 1)


def _reason(error: BaseException) -> str:
    cause = error.__cause__ or error
    name = type(cause).__name__
    if "Timeout" in name:
        return "the server did not answer in time"
    status = getattr(getattr(cause, "response", None), "status_code", None)
    return f"the server answered {status}" if status else "no connection to the server"


def _call(load: Callable[[int], Any], season: int) -> pl.DataFrame:
    """Call ``nflreadpy`` for one season, its own cache off (ours keeps the table)."""
    from nflreadpy.config import get_config, update_config

    before = get_config().cache_mode
    update_config(cache_mode="off")
    try:
        frame = load(season)
    except ValueError as error:
        raise LeagueError(f"season {season}: {error}") from None
    finally:
        update_config(cache_mode=before)
    return pl.DataFrame(frame)


def _download_plays(season: int) -> pl.DataFrame:
    import nflreadpy

    return _call(nflreadpy.load_pbp, season)


def _download_participation(season: int) -> pl.DataFrame | None:
    """A season's participation; ``None`` where none is published (yet)."""
    import nflreadpy

    if season >= nflreadpy.get_current_season(roster=True):
        return None  # comes out after a season
    try:
        return _call(nflreadpy.load_participation, season)
    except ConnectionError as error:
        status = getattr(getattr(error.__cause__, "response", None), "status_code", None)
        if status == 404:
            return None
        raise
