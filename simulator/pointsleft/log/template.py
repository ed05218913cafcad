"""A new, empty log: headers, a game sheet to fill in, example rows and a how-to."""

from __future__ import annotations

from pathlib import Path

from pointsleft.log.schema import GAME_COLUMNS, columns
from pointsleft.log.sheets import RawLog, RawSheet
from pointsleft.log.writer import WriteError, atomically, refuse_existing, write_log

#: Rows that show how a snap is logged; they pass ``check`` and are to be typed over.
_EXAMPLES: tuple[dict[str, str], ...] = (
    {
        "snap": "1", "clip": "2:10", "quarter": "1", "clock": "14:52", "us": "0", "them": "0",
        "ball": "own 25", "hash": "left", "family": "drop-back", "concept": "smash",
        "shell": "3", "rushers": "4", "options": "n s* l", "result": "c", "yards": "6",
        "note": "example row: smash, corner narrow, hitch a step and thrown, check-down loose",
    },
    {
        "clip": "2:48", "clock": "14:19", "family": "rpo", "shell": "1", "box": "7",
        "options": "give.g* slant6.l/s", "result": "r", "yards": "3",
        "note": "example row: down, distance, ball and score are blank, they follow from above",
    },
    {
        "clip": "3:25", "clock": "13:40", "hash": "middle", "family": "hand-off", "result": "r",
        "yards": "4",
        "note": "example row: a snap without options is logged too; type over these rows",
    },
)  # fmt: skip

_GAME = {
    "title": "Example: give the game a title",
    "level": "professional",
    "season": "2019",
    "us": "Our side",
    "them": "Their side",
    "quarterback": "Our quarterback",
}

HOW_TO = (
    "One row of snaps is one snap of our offense; one row of options is one option of a snap.",
    "Type over the example rows. Leave blank what you do not know: every blank has a default.",
    "Down, distance, ball and score follow from the result above; type them where a drive starts.",
    "The ball is written own 25, opp 40 or 50; -25 and +40 may be typed (+40 as text).",
    "Options in one cell, in the order of the read: post18/n curl10/s* flat2/l",
    "  word = route, number = air yards, /letter = window at the deadline, * = what he chose.",
    "  Windows: l loose, s step, e even, n narrow, x smothered, ? not visible on this film.",
    "Under a known concept the windows alone do: n s* l",
    "Other choices: give keep pitch run scr ta fg punt gfi (go for it).",
    "Result: c complete, i incomplete, d drop, bu broken-up, int, s sack, r run, scr scramble,",
    "  ta throw-away, g good, ng no-good, p punt, np no-play, spike, kneel.",
    "  A touchdown follows from the yards.",
    "Family: db drop-back, q quick, pa play-action, rpo, opt option, qb-run, ho hand-off, screen,",
    "  so sprint-out, k kick, try.",
    "Snaps left out? Leave their numbers out too, and type the situation of the next one.",
    "A decision is priced when something was chosen and at least one other option is listed.",
    "Check the log with: pointsleft check FOLDER. Price it with: pointsleft price FOLDER --out out",
)


def new_log(path: str | Path, workbook: bool = False, *, full: bool = False) -> Path:
    """Make an empty log at ``path``, a folder or (``workbook``) one XLSX file.

    Parameters
    ----------
    full
        Every column there is, instead of those that most snaps need. Any column can be added
        later by its header.

    Returns
    -------
    pathlib.Path
        The folder, or the file.

    Raises
    ------
    WriteError
        Something lies there already: nothing is ever overwritten.
    """
    target = Path(path)
    if workbook and target.suffix.lower() != ".xlsx":
        target = target.with_name(target.name + ".xlsx")
    if target.suffix.lower() == ".xlsx":
        return write_log(_sheets(full=full, how_to=True), target)
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise WriteError(
            f"{target} is there already and is not empty; give the new log another name"
        )
    write_log(_sheets(full=full, how_to=False), target)
    readme = target / "HOW-TO.txt"
    refuse_existing(readme)
    text = "\n".join(HOW_TO) + "\n"
    atomically(readme, lambda place: place.write_text(text, encoding="utf-8"))
    return target


def _sheets(*, full: bool, how_to: bool) -> RawLog:
    game = RawSheet(
        "game",
        GAME_COLUMNS,
        tuple((c.name, _GAME.get(c.name, "")) for c in columns("game") if c.core or full),
    )
    snaps = _empty("snaps", full, _EXAMPLES)
    sheets = [game, snaps, _empty("options", full)]
    if how_to:
        sheets.append(RawSheet("how to", ("how to log",), tuple((line,) for line in HOW_TO)))
    return RawLog(tuple(sheets))


def _empty(name: str, full: bool, rows: tuple[dict[str, str], ...] = ()) -> RawSheet:
    header = tuple(c.name for c in columns(name) if c.core or full)
    return RawSheet(name, header, tuple(tuple(row.get(h, "") for h in header) for row in rows))
