"""``pointsleft fit``: every model again from play-by-play."""

from __future__ import annotations

from pathlib import Path

import click

from pointsleft.cli.output import FAULTS, guarded, print_json, stop
from pointsleft.cli.progress import progress

#: The level that others lean on.
PROFESSIONAL = "professional"

#: Levels that have rules of their own.
RULES = ("professional", "college")


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
    help="Participation data (Parquet or CSV); without it the laws that need it are left out, or "
    "taken over at a level that leans on another.",
)
@click.option(
    "--games",
    type=click.Path(path_type=Path),
    help="Final scores to hold the plays against, and spreads, as for `pointsleft plays`.",
)
@click.option(
    "--leave-out",
    is_flag=True,
    help="Leave games with faults out of a table of your own, instead of refusing it.",
)
@click.option(
    "--level",
    default="professional",
    show_default=True,
    help="Name of the level of play; any but professional leans on the shipped professional fits.",
)
@click.option(
    "--rules",
    type=click.Choice(RULES),
    help="Whose rules a level of another name plays under.",
)
@click.option(
    "--keep",
    is_flag=True,
    help="Keep the finished fits as yours, so that --level NAME finds them.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    show_default="out/fits/LEVEL",
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
    games: Path | None,
    leave_out: bool,
    level: str,
    rules: str | None,
    keep: bool,
    out: Path | None,
    refits: int,
    seed: int,
    workers: int,
    as_json: bool,
) -> None:
    """Fit every model again; an interrupted run goes on where it stopped."""
    from pointsleft_models.bundle import load_models, own_folder, shipped_levels
    from pointsleft_models.fitting.logit import FitError
    from pointsleft_models.fitting.resample import SHIPPED
    from pointsleft_models.football.rules import rule_set
    from pointsleft_models.plays.participation import CREDIT
    from pointsleft_models.plays.sources import SourceError, UnknownSourceError, read_source
    from pointsleft_models.recipes.everything import fit_everything
    from pointsleft_models.recipes.plan import FitPlan

    from pointsleft.cli.fit_told import (
        fit_lines,
        keep_fits,
        lean_credit,
        of_level,
        settled_parts,
    )
    from pointsleft.cli.plays import left_out_lines

    if refits % SHIPPED.parts:
        stop(f"--refits {refits}: refits come in cuts of {SHIPPED.parts} parts of the games; "
             f"give a multiple of {SHIPPED.parts}", as_json=as_json)  # fmt: skip
    own = level if level in RULES else None
    under = rules or own
    if under is None:  # told before hours of fitting
        known = " or --rules ".join(RULES)
        stop(f"--level {level}: say whose rules it plays under, --rules {known}", as_json=as_json)
    rule_set(under)
    kept = own_folder(level)
    out = out or Path("out/fits") / level
    if keep and level in shipped_levels():
        stop(f"--keep: level {level} is shipped; give your fits a name of their own, or use them "
             "by --models", as_json=as_json)  # fmt: skip
    lean = None if level == PROFESSIONAL else load_models(PROFESSIONAL)
    try:
        reading = read_source(
            source, participation=participation, games=games, leave_out=leave_out,
            progress=progress,
        )  # fmt: skip
    except UnknownSourceError as error:
        stop(str(error), as_json=as_json)
    except SourceError as error:
        stop(str(error), FAULTS, as_json=as_json)
    if reading.left_out and not as_json:
        click.echo("\n".join(left_out_lines(reading.left_out)).lstrip(), err=True)
    has = reading.plays["pressured"].null_count() < len(reading.plays)
    if not has and not as_json:
        done = "left out" if lean is None else f"taken over from {lean.level} play"
        click.echo(
            f"No participation data: laws of coverage, box, pressure and ball-out time are {done} "
            "(give --participation FILE).", err=True,
        )  # fmt: skip
    spreads = reading.plays["home_spread"].null_count() < len(reading.plays)
    if lean is None and not spreads and not as_json:
        click.echo("No pre-game spreads: what a spread changes is left out (give --games FILE).",
                   err=True)  # fmt: skip
    credits = [*([CREDIT] if has else []), *([lean_credit(lean)] if lean else [])]
    plan = FitPlan(
        level=level, data=reading.source, plays=of_level(reading.plays, under), refits=refits,
        seed=seed, credit=" ".join(c for c in credits if c), rules=under, rough=reading.rough,
        lean=lean,
    )  # fmt: skip
    try:
        fits = fit_everything(plan, out, progress=progress, workers=workers)
    except FitError as error:
        stop(f"{reading.source}: {error}", FAULTS, as_json=as_json)
    except KeyboardInterrupt:
        click.echo(f"Stopped; the same command goes on from what lies in {out}.", err=True)
        raise
    if keep:
        keep_fits(out, kept, list(fits))
    if as_json:
        print_json(
            {
                "folder": str(out),
                "kept": str(kept) if keep else None,
                "participation": has,
                "left_out": dict(reading.left_out),
                "fits": {
                    name: {"hash": fit.digest, "rows": fit.card.rows, "games": fit.card.games,
                           "seasons": list(fit.card.seasons), "scores": dict(fit.card.scores),
                           "settled": settled_parts(fit)}
                    for name, fit in fits.items()
                },
            }
        )  # fmt: skip
        return
    click.echo(f"Fits of level {level} in {out} ({refits} refits):")
    for line in fit_lines(fits):
        click.echo(line)
    if keep:
        click.echo(f"Kept as level {level} in {kept}")
