"""``pointsleft new PATH``: an empty log to fill in."""

from __future__ import annotations

from pathlib import Path

import click

from pointsleft.cli.output import guarded, print_json, stop


@click.command()
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--workbook", is_flag=True, help="One XLSX workbook instead of a folder of CSV.")
@click.option("--full", is_flag=True, help="Every column there is, not only the usual ones.")
@click.option("--json", "as_json", is_flag=True, help="Print what was made as JSON.")
@guarded
def command(path: Path, workbook: bool, full: bool, as_json: bool) -> None:
    """Make an empty log with example rows and a how-to. Never writes over anything."""
    from pointsleft.log import WriteError, new_log

    try:
        made = new_log(path, workbook, full=full)
    except WriteError as error:
        stop(str(error), as_json=as_json)
    if as_json:
        print_json({"log": str(made), "workbook": workbook})
    else:
        click.echo(f"New log: {made}\nFill it in, then: pointsleft check {made}")
