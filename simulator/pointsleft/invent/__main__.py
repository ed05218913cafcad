"""Write the demo class: python -m pointsleft.invent [FOLDER]

Logs go to FOLDER/class, one folder a log, the true skills to FOLDER/class-truth. The folder is
data_demo of the clone when none is given. What lies there is never overwritten: remove it first.
"""

from __future__ import annotations

from pathlib import Path

import click

from pointsleft.invent.write import write_class

DEFAULT = Path(__file__).resolve().parents[3] / "data_demo"


@click.command(help=__doc__)
@click.argument("folder", type=click.Path(path_type=Path), default=DEFAULT)
def command(folder: Path) -> None:
    for path in write_class(folder):
        click.echo(str(path))


if __name__ == "__main__":
    command()
