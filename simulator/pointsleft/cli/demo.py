"""``pointsleft demo``: the invented demo game, from log to report."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import click

from pointsleft.cli.output import guarded
from pointsleft.cli.price import output_options, run
from pointsleft.game.dearest import FULL


def demo_log() -> Path:
    """Where the demo game's log lies: in the package, or in the clone it was installed from."""
    inside = Path(str(files("pointsleft").joinpath("_demo", "game")))
    if inside.is_dir():
        return inside
    return Path(__file__).resolve().parents[3] / "data_demo" / "game"


@click.command()
@output_options("out/demo", play_out=FULL)
@guarded
def command(out: Path, draws: int, seed: int, play_out: int, as_json: bool) -> None:
    """Price the invented demo game and write its report."""
    run(demo_log(), out, draws=draws, seed=seed, play_out=play_out, as_json=as_json)
