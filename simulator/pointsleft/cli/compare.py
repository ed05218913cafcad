"""``pointsleft compare LOG LOG``: two charters of one game."""

from __future__ import annotations

from pathlib import Path

import click

from pointsleft.cli.output import FAULTS, guarded, must_exist, print_json, stop
from pointsleft.cli.progress import progress


@click.command()
@click.argument("first", type=click.Path(path_type=Path))
@click.argument("second", type=click.Path(path_type=Path))
@click.option(
    "--merge",
    "target",
    type=click.Path(path_type=Path),
    help="Write both logs as one, a new folder or .xlsx; nothing is ever overwritten.",
)
@click.option("--wins", is_flag=True, help="Tell the moved snaps in win probability.")
@click.option("--seed", type=int, default=1, show_default=True, help="Seed of every draw.")
@click.option(
    "--models",
    "folder",
    type=click.Path(path_type=Path),
    help="Folder of fits made by `pointsleft fit`; the shipped fits when left out.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the comparison as JSON.")
@guarded
def command(
    first: Path, second: Path, target: Path | None, wins: bool, seed: int, folder: Path | None,
    as_json: bool,
) -> None:  # fmt: skip
    """Hold two logs of one game against each other: agreement, prices both ways, one merged log.

    The logs are only read.
    """
    from pointsleft_models.bundle import load_models

    from pointsleft.log import LogFaults, WriteError, read_log, write_log
    from pointsleft.log.faults import as_data
    from pointsleft.log.record import LoggedGame
    from pointsleft.voices.as_text import summary
    from pointsleft.voices.compare import NotOneGame, compare
    from pointsleft.voices.merge import lead_of, merge

    games: list[LoggedGame] = []
    told, faulty = [], []
    for path in (first, second):
        must_exist(path, as_json=as_json)
        try:
            games.append(read_log(path))
        except LogFaults as faults:
            told.append(str(faults))
            faulty.append({"log": str(path), "clean": False, "faults": as_data(faults.faults)})
    if told:
        if as_json:
            print_json({"logs": faulty})
        stop("\n\n".join(told), FAULTS)
    if target is not None and target.exists():
        stop(f"{target}: something lies there already; give another name", as_json=as_json)
    try:
        found = compare(
            games[0], games[1], load_models(games[0].level, folder), seed=seed, progress=progress
        )
        written = None
        if target is not None:
            written = write_log(merge(*lead_of(games[0], games[1], found.matched)), target)
    except (NotOneGame, WriteError) as error:
        stop(str(error), as_json=as_json)
    if as_json:
        print_json({**found.as_data(), "merged": None if written is None else str(written)})
        return
    click.echo(summary(found, "wins" if wins else "points"))
    if written is not None:
        click.echo(f"\nBoth voices in one log: {written} (check and price it like any other)")
