"""``pointsleft check LOG``: everything wrong with a log, at once."""

from __future__ import annotations

from pathlib import Path

import click

from pointsleft.cli.output import FAULTS, guarded, must_exist, print_json


@click.command()
@click.argument("log", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print what was found as JSON.")
@guarded
def command(log: Path, as_json: bool) -> None:
    """Check a log; every fault is listed with sheet, row, column and what would be right."""
    from pointsleft.log import check_log

    must_exist(log, as_json=as_json)
    report = check_log(log)
    if as_json:
        print_json(report.as_data())
    else:
        click.echo(str(report))
    if not report.clean:
        raise SystemExit(FAULTS)
