"""``pointsleft levels``: the levels of play there are fits for, shipped and your own."""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import Any

import click

from pointsleft.cli.output import guarded, print_json


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print the levels as JSON.")
@guarded
def command(as_json: bool) -> None:
    """List the levels of play there are fits for: the shipped ones, and those you kept."""
    from pointsleft_models.bundle import (
        own_folder,
        own_levels,
        own_levels_folder,
        shipped_folder,
        shipped_levels,
    )
    from pointsleft_models.fitting.store import StoreError

    shipped, folder = shipped_levels(), own_levels_folder()
    found = [about(name, shipped_folder(name), "shipped") for name in shipped]
    broken: dict[str, str] = {}
    for name in own_levels():
        if name in shipped:
            continue
        try:
            found.append(about(name, own_folder(name), "your own"))
        except StoreError as error:  # one that is damaged hides no other
            broken[name] = str(error)
    if as_json:
        print_json({"levels": found, "broken": broken, "own_folder": str(folder)})
        return
    for level in found:
        click.echo(as_text(level))
    for name, why in broken.items():
        click.echo(f"{name}  (your own) cannot be loaded")
        click.echo(textwrap.fill(why, 80, initial_indent="  ", subsequent_indent="  "))
    click.echo(f"Your own levels lie in {folder} (pointsleft fit --level NAME --keep).")


def about(name: str, folder: Path, whose: str) -> dict[str, Any]:
    """What a level is, from its cards."""
    from pointsleft_models.bundle import load_models

    models = load_models(name, folder)
    card = models.fits["next-score"].card
    return {
        "level": name,
        "whose": whose,
        "data": card.data,
        "seasons": list(card.seasons),
        "games": card.games,
        "plays": card.rows,
        "refits": card.refits,
        "fitted": card.date,
        "rules": models.rules_level,
        "leans_on": models.leans_on,
        "borrowed": {family: list(parts) for family, parts in models.borrowed.items()},
        "folder": str(folder),
    }


def as_text(level: dict[str, Any]) -> str:
    """A level on a few lines of at most 80 columns."""
    first, last = level["seasons"][0], level["seasons"][-1]
    span = str(first) if first == last else f"{first} to {last}"
    lines = [
        f"{level['level']}  ({level['whose']}, {level['rules']} rules)",
        f"  {level['games']:,} games, {level['plays']:,} plays, {span}; {level['refits']} refits, "
        f"fitted {level['fitted']}",
        *textwrap.wrap(level["data"], 78, initial_indent="  ", subsequent_indent="  "),
    ]
    if level["leans_on"]:
        parts = [part for own in level["borrowed"].values() for part in own]
        told = f"leans on {level['leans_on']}; taken over: {', '.join(parts) or 'nothing'}"
        lines += textwrap.wrap(told, 78, initial_indent="  ", subsequent_indent="    ")
    return "\n".join(lines)
