"""A user's own play table, CSV or Parquet in the neutral schema.

Only the required columns must be there; what follows from them is worked out. Everything wrong
with a file is said in one message, and the file is never written to.
"""

from __future__ import annotations

from pathlib import Path

import polars as pl

from pointsleft_models.plays import cells, checking, own_faults
from pointsleft_models.plays.checking import Fault, PlayTableError
from pointsleft_models.plays.complete import complete
from pointsleft_models.plays.files import ROW, FileError, Opened, opened
from pointsleft_models.plays.reading import Reading
from pointsleft_models.plays.schema import COLUMNS, REQUIRED, Column

_BAD = "_bad"


def read_own(
    path: str | Path, *, games: pl.DataFrame | None = None, leave_out: bool = False
) -> Reading:
    """Read a user's own table.

    Parameters
    ----------
    games
        Final scores to hold the plays against: ``game``, ``home_points``, ``away_points``
        (see :mod:`~pointsleft_models.plays.games`). Without it a game's final score is that of
        its last row and what that row scored.
    leave_out
        Leave games with faults out, with the reason, instead of refusing the table.

    Returns
    -------
    Reading
        Games whose final score the rows do not reproduce stand in ``left_out``.

    Raises
    ------
    PlayTableError
        Lists every fault of the file: columns missing, cells of the wrong type with their row,
        values out of range, scores that go backwards, play numbers used twice. With
        ``leave_out`` only faults that belong to no game, and a table that has no game left.
    """
    path = Path(path)
    try:
        with opened(path) as file:
            table, found = _typed(file)
    except FileError as error:
        raise PlayTableError(str(error)) from None
    if len(table) == 0:
        raise PlayTableError(f"{path} has no rows below the header")
    found += checking.faults(table) + own_faults.faults(table)
    games_read = table["game"].n_unique()
    left_out: dict[str, str] = {}
    if leave_out and all(fault.games for fault in found):
        left_out = _reasons(table, found)
        table = table.filter(~pl.col("game").is_in(list(left_out)))
    elif found:
        raise PlayTableError(checking.listed(found, str(path)) + _hint(table, found))
    done = complete(table.drop(pl.selectors.starts_with(checking.TOLD)), games)
    left_out |= done.left_out
    if len(done.plays) == 0:
        reasons = "\n  ".join(f"game {game!r}: {why}" for game, why in left_out.items())
        raise PlayTableError(f"{path}: no game of it adds up\n  {reasons}")
    return Reading(
        source=path.name,
        plays=checking.validate(checking.conform(done.plays)),
        games_read=games_read,
        finals_reproduced=games_read - len(left_out),
        left_out=dict(sorted(left_out.items())),
    )


def _reasons(table: pl.DataFrame, found: list[Fault]) -> dict[str, str]:
    """Game -> its own first fault, and how many more it has."""
    games = sorted(frozenset[str]().union(*(fault.games for fault in found)))
    reasons = {}
    for game in games:
        rows = table.filter(pl.col("game") == game)
        own = [fault.text for fault in (*checking.faults(rows), *own_faults.faults(rows))]
        # cells that could not be read are empty by now: only the whole table's list has them
        own = own or [fault.text for fault in found if game in fault.games]
        reasons[game] = own[0] + (f" (and {len(own) - 1} more)" if len(own) > 1 else "")
    return reasons


def _hint(table: pl.DataFrame, found: list[Fault]) -> str:
    """That the other games can be read without those at fault, where that is so."""
    faulty = frozenset[str]().union(*(fault.games for fault in found))
    others = table["game"].n_unique() - len(faulty)
    if others == 0 or not all(fault.games for fault in found):
        return ""
    return (
        f"\n{len(faulty)} games have faults, {others} have none: mend the table, or leave the "
        "games with faults out (--leave-out of pointsleft plays or fit)"
    )


def _typed(file: Opened) -> tuple[pl.DataFrame, list[Fault]]:
    """The schema's columns of a file, each of its type, and the cells that cannot be."""
    missing = [name for name in REQUIRED if name not in file.columns]
    if missing:
        raise PlayTableError(
            f"{file.path} lacks the columns {', '.join(missing)}; it has "
            f"{_listed(file.columns)}; see docs/play-table.md"
        )
    types = file.frame.collect_schema()
    ours = [column for column in COLUMNS if column.name in types]
    odd = [column for column in ours if not cells.readable(types[column.name])]
    checking.refuse(
        [
            Fault(
                f"column {c.name} is of type {types[c.name]}; expected {cells.ACCEPTED[c.kind]}",
                frozenset(),
            )
            for c in odd
        ],
        str(file.path),
    )
    some = pl.any_horizontal(pl.col(c.name).is_not_null() for c in ours)
    rows = file.frame.filter(some)  # a blank line is no row
    plain = _plain(file, rows, ours)
    rest = [c for c in ours if c.name not in plain.columns]
    raw = {c.name: cells.cleaned(c.name, types[c.name], c.words) for c in rest}
    values = {c.name: cells.value(c, types[c.name], file.decimal_comma) for c in rest}
    bad = {name: raw[name].is_not_null() & values[name].is_null() for name in raw}
    table = file.collect(
        rows.select(
            *(value.alias(name) for name, value in values.items()),
            pl.any_horizontal(bad.values()).alias(_BAD),
            *(bad[n].alias(checking.TOLD + n) for n in checking.ALWAYS if n in bad),
        )
    )
    found: list[Fault] = []
    if table[_BAD].any():
        asked = rows.select(
            expression
            for name in raw
            for expression in (
                bad[name].sum().alias(f"{name} count"),
                raw[name].filter(bad[name]).first().cast(pl.String).alias(f"{name} example"),
                pl.col(ROW).filter(bad[name]).first().alias(f"{name} row"),
                values["game"].filter(bad[name]).unique().implode().alias(f"{name} games"),
            )
        )
        counts = file.collect(asked).row(0, named=True)
        found = [
            Fault(
                f"column {c.name}: {counts[f'{c.name} count']} cells, e.g. "
                f"{_short(counts[f'{c.name} example'])} in row {counts[f'{c.name} row']}; "
                f"expected {cells.ACCEPTED[c.kind]}",
                frozenset(game for game in counts[f"{c.name} games"] if game is not None),
            )
            for c in rest
            if counts[f"{c.name} count"]
        ]
    return pl.concat([plain, table.drop(_BAD)], how="horizontal"), found


def _plain(file: Opened, rows: pl.LazyFrame, columns: list[Column]) -> pl.DataFrame:
    """The columns in which no cell needs undoing; see :func:`cells.plain_value`."""
    types = file.frame.collect_schema()
    plain = {c.name: cells.plain_value(c, types[c.name]) for c in columns}
    tried = {name: both for name, both in plain.items() if both is not None}
    if not tried:
        return pl.DataFrame()
    odd = {name: f"{name} odd" for name in tried}
    frame = file.collect(
        rows.select(
            expression
            for name, (value, unfit) in tried.items()
            for expression in (value.alias(name), unfit.alias(odd[name]))
        )
    )
    return frame.select(name for name in tried if not frame[odd[name]].any())


def _short(text: str, most: int = 40) -> str:
    return repr(text if len(text) <= most else text[: most - 1] + "…")


def _listed(names: tuple[str, ...], most: int = 40) -> str:
    shown = ", ".join(names[:most])
    return shown if len(names) <= most else f"{shown} and {len(names) - most} more"
