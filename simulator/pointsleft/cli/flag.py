"""``pointsleft flag``: accept or decline a penalty, and what a free play is worth."""

from __future__ import annotations

from typing import Any

import click

from pointsleft.cli.output import guarded, print_json, stop
from pointsleft.cli.situation import read_snap, situation_options

#: Options of the command -> columns of a log's sheet of snaps.
COLUMNS = {
    "foul_by": "flag", "foul_yards": "flag yards", "foul_when": "flag when", "foul": "foul",
    "foul_from": "flag from", "result": "result", "yards": "yards", "takeover": "takeover",
    "options": "options",
}  # fmt: skip


@click.command()
@situation_options()
@click.option("--foul-by", required=True, help="Whose foul: offense or defense.")
@click.option("--foul-yards", required=True, type=int, help="Yards walked off.")
@click.option(
    "--foul-when", default="live", show_default=True, help="before (the snap), live, after, dead."
)
@click.option("--foul", help="The foul, where a first down may go with it, e.g. holding.")
@click.option("--foul-from", help="Walked off from: previous (spot) or end (of the play).")
@click.option("--loss-of-down", is_flag=True, help="The down is lost too.")
@click.option("--result", help="What came of the play: complete, incomplete, run, sack, good...")
@click.option("--yards", type=int, help="Its yards.")
@click.option("--touchdown", is_flag=True, help="It scored.")
@click.option("--fumble-lost", is_flag=True, help="The ball was lost.")
@click.option("--takeover", help="Where the other side took over, seen from us: own 30.")
@click.option("--options", help="Options of a free play, e.g. 'go40.r/n slant5.m/s'.")
@click.option("--json", "as_json", is_flag=True, help="Print the choices as JSON.")
@guarded
def command(as_json: bool, **given: Any) -> None:
    """Accept a penalty or decline it; what a free play is worth.

    The situation is the one before the snap. With a result both answers are priced; after a foul
    of the defense before the snap, options are priced as a free play.
    """
    from pointsleft_models.bundle import load_models

    from pointsleft.endgame.flag import FlagError, price_flag
    from pointsleft.report.as_json import plain
    from pointsleft.report.flag_text import flag_text

    more = {column: given[name] for name, column in COLUMNS.items()}
    more |= {
        "touchdown": "yes" if given["touchdown"] else None,
        "loss of down": "yes" if given["loss_of_down"] else None,
        "fumble": "lost" if given["fumble_lost"] else None,
    }
    snap = read_snap(given, as_json, more)
    assert snap.situation is not None
    worth = load_models(given["level"]).under(snap.situation.rules)
    try:
        found = price_flag(worth, snap)
    except FlagError as error:
        stop(str(error), as_json=as_json)
    if as_json:
        print_json(plain(found))
    else:
        click.echo(flag_text(found), nl=False)
