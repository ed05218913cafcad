"""The command line: one command a file, loaded when it is called."""

from __future__ import annotations

from importlib import import_module

import click
from pointsleft_models import __version__

#: Commands in the order of the help, and their one-line help (so that help loads nothing).
COMMANDS: dict[str, str] = {
    "demo": "Price the invented demo game and write its report.",
    "new": "Make an empty log, a folder of CSV files or a workbook.",
    "check": "Check a log; every fault is listed at once.",
    "price": "Price every decision of a log and write report, table and result.",
    "compare": "Hold two charters' logs of one game against each other.",
    "rank": "Rank players over many logged games, with intervals.",
    "value": "Price one situation and its options from the command line.",
    "call": "Price one fourth down, or the try after a touchdown.",
    "calls": "Price every fourth down of a play table or a log, and rank who left what.",
    "late": "Price late choices: kneel, spike, time-out, kick and more.",
    "flag": "Accept a penalty or decline it; what a free play is worth.",
    "plays": "Read a source of play-by-play into the neutral play table.",
    "fit": "Fit every model again from play-by-play.",
    "levels": "List the levels of play there are fits for.",
}


class _Lazy(click.Group):
    """Loads a command's module only when that command is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        command = import_module(f"pointsleft.cli.{name}").command
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="pointsleft")
def main() -> None:
    """Puts a price on each decision of a quarterback.

    A film evaluator logs what each snap offered and what was chosen; pointsleft says, in points
    and in win probability, what each decision left on the field, and how sure that is.

    \b
    Exit codes: 0 fine, 1 the log or the data have faults, 2 wrong use.
    """
