"""A log prefilled from the neutral play table: the charter adds what only the film shows.

Takes plain mappings (one a row of the table, keys as in the play table reference), so that it
depends on no table library: ``prefilled(frame.iter_rows(named=True), "us", "quarterback")``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pointsleft_models.football.spot import write_spot

from pointsleft.log.cells import write_clock
from pointsleft.log.schema import GAME_COLUMNS, columns
from pointsleft.log.sheets import RawLog, RawSheet

#: Kinds of row that are snaps of an offense, with the family where the kind tells it.
SNAP_KINDS = {
    "pass": None,
    "sack": None,
    "scramble": None,
    "run": None,
    "kneel": "kneel",
    "spike": "spike",
    "punt": "kick",
    "field goal": "kick",
    "extra point": "try",
    "two-point": "try",
}

#: Columns filled although a new log does not carry them.
_MORE = ("our timeouts", "their timeouts", "alignment", "tempo", "fumble", "hit", "flag",
         "flag yards", "foul", "they score", "safety")  # fmt: skip


def prefilled(plays: Iterable[Mapping[str, object]], us: str, quarterback: str) -> RawLog:
    """The sheets of a log of one game, with situation and result of every snap of our offense.

    A play table leaves gaps that a log must not have (penalties between plays, missing rows), so
    the log says ``some`` for ``snaps logged`` and every row states its own situation.

    Raises
    ------
    ValueError
        No snap of ``us`` in the plays, or plays of more than one game.
    """
    rows = [p for p in plays if p.get("kind") in SNAP_KINDS and p.get("offense") == us]
    games = {p.get("game") for p in rows}
    if len(games) > 1:
        raise ValueError(f"plays of {len(games)} games; a log holds one")
    if not rows:
        raise ValueError(f"no snap of {us!r} among these plays")
    first = rows[0]
    them = first.get("away") if first.get("home") == us else first.get("home")
    items = {
        "title": f"{first.get('away')} at {first.get('home')}",
        "level": first.get("level") or "professional",
        "season": first.get("season"),
        "us": us,
        "them": first.get("defense") or them,
        "quarterback": quarterback,
        "snaps logged": "some",
    }
    listed = [c.name for c in columns("game") if c.core or c.name in items]
    game = tuple((name, _text(items.get(name))) for name in listed)
    header = tuple(c.name for c in columns("snaps") if c.core or c.name in _MORE)
    snaps = tuple(
        tuple(_text(cells.get(name)) for name in header)
        for cells in (_cells(number, play) for number, play in enumerate(rows, start=1))
    )
    options = tuple(c.name for c in columns("options") if c.core)
    return RawLog(
        (
            RawSheet("game", GAME_COLUMNS, game),
            RawSheet("snaps", header, snaps),
            RawSheet("options", options, ()),
        )
    )


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else ""
    return str(value)


def _cells(number: int, play: Mapping[str, object]) -> dict[str, object]:
    get = play.get
    kind = str(get("kind"))
    is_try = SNAP_KINDS[kind] == "try"
    result = _result(play)
    cells: dict[str, object] = {
        "snap": number,
        "quarter": get("period"),
        "clock": _clock(get("clock")),
        "us": get("offense_score"),
        "them": get("defense_score"),
        "our timeouts": get("offense_timeouts"),
        "their timeouts": get("defense_timeouts"),
        "family": SNAP_KINDS[kind],
        "alignment": "gun" if get("shotgun") and not is_try else None,
        "tempo": "no-huddle" if get("no_huddle") else None,
        "shell": get("shell"),
        "box": get("box"),
        "rushers": get("rushers"),
        "result": result,
        "hit": get("quarterback_hit") or None,
        "safety": get("safety") or None,
        "they score": get("defense_touchdown") or None,
    }
    to_goal = get("yards_to_goal")
    if not is_try and isinstance(to_goal, int):
        cells |= {"down": get("down"), "distance": get("distance"), "ball": write_spot(to_goal)}
    if result in ("complete", "run", "scramble", "sack", "kneel"):
        cells["yards"] = get("gain")
    if get("fumble"):
        cells["fumble"] = "lost" if get("fumble_lost") else "kept"
    if get("penalty_on"):
        cells |= {"flag": get("penalty_on"), "flag yards": get("penalty_yards"),
                  "foul": get("foul")}  # fmt: skip
    return cells


def _clock(seconds: object) -> str | None:
    return write_clock(seconds) if isinstance(seconds, int) else None


def _result(play: Mapping[str, object]) -> str:
    kind = str(play.get("kind"))
    if kind == "pass":
        if play.get("intercepted"):
            return "interception"
        if play.get("complete"):
            return "complete"
        return "throw-away" if play.get("targeted") is False else "incomplete"
    if kind in ("field goal", "extra point"):
        return {"good": "good", "blocked": "blocked"}.get(str(play.get("kick_result")), "no-good")
    if kind == "punt":
        return "blocked" if play.get("kick_result") == "blocked" else "punt"
    if kind == "two-point":
        return "complete" if play.get("targeted") else "run"
    return kind
