"""Measure, and write docs/bench.json and docs/bench.md.

\b
python -m pointsleft.bench              everything (hours)
python -m pointsleft.bench speed        one section; the others are kept as they were
"""

from __future__ import annotations

import datetime
import json
import os
import platform
import subprocess
from pathlib import Path
from typing import Any

import click

from pointsleft.bench.page import own_pages, page
from pointsleft.bench.sections import SECTIONS

ROOT = Path(__file__).resolve().parents[3]
DATA, PAGE = ROOT / "docs" / "bench.json", ROOT / "docs" / "bench.md"

#: Settings of the linear algebra that slow what is measured here.
SLOWING = ("OPENBLAS_CORETYPE", "OPENBLAS_L2_SIZE")


def _git(*arguments: str) -> str:
    run = subprocess.run(["git", *arguments], capture_output=True, text=True, cwd=ROOT)
    return run.stdout.strip()


def _about() -> dict[str, str]:
    changed = _git("status", "--porcelain", "--", "models", "simulator", "data_demo")
    commit = _git("rev-parse", "--short", "HEAD")
    return {
        "commit": commit + (" with uncommitted changes" if changed else ""),
        "date": datetime.date.today().isoformat(),
        "machine": f"{platform.machine()}, {os.cpu_count()} cores, Python "
        f"{platform.python_version()}",
    }


def _measured() -> dict[str, Any]:
    if not DATA.is_file():
        return {}
    found: dict[str, Any] = json.loads(DATA.read_text(encoding="utf-8"))
    return found


@click.command(help=__doc__)
@click.argument("sections", nargs=-1, type=click.Choice(list(SECTIONS)))
def command(sections: tuple[str, ...]) -> None:
    slowing = [name for name in SLOWING if name in os.environ]
    if slowing:
        raise click.ClickException(
            f"unset {' and '.join(slowing)} first: the linear algebra that is measured here is "
            "slower with it"
        )
    for name in sections or SECTIONS:
        found = {"about": _about(), "data": SECTIONS[name](ROOT)}
        found_so_far = _measured()  # late: another section may have been measured meanwhile
        text = json.dumps({**found_so_far, name: found}, indent=1)
        DATA.write_text(text + "\n", encoding="utf-8")
        measured = json.loads(text)  # keys of JSON are text
        PAGE.write_text(page(measured), encoding="utf-8")
        for own, text in own_pages(measured).items():
            (PAGE.parent / own).write_text(text, encoding="utf-8")
    click.echo(PAGE.read_text(encoding="utf-8"), nl=False)


if __name__ == "__main__":
    command()
