"""Computed parts of README.md."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from pointsleft.reference.markdown import table
from pointsleft.reference.measured import not_measured, read_measured
from pointsleft.reference.worked import models, run_command
from pointsleft.reference.worked_decisions import value_command

#: What ``tests/tools/time_commands.py`` writes.
MEASURED = "measured.json"


def times(docs: Path) -> str:
    """How long the commands take, as last measured."""
    found = read_measured(docs, MEASURED)
    if found is None:
        return not_measured("python tests/tools/time_commands.py", MEASURED)
    rows = [(f"`{name}`", _duration(seconds)) for name, seconds in found["seconds"].items()]
    return (
        table(("command, in a fresh clone", "time"), rows, 1)
        + f"\nMeasured on {found['date']} at commit {found['commit']}, {found['cores']} cores, "
        f"Python {found['python']}, packages {found['packages']} "
        "(`python tests/tools/time_commands.py`). "
        "Other figures are in [docs/bench.md](docs/bench.md), written by `make bench`.\n"
    )


def _duration(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 120 else f"{seconds / 60:.1f} min"


def help_text() -> str:
    """The commands, each in a line."""
    return run_command("--help")


def credit() -> str:
    """Where the shipped fits come from."""
    fits = models().fits.values()
    data = " and ".join(sorted({fit.card.data for fit in fits}))
    seasons = sorted({season for fit in fits for season in fit.card.seasons})
    credits = sorted({fit.card.credit for fit in fits if fit.card.credit})
    lines = [f"- Play-by-play: {data}, seasons {seasons[0]} to {seasons[-1]}."]
    lines += [f"- {credit}." for credit in credits]
    return "\n".join(lines) + "\n"


def blocks(docs: Path) -> dict[str, Callable[[], str]]:
    """Every computed part of the README."""
    return {
        "times": lambda: times(docs),
        "help": help_text,
        "value command": value_command,
        "credit": credit,
    }
