"""``pointsleft rank LOG...``: players by what their decisions left, with intervals."""

from __future__ import annotations

from pathlib import Path

import click

from pointsleft.cli.output import FAULTS, guarded, print_json, stop
from pointsleft.cli.progress import progress


@click.command()
@click.argument("logs", nargs=-1, required=True, metavar="LOG...", type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("out/rank"),
    show_default=True,
    help="Folder for class.html, players/, players.csv and ranking.json.",
)
@click.option(
    "--by",
    type=click.Choice(["points", "wins"]),
    default="points",
    show_default=True,
    help="Currency by which the class is ordered.",
)
@click.option("--workbook", is_flag=True, help="Also write every table as tables.xlsx.")
@click.option("--seed", type=int, default=1, show_default=True, help="Seed of every draw.")
@click.option(
    "--workers",
    type=click.IntRange(1),
    help="Processes that price games; as many as there are cores when left out.",
)
@click.option(
    "--fresh", is_flag=True,
    help="Price every game again; neither read nor keep priced games.",
)  # fmt: skip
@click.option(
    "--models",
    "folder",
    type=click.Path(path_type=Path),
    help="Folder of fits made by `pointsleft fit`; the shipped fits when left out.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")
@guarded
def command(
    logs: tuple[Path, ...],
    out: Path,
    by: str,
    workbook: bool,
    seed: int,
    workers: int | None,
    fresh: bool,
    folder: Path | None,
    as_json: bool,
) -> None:
    """Rank players over their logged games, with intervals.

    LOG is a game log, or a folder that holds game logs (a season log); several may be given. The
    game sheet of each log says who is evaluated and who charted it. Priced games are kept in your
    cache folder (or where POINTSLEFT_CACHE says), so adding a game prices only that game; the
    logs are never written to.
    """
    from pointsleft_models.plays.cache import cache_folder

    from pointsleft.players.rank import rank
    from pointsleft.players.rows import TooLittleError
    from pointsleft.players.season import SeasonFaults, read_season
    from pointsleft.report.rank_json import ranking_data
    from pointsleft.report.rank_text import summary
    from pointsleft.report.rank_write import write_ranking

    for log in logs:
        if not log.exists():
            stop(f"{log}: there is nothing here", as_json=as_json)
    try:
        season = read_season(
            logs,
            kept_in=None if fresh else cache_folder() / "priced-games",
            fits=folder,
            workers=workers or _cores(),
            progress=progress,
        )
        ranking = rank(
            season.games,
            main="wins" if by == "wins" else "points",
            seed=seed,
            warnings=season.warnings,
        )
    except SeasonFaults as faults:
        if as_json:
            print_json({"clean": False, "faults": list(faults.messages)})
        stop(str(faults), FAULTS)
    except TooLittleError as error:
        stop(f"nothing can be ranked: {error}", FAULTS, as_json=as_json)
    written = write_ranking(ranking, out, workbook=workbook)
    if as_json:
        print_json(ranking_data(ranking))
        return
    click.echo(summary(ranking, written.named()), nl=False)
    click.echo(f"{season.priced} priced now, {season.kept} kept from before.", err=True)


def _cores() -> int:
    from joblib import cpu_count

    return int(cpu_count(only_physical_cores=True))
