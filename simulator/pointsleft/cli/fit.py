"""``pointsleft fit``: every model again from play-by-play."""

from __future__ import annotations

from pathlib import Path

import click

from pointsleft.cli.output import FAULTS, guarded, print_json, stop
from pointsleft.cli.progress import progress


@click.command()
@click.option(
    "--plays",
    "source",
    default="archive",
    show_default=True,
    help="Source of play-by-play, as for `pointsleft plays`.",
)
@click.option(
    "--participation",
    type=click.Path(path_type=Path),
    help="Participation data (Parquet or CSV); laws that need it are left out without.",
)
@click.option("--level", default="professional", show_default=True, help="Level of play.")
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("out/fits"),
    show_default=True,
    help="Folder for the fits.",
)
@click.option(
    "--refits",
    type=click.IntRange(0, 1000),
    default=100,
    show_default=True,
    help="Refits on resampled games (a multiple of five).",
)
@click.option("--seed", type=int, default=20111, show_default=True, help="Seed of the resamples.")
@click.option(
    "--workers",
    type=click.IntRange(1, 64),
    default=2,
    show_default=True,
    help="Processes; the fits do not depend on their number.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the scores as JSON.")
@guarded
def command(
    source: str,
    participation: Path | None,
    level: str,
    out: Path,
    refits: int,
    seed: int,
    workers: int,
    as_json: bool,
) -> None:
    """Fit every model again; an interrupted run goes on where it stopped."""
    from pointsleft_models.fitting.logit import FitError
    from pointsleft_models.fitting.resample import SHIPPED
    from pointsleft_models.football.rules import rule_set
    from pointsleft_models.plays.participation import CREDIT
    from pointsleft_models.plays.sources import SourceError, UnknownSourceError, read_source
    from pointsleft_models.recipes.everything import FitPlan, fit_everything

    if refits % SHIPPED.parts:
        stop(f"--refits {refits}: refits come in cuts of {SHIPPED.parts} parts of the games; "
             f"give a multiple of {SHIPPED.parts}", as_json=as_json)  # fmt: skip
    rule_set(level)  # a level without rules is told before hours of fitting
    try:
        reading = read_source(source, participation=participation, progress=progress)
    except UnknownSourceError as error:
        stop(str(error), as_json=as_json)
    except SourceError as error:
        stop(str(error), FAULTS, as_json=as_json)
    has = reading.plays["pressured"].null_count() < len(reading.plays)
    if not has and not as_json:
        click.echo(
            "No participation data: laws of coverage, box, pressure and ball-out time are left "
            "out (give --participation FILE).", err=True,
        )  # fmt: skip
    plan = FitPlan(
        level=level, data=reading.source, plays=reading.plays, refits=refits, seed=seed,
        credit=CREDIT if has else "",
    )  # fmt: skip
    try:
        fits = fit_everything(plan, out, progress=progress, workers=workers)
    except FitError as error:
        stop(f"{reading.source}: {error}", FAULTS, as_json=as_json)
    if as_json:
        print_json(
            {
                "folder": str(out),
                "participation": has,
                "fits": {
                    name: {"hash": fit.digest, "rows": fit.card.rows, "games": fit.card.games,
                           "seasons": list(fit.card.seasons), "scores": dict(fit.card.scores)}
                    for name, fit in fits.items()
                },
            }
        )  # fmt: skip
        return
    click.echo(f"Fits of level {level} in {out} ({refits} refits):")
    for name, fit in fits.items():
        click.echo(f"  {name:<12}{fit.card.rows:>9} rows {fit.card.games:>6} games  "
                   f"{fit.digest[:12]}")  # fmt: skip
        for part, score in fit.card.scores.items():
            click.echo(f"    {part:<28} log loss {score['log_loss']:.4f}"
                       f"  marginal {score['marginal']:.4f}")  # fmt: skip
