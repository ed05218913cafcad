"""``pointsleft demo``: the invented demo game, from log to report."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import click

from pointsleft.cli.output import guarded
from pointsleft.cli.price import run


def demo_log() -> Path:
    """Where the demo game's log lies: in the package, or in the clone it was installed from."""
    inside = Path(str(files("pointsleft").joinpath("_demo", "game")))
    if inside.is_dir():
        return inside
    return Path(__file__).resolve().parents[3] / "data_demo" / "game"


@click.command()
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("out/demo"),
    show_default=True,
    help="Folder for the report, the table and the result.",
)
@click.option(
    "--draws",
    type=click.IntRange(0, 1_000_000),
    default=10_000,
    show_default=True,
    help="Draws of chosen and best for each decision.",
)
@click.option("--seed", type=int, default=1, show_default=True, help="Seed of every draw.")
@click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")
@guarded
def command(out: Path, draws: int, seed: int, as_json: bool) -> None:
    """Price the invented demo game and write its report."""
    run(demo_log(), out, draws=draws, seed=seed, as_json=as_json)
