"""What every command prints with, and how it fails."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any, NoReturn, ParamSpec, TypeVar

import click

P = ParamSpec("P")
R = TypeVar("R")

FAULTS, WRONG_USE = 1, 2


def print_json(data: Any) -> None:
    """One JSON document on standard output."""
    click.echo(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))


def stop(message: str, code: int = WRONG_USE, *, as_json: bool = False) -> NoReturn:
    """Say why a command cannot go on, and leave with an exit code."""
    if as_json:
        print_json({"error": message})
    click.echo(message, err=True)
    sys.exit(code)


def must_exist(log: Path, *, as_json: bool = False) -> None:
    """Leave when there is nothing at a path at all: that is wrong use, not a fault of a log."""
    if not log.exists():
        stop(
            f"{log}: there is nothing here; a log is a folder with game.csv and snaps.csv, or an "
            ".xlsx workbook (pointsleft new makes one)",
            as_json=as_json,
        )


def guarded(command: Callable[P, R]) -> Callable[P, R]:
    """Turn the errors a user can mend into one clear message instead of a traceback."""

    @wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        from pointsleft_models.fitting.store import StoreError
        from pointsleft_models.football.rules import RuleSetError

        try:
            return command(*args, **kwargs)
        except (StoreError, RuleSetError) as error:
            stop(str(error), as_json=bool(kwargs.get("as_json")))
        except OSError as error:
            where = f"{error.filename}: " if error.filename else ""
            stop(f"{where}{error.strerror or error}", as_json=bool(kwargs.get("as_json")))

    return run
