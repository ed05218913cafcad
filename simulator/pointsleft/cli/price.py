"""``pointsleft price LOG``: every decision of a log, priced and reported."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pointsleft.cli.output import FAULTS, guarded, must_exist, print_json, stop
from pointsleft.cli.progress import progress

if TYPE_CHECKING:
    from pointsleft_models.playthrough.parts import Parts
    from pointsleft_models.playthrough.teams import Teams

    from pointsleft.log.record import LoggedGame

Command = Callable[..., Any]


def output_options(folder: str, play_out: int = 0) -> Callable[[Command], Command]:
    """Where the output goes, draws and their seed: what every pricing command takes.

    Parameters
    ----------
    play_out
        How many of the dearest decisions are played out unless asked otherwise.
    """
    options = (
        click.option(
            "--out",
            type=click.Path(path_type=Path),
            default=Path(folder),
            show_default=True,
            help="Folder for report.html, decisions.csv and result.json.",
        ),
        click.option(
            "--draws",
            type=click.IntRange(0, 1_000_000),
            default=10_000,
            show_default=True,
            help="Draws of chosen and best for each decision.",
        ),
        click.option("--seed", type=int, default=1, show_default=True, help="Seed of every draw."),
        click.option(
            "--play-out",
            type=click.IntRange(min=0),
            default=play_out,
            show_default=True,
            help="Play the situations of so many of the dearest decisions out, as a second "
            "witness (half a second each).",
        ),
        click.option("--json", "as_json", is_flag=True, help="Print the result as JSON."),
    )

    def add(command: Command) -> Command:
        for option in reversed(options):
            command = option(command)
        return command

    return add


@click.command()
@click.argument("log", type=click.Path(path_type=Path))
@output_options("out")
@click.option(
    "--models",
    "folder",
    type=click.Path(path_type=Path),
    help="Folder of fits made by `pointsleft fit`; the shipped fits when left out.",
)
@click.option(
    "--level", help="Level whose fits to use (`pointsleft levels` lists them); the log's own."
)
@guarded
def command(
    log: Path,
    out: Path,
    draws: int,
    seed: int,
    folder: Path | None,
    level: str | None,
    play_out: int,
    as_json: bool,
) -> None:
    """Price every decision of a log (a folder of CSV files or a workbook)."""
    run(log, out, draws=draws, seed=seed, folder=folder, level=level, play_out=play_out,
        as_json=as_json)  # fmt: skip


def _playthrough(game: LoggedGame, level: str, folder: Path | None) -> tuple[Parts, Teams]:
    """The simulator under the rules of a game; read before pricing, so that a level that has
    none is told at once."""
    from pointsleft_models.football.rules import rule_set
    from pointsleft_models.playthrough.load import load_playthrough

    return load_playthrough(rule_set(game.level, game.season), level, folder)


def run(
    log: Path,
    out: Path,
    *,
    draws: int,
    seed: int,
    folder: Path | None = None,
    level: str | None = None,
    play_out: int = 0,
    as_json: bool = False,
) -> None:
    """Read, price, write and say where."""
    from pointsleft_models.bundle import load_models

    from pointsleft.game.price import price_game
    from pointsleft.log import LogFaults, read_log
    from pointsleft.log.faults import as_data
    from pointsleft.pricing.settings import PriceSettings
    from pointsleft.report.as_json import result
    from pointsleft.report.as_text import summary
    from pointsleft.report.write import write_files

    must_exist(log, as_json=as_json)
    try:
        game = read_log(log)
    except LogFaults as faults:
        if as_json:
            print_json({"log": str(log), "clean": False, "faults": as_data(faults.faults)})
        stop(str(faults), FAULTS)
    models = load_models(level or game.level, folder)
    playthrough = _playthrough(game, models.level, folder) if play_out else None
    settings = PriceSettings(draws=draws, seed=seed)
    priced = price_game(game, settings, models=models, progress=progress)
    if playthrough is not None:
        from pointsleft.game.played_out import with_played_out

        priced = with_played_out(priced, game, models, playthrough, play_out, progress=progress)
    written = write_files(priced, out)
    if as_json:
        print_json(result(priced))
    else:
        click.echo(summary(priced, written.named()))
