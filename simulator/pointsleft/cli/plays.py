"""``pointsleft plays SOURCE``: a source of play-by-play as the neutral play table."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pointsleft.cli.output import FAULTS, WRONG_USE, guarded, print_json, stop
from pointsleft.cli.progress import progress

if TYPE_CHECKING:
    from pointsleft_models.plays.reading import Reading

WIDTH = 80

#: Games left out that the text names; the JSON names all.
MOST_NAMED = 20


@click.command()
@click.argument("source")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write the table here (.parquet or .csv).",
)
@click.option(
    "--participation",
    type=click.Path(path_type=Path),
    help="Participation data to join (Parquet or CSV).",
)
@click.option(
    "--games",
    type=click.Path(path_type=Path),
    help="Games table: finals, spread, roof, weather (Parquet or CSV).",
)
@click.option(
    "--leave-out",
    is_flag=True,
    help="Leave games with faults out of a table of your own, instead of refusing it.",
)
@click.option("--json", "as_json", is_flag=True, help="Print what was read as JSON.")
@guarded
def command(
    source: str,
    out: Path | None,
    participation: Path | None,
    games: Path | None,
    leave_out: bool,
    as_json: bool,
) -> None:
    """Read SOURCE into the neutral play table and say what is in it.

    \b
    SOURCE is one of
      archive, archive:2014-2016   the installed archive, or some of its seasons
      FILE.whl                     the archive as a downloaded wheel
      seasons:2021-2023            professional seasons by nflreadpy
      college:FILE.parquet         a college season by its feed's columns
      FILE.csv, FILE.parquet       a play table of your own (docs/play-table.md)
    """
    from pointsleft_models.plays.sources import (
        COLLEGE,
        SourceError,
        UnknownSourceError,
        read_source,
    )

    if out is not None:
        _check_out(out, (Path(source.removeprefix(COLLEGE)), participation, games), as_json)
    try:
        reading = read_source(
            source,
            participation=participation,
            games=games,
            leave_out=leave_out,
            progress=progress,
        )
    except UnknownSourceError as error:
        stop(str(error), WRONG_USE, as_json=as_json)
    except SourceError as error:
        stop(str(error), FAULTS, as_json=as_json)
    if out is not None:
        from pointsleft_models.plays.table_out import write_plays

        write_plays(reading.plays, out)
    about = summary(reading, out)
    if as_json:
        print_json(about)
    else:
        click.echo(as_text(about))


def _check_out(out: Path, inputs: tuple[Path | None, ...], as_json: bool) -> None:
    """Refuse, before anything is read, to write where no table can or must be written."""
    from pointsleft_models.plays.table_out import SUFFIXES

    if out.suffix.lower() not in SUFFIXES:
        stop(f"--out {out}: a play table is written as {' or '.join(SUFFIXES)}", as_json=as_json)
    if not out.absolute().parent.is_dir():
        stop(f"--out {out}: the folder {out.parent} does not exist", as_json=as_json)
    for path in inputs:
        if path is not None and path.exists() and out.resolve() == path.resolve():
            stop(f"--out {out}: that is an input; it is never written to", as_json=as_json)


def summary(reading: Reading, out: Path | None = None) -> dict[str, Any]:
    """What a reading holds, as plain values.

    ``participation`` is the share of passes with any participation column filled.
    """
    import polars as pl
    from pointsleft_models.plays.participation import FILLED

    plays = reading.plays
    passes = plays.filter(pl.col("kind") == "pass")
    joined = passes.select(pl.any_horizontal(pl.col(FILLED).is_not_null()).mean()).item()
    seasons = plays.group_by("season").agg(pl.col("game").n_unique(), pl.len()).sort("season")
    kinds = plays.group_by("kind").agg(pl.len()).sort("len", "kind", descending=[True, False])
    return {
        "source": reading.source,
        "games_read": reading.games_read,
        "finals_reproduced": reading.finals_reproduced,
        "left_out": dict(reading.left_out),
        "plays": len(plays),
        "seasons": {
            str(season): {"games": games, "plays": count}
            for season, games, count in seasons.iter_rows()
        },
        "kinds": dict(kinds.iter_rows()),
        "participation": joined or 0.0,
        "out": None if out is None else str(out),
    }


def left_out_lines(left_out: Mapping[str, str]) -> list[str]:
    """How many games were left out, and which for what reason."""
    lines = [f"{len(left_out):>9,} games left out{':' if left_out else ''}"]
    for game, why in list(left_out.items())[:MOST_NAMED]:
        lines += _wrapped(f"{game}: {why}", " " * 12)
    if len(left_out) > MOST_NAMED:
        lines.append(f"{'':12}and {len(left_out) - MOST_NAMED} more (--json names all)")
    return lines


def as_text(about: dict[str, Any]) -> str:
    """The summary in at most 80 columns."""
    lines = [
        *_wrapped(f"Source: {about['source']}"),
        f"{about['games_read']:>9,} games read",
        f"{about['finals_reproduced']:>9,} games whose final score the plays reproduce",
        *left_out_lines(about["left_out"]),
    ]
    lines.append(f"{about['plays']:>9,} plays")
    if about["participation"]:
        lines.append(f"{about['participation']:>9.1%} of passes with participation data")
    lines += ["", "Season    games      plays"]
    lines += [
        f"{season:<8}{of['games']:>7,}{of['plays']:>11,}" for season, of in about["seasons"].items()
    ]
    lines += ["", "Kind                 plays"]
    lines += [f"{kind:<15}{count:>11,}" for kind, count in about["kinds"].items()]
    if about["out"]:
        lines += ["", *_wrapped(f"Written to {about['out']}")]
    return "\n".join(lines)


def _wrapped(text: str, indent: str = "") -> list[str]:
    """Lines of a text; what is no printable character (names are strangers' text) shows as ?."""
    shown = "".join(c if c.isprintable() else "?" for c in text)
    return textwrap.wrap(shown, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ") or [
        indent
    ]
