"""``pointsleft calls PLAYS``: every fourth down of a play table or of a log."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pointsleft.cli.output import FAULTS, guarded, print_json, stop
from pointsleft.cli.progress import progress

if TYPE_CHECKING:
    import polars as pl
    from pointsleft_models.bundle import Models

    from pointsleft.calls.game import GameCalls
    from pointsleft.calls.play_table import FourthDowns

#: Seasons that a published share of settled calls is held against.
RECENT = range(2015, 2020)

MOST = 12


@click.command()
@click.argument("plays")
@click.option("--team", help="Only this team's calls, as the table spells it.")
@click.option("--game", help="Only this game; with --team its calls one by one.")
@click.option(
    "--page",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write a sheet to print (HTML); needs a log, or --team and --game.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write every fourth down here (.csv or .parquet).",
)
@click.option(
    "--most",
    type=click.IntRange(2, 1000),
    default=MOST,
    show_default=True,
    help="Rows of each ranking.",
)
@click.option(
    "--games",
    type=click.Path(path_type=Path),
    help="What was known of the games beforehand, as for `pointsleft plays`.",
)
@click.option(
    "--with-spread",
    is_flag=True,
    help="Use the pre-game spread of the table or of --games; a log's own is always used.",
)
@click.option("--level", help="Level of the fits; the log's own, or professional.")
@click.option(
    "--workers",
    type=click.IntRange(1, 2),
    default=2,
    show_default=True,
    help="Threads; the figures do not depend on them.",
)
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON.")
@guarded
def command(plays: str, as_json: bool, **given: Any) -> None:
    """Price every fourth down of PLAYS and rank teams, weeks and situations by what calls left.

    \b
    PLAYS is a log (a folder or .xlsx), whose own calls are shown one by one, or
      archive, archive:2014-2016   the installed archive, or some of its seasons
      FILE.whl                     the archive as a downloaded wheel
      seasons:2021-2023            professional seasons by nflreadpy
      FILE.csv, FILE.parquet       a play table of your own (docs/play-table.md)
    """
    _check(given, as_json)
    if Path(plays).is_dir() or plays.lower().endswith(".xlsx"):
        _log(Path(plays), given, as_json)
    else:
        _plays(plays, given, as_json)


def _check(given: dict[str, Any], as_json: bool) -> None:
    """Refuse, before anything is read, what cannot be written."""
    faults = []
    out, page = given["out"], given["page"]
    if out is not None and out.suffix.lower() not in (".csv", ".parquet"):
        faults.append(f"--out {out}: the calls are written as .csv or .parquet")
    if page is not None and page.suffix.lower() not in (".html", ".htm"):
        faults.append(f"--page {page}: the sheet is written as .html")
    for name, path in (("out", out), ("page", page)):
        if path is not None and not path.absolute().parent.is_dir():
            faults.append(f"--{name} {path}: the folder {path.parent} does not exist")
    if faults:
        stop("\n".join(faults), as_json=as_json)


def _log(log: Path, given: dict[str, Any], as_json: bool) -> None:
    """The calls of one's own game."""
    from pointsleft_models.bundle import load_models

    from pointsleft.calls.game import calls_of_log
    from pointsleft.cli.output import must_exist
    from pointsleft.log import LogFaults, read_log
    from pointsleft.log.faults import as_data

    must_exist(log, as_json=as_json)
    wrong = [f"--{n}: a log is one game of one team" for n in ("team", "game", "out") if given[n]]
    if given["games"] or given["with_spread"]:
        wrong.append("--games, --with-spread: a log says its own spread, which is used")
    if wrong:
        stop("\n".join(wrong), as_json=as_json)
    try:
        game = read_log(log)
    except LogFaults as faults:
        if as_json:
            print_json({"log": str(log), "clean": False, "faults": as_data(faults.faults)})
        stop(str(faults), FAULTS)
    models = load_models(given["level"] or game.level)
    _show_game(calls_of_log(game, models, progress=progress), models, game.season, given, as_json)


def _show_game(
    found: GameCalls, models: Models, season: int, given: dict[str, Any], as_json: bool
) -> None:
    from pointsleft_models.football.rules import rule_set

    from pointsleft.calls.turn import turn_map
    from pointsleft.report.as_json import plain
    from pointsleft.report.calls_page import calls_page
    from pointsleft.report.game_calls_text import game_calls_text
    from pointsleft.report.write import put

    page = given["page"]
    if page is not None:
        turn = turn_map(models.under(rule_set(models.rules_level, season)))
        put(page, calls_page(found, turn))
    if as_json:
        print_json(plain(found))
    else:
        click.echo(game_calls_text(found, page), nl=False)


