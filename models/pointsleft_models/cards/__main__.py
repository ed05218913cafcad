"""``python -m pointsleft_models.cards``: count, draw and write the cards of the stored fits.

Without the archive (or whatever ``--plays`` names) nothing is counted: the pictures are drawn
again from the saved counts and the pages written.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click

#: Folder that may hold participation data and a table of games, and the files in it.
SHARED = "POINTSLEFT_SHARED_DATA"
PARTICIPATION, GAMES = "participation_2016_2019.parquet", "games_2009_2019.csv"


def _given_or_shared(given: Path | None, name: str) -> Path | None:
    if given is not None:
        return given
    folder = os.environ.get(SHARED)
    usual = Path(folder) / name if folder else None
    return usual if usual is not None and usual.is_file() else None


@click.command(help=__doc__)
@click.option("--plays", "source", default="archive", show_default=True, help="Source of plays.")
@click.option(
    "--participation",
    type=click.Path(path_type=Path),
    envvar="POINTSLEFT_PARTICIPATION",
    help=f"Participation data; else {PARTICIPATION} in the folder that {SHARED} names.",
)
@click.option(
    "--games",
    type=click.Path(path_type=Path),
    help=f"Table of games with spreads; else {GAMES} in that folder.",
)
@click.option("--level", default="professional", show_default=True, help="Level of the fits.")
@click.option(
    "--models", "folder", type=click.Path(path_type=Path), help="Folder of fits, not the shipped."
)
@click.option(
    "--docs", type=click.Path(path_type=Path), default=Path("docs"), show_default=True,
    help="Folder for cards/, img/cards/ and models.md.",
)  # fmt: skip
def command(
    source: str,
    participation: Path | None,
    games: Path | None,
    level: str,
    folder: Path | None,
    docs: Path,
) -> None:
    from pointsleft_models.bundle import load_models
    from pointsleft_models.cards import make
    from pointsleft_models.fitting.store import StoreError
    from pointsleft_models.plays.sources import SourceError, read_source

    try:
        models = load_models(level, folder)
    except StoreError as error:
        sys.exit(str(error))
    participation = _given_or_shared(participation, PARTICIPATION)
    games = _given_or_shared(games, GAMES)
    try:
        reading = read_source(source, participation=participation, games=games)
    except SourceError as error:
        click.echo(f"Nothing counted: {error}", err=True)
        click.echo(f"{make.draw_again(docs)} pictures drawn again from their saved counts.")
    else:
        if participation is None:
            click.echo(
                "No participation data: panels of pressure, route, coverage and box are left out "
                "(give --participation FILE).", err=True,
            )  # fmt: skip
        if games is None:
            click.echo("No spreads: their panels are left out (give --games FILE).", err=True)
        for counted in make.count_cards(models, reading.plays, reading.source):
            make.save(counted, docs)
            click.echo(f"{counted.name:<12}{len(counted.panels):>3} panels")
    for path in make.write_pages(models, docs):
        click.echo(str(path))


if __name__ == "__main__":
    command()
