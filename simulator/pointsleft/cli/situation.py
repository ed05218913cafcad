"""The options that say a situation on the command line, and how they are read."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click

from pointsleft.cli.output import stop

if TYPE_CHECKING:
    from collections.abc import Iterable

    from pointsleft.log.faults import Fault
    from pointsleft.log.record import Snap

Command = TypeVar("Command", bound=Callable[..., Any])

#: Columns of a log whose option has another name here.
OPTION_OF = {
    "alignment": "gun", "free depth": "free", "opening kickoff to": "opening-kickoff",
    "flag": "foul-by", "flag yards": "foul-yards", "flag when": "foul-when",
    "flag from": "foul-from", "fumble": "fumble-lost",
}  # fmt: skip

#: Options of a situation -> column of a log's sheet of snaps.
COLUMNS = {
    "quarter": "quarter", "clock": "clock", "us": "us", "them": "them", "down": "down",
    "ball": "ball", "our_timeouts": "our timeouts", "their_timeouts": "their timeouts",
}  # fmt: skip

_DISTANCE = "Yards to go, or goal; else 10, or goal inside the 10."
_BALL = "Ball position: own 25, opp 40, 50, -25, +40."


def situation_options(*, ball: bool = True, down: bool = True) -> Callable[[Command], Command]:
    """Adds the options that say a situation.

    Parameters
    ----------
    ball
        Whether the ball's position must be given.
    down
        Whether the down is asked for; a command that knows it fills it in.
    """
    options = (
        click.option(
            "--quarter", default="1", show_default=True, help="Quarter, 5 overtime."
        ),
        click.option("--clock", help="Left in the quarter, e.g. 8:42; wins need it."),
        *((click.option("--down", default="1", show_default=True),) if down else ()),
        click.option("--distance", help=_DISTANCE if down else "Yards to go, or goal."),
        click.option("--ball", required=ball, help=_BALL),
        click.option("--us", help="Our points; wins need the score."),
        click.option("--them", help="Their points."),
        click.option("--our-timeouts", default="3", show_default=True),
        click.option("--their-timeouts", default="3", show_default=True),
        click.option(
            "--opening-kickoff", type=click.Choice(["us", "them"]),
            help="Who received the opening kickoff.",
        ),
        click.option(
            "--spread", type=float,
            help="Points by which we were favoured before the game (negative: underdogs).",
        ),
        click.option("--level", default="professional", show_default=True),
        click.option(
            "--season", type=int, default=2019, show_default=True, help="Season of the rules."
        ),
    )  # fmt: skip

    def add(command: Command) -> Command:
        for option in reversed(options):
            command = option(command)
        return command

    return add


def read_snap(given: dict[str, Any], as_json: bool, more: dict[str, Any] | None = None) -> Snap:
    """One row of a log made from the command line; the command ends where it has faults.

    Parameters
    ----------
    given
        The options of :func:`situation_options`.
    more
        Other columns of the row.
    """
    snap, faults = find_snap(given, more)
    if snap is None:
        stop(told(faults), as_json=as_json)
    return snap


def find_snap(
    given: dict[str, Any], more: dict[str, Any] | None = None
) -> tuple[Snap | None, list[str]]:
    """The row as :func:`read_snap` has it, so that one reader serves both, or all its faults."""
    from pointsleft.log.reader import assemble
    from pointsleft.log.rows import Findings
    from pointsleft.log.sheets import RawLog, RawSheet

    items = {
        "title": "command line", "level": given["level"], "season": given["season"],
        "us": "us", "them": "them", "quarterback": "quarterback",
        "opening kickoff to": given["opening_kickoff"], "snaps logged": "some",
        "spread": None if given["spread"] is None else f"{given['spread']:g}",
    }  # fmt: skip
    cells = {"snap": "1", "distance": _distance(given)}
    cells |= {column: given[name] for name, column in COLUMNS.items()}
    cells |= more or {}
    game = RawSheet(
        "game", ("item", "value"),
        tuple((k, str(v)) for k, v in items.items() if v is not None),
    )  # fmt: skip
    filled = {k: str(v) for k, v in cells.items() if v is not None}
    row = RawSheet("snaps", tuple(filled), (tuple(filled.values()),))
    findings = Findings()
    logged = assemble(RawLog((game, row)), findings)
    if logged is None or findings.faults or not logged.snaps[0].situation:
        return None, _as_options(findings.faults)
    return logged.snaps[0], []


def told(faults: Iterable[str]) -> str:
    """Faults of options, one below the other and each once, in at most 80 columns."""
    from pointsleft.log.faults import wrap

    lines = [line for fault in faults for line in fault.split("\n")]
    return "\n".join(
        part for line in dict.fromkeys(lines) for part in wrap(line.strip(), _lead(line), "  ")
    )


def _lead(line: str) -> str:
    return line[: len(line) - len(line.lstrip())]


def _as_options(faults: Iterable[Fault]) -> list[str]:
    """Faults of the row as faults of the options that made it."""
    from pointsleft.log.faults import in_order, shown

    lines: dict[tuple[str, str], str] = {}  # one for a value: its reader's, that comes last
    for fault in in_order(faults):
        column = fault.column or "options"
        name = OPTION_OF.get(column, column.replace(" ", "-"))
        found = shown(fault.value) if fault.value.strip() else "nothing"
        lines[name, found] = f"--{name}: found {found}; expected {fault.expected}"
    return list(lines.values())


def _distance(given: dict[str, Any]) -> str:
    from pointsleft_models.football.spot import SpotError, read_spot

    if given["distance"] is not None:
        return str(given["distance"])
    try:
        return str(min(10, read_spot(given["ball"])))
    except SpotError:
        return "10"