def _plays(plays: str, given: dict[str, Any], as_json: bool) -> None:
    from pointsleft_models.bundle import load_models
    from pointsleft_models.plays.sources import SourceError, UnknownSourceError, read_source

    from pointsleft.calls.play_table import fourth_downs

    try:
        reading = read_source(plays, games=given["games"], progress=progress)
    except UnknownSourceError as error:
        stop(str(error), as_json=as_json)
    except SourceError as error:
        stop(str(error), FAULTS, as_json=as_json)
    models = load_models(given["level"] or "professional")
    if given["with_spread"]:
        _must_have_spread(reading.plays, models, as_json)
    found = fourth_downs(reading.plays, with_spread=given["with_spread"])
    table = _picked(found, given, as_json)
    if reading.left_out:
        told = "games that the reader leaves out (pointsleft plays names them)"
        table = replace(table, left_out={told: len(reading.left_out), **table.left_out})
    if given["team"] and given["game"]:
        _one_game(table, models, given, as_json)
        return
    if given["page"] is not None:
        stop("--page: a sheet is of one game; give --team and --game", as_json=as_json)
    _review(table, models, given, as_json)


def _must_have_spread(plays: pl.DataFrame, models: Models, as_json: bool) -> None:
    """Refuse to use a spread that is not there, or of which the fits know nothing."""
    if plays["home_spread"].null_count() == len(plays):
        stop("--with-spread: no game of the table has a pre-game spread (column home_spread); "
             "give one for its games by --games FILE", as_json=as_json)  # fmt: skip
    if models.favoured is None:
        stop(f"--with-spread: level {models.level} has no fit of what a spread changes",
             as_json=as_json)  # fmt: skip


def _picked(table: FourthDowns, given: dict[str, Any], as_json: bool) -> FourthDowns:
    """The fourth downs of the team and game asked for."""
    import numpy as np

    from pointsleft.cli.situation import told
    from pointsleft.report.safe_text import one_line

    mask = np.ones(len(table), dtype=bool)
    for name, column in (("team", table.team), ("game", table.game)):
        wanted = given[name]
        if wanted is None:
            continue
        if wanted not in column:
            there = sorted(set(column.tolist()))
            few = one_line(", ".join(there[:40])) + (" ..." if len(there) > 40 else "")
            stop(told([f"--{name}: found {wanted}; the table has {few}"]), as_json=as_json)
        mask &= column == wanted
    if not mask.any():
        stop("no fourth down to price: the table has none, or not of this team in this game",
             FAULTS, as_json=as_json)  # fmt: skip
    return table.take(mask)


def _one_game(table: FourthDowns, models: Models, given: dict[str, Any], as_json: bool) -> None:
    import numpy as np

    from pointsleft.calls.game import calls_of_table

    team, season = given["team"], int(table.season[0])
    title = f"{team} against {table.opponent[0]}, game {given['game']}"
    if given["out"] is not None:
        stop("--out: with --team and --game the calls are printed; --json has all figures",
             as_json=as_json)  # fmt: skip
    found = calls_of_table(table, np.arange(len(table)), models, title=title, team=team,
                           progress=progress)  # fmt: skip
    _show_game(found, models, season, given, as_json)


def _review(table: FourthDowns, models: Models, given: dict[str, Any], as_json: bool) -> None:
    import numpy as np

    from pointsleft.calls.review import review
    from pointsleft.calls.totals import groups, league, situation_names, team_names, week_names
    from pointsleft.report.as_json import plain
    from pointsleft.report.calls_table import write_calls
    from pointsleft.report.calls_text import review_text

    found = review(models, table, workers=given["workers"], progress=progress)
    whole = league(found)
    recent = np.isin(table.season, RECENT)
    late = league(found, recent) if set(RECENT) <= set(table.season.tolist()) else None
    heading = "team" if len(np.unique(table.season)) == 1 else "team-season"
    tables = [
        (heading, groups(found, team_names(found))),
        ("week", groups(found, week_names(found))),
        ("situation", groups(found, situation_names(found))),
    ]
    if given["out"] is not None:
        write_calls(found, given["out"])
    if as_json:
        print_json(
            {
                "league": plain(whole), "seasons_2015_to_2019": plain(late),
                "left_out": plain(table.left_out),
                "rankings": {name: plain(rows) for name, rows in tables},
            }
        )  # fmt: skip
        return
    click.echo(review_text(found, whole, late, tables, given["most"]), nl=False)
    if given["out"] is not None:
        click.echo(f"\nWritten to {given['out']}")
