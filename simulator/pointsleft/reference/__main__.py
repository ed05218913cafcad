"""``python -m pointsleft.reference``: write every generated page, run in the clone.

The cards' text is written from the stored fits and the saved counts; counting again and drawing
is ``python -m pointsleft_models.cards``, the picture in the README ``python docs/make_picture.py``.
"""

from __future__ import annotations

import sys
from pathlib import Path

import click


@click.command(help=__doc__)
@click.option(
    "--root", type=click.Path(path_type=Path), default=Path("."), show_default=True,
    help="The clone.",
)  # fmt: skip
@click.option("--check", is_flag=True, help="Write nothing; exit code 1 where a page is stale.")
def command(root: Path, check: bool) -> None:
    if not (root / "docs").is_dir():
        sys.exit(f"no docs/ in {root.resolve()}; run this in the clone or give --root")
    from pointsleft.reference.pages import pages

    stale = []
    for path, text in pages(root).items():
        if path.is_file() and path.read_text(encoding="utf-8") == text:
            continue
        stale.append(path)
        if not check:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
    for path in stale:
        click.echo(f"{'stale' if check else 'written'}  {path}")
    if check and stale:
        sys.exit(1)


if __name__ == "__main__":
    command()
