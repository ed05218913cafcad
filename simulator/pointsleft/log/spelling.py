"""A logged game spelt out as sheets: every cell explicit, in our columns and order."""

from __future__ import annotations

from collections.abc import Mapping

from pointsleft_models.football.spot import write_spot

from pointsleft.log.cells import write_clock
from pointsleft.log.record import LoggedGame, LoggedOption, Range, Snap
from pointsleft.log.schema import GAME_COLUMNS, SHEETS, columns
from pointsleft.log.sheets import RawLog, RawSheet


def sheets_of(game: LoggedGame) -> RawLog:
    """The sheets of a game: reading them back gives the same game."""
    snaps = [(_snap(s), s.extra) for s in game.snaps]
    options = [(_option(s, o), o.extra) for s in game.snaps for o in s.options]
    sheets = [
        _game(game),
        _table("snaps", snaps),
        _table("options", options),
    ]
    return RawLog(tuple(sheets))


def _game(game: LoggedGame) -> RawSheet:
    values: dict[str, object] = {
        c.field: getattr(game, c.field, None) for c in columns("game") if c.field != "snaps_logged"
    }
    values["snaps_logged"] = "all" if game.every_snap else "some"
    rows = [(c.name, _text(values[c.field])) for c in columns("game")]
    rows += list(game.extra.items())
    return RawSheet("game", GAME_COLUMNS, tuple(rows))


def _table(name: str, rows: list[tuple[dict[str, object], Mapping[str, str]]]) -> RawSheet:
    if name not in SHEETS:
        raise ValueError(f"no sheet named {name}")
    ours = columns(name)
    more = tuple(dict.fromkeys(header for _, extra in rows for header in extra))
    cells = tuple(
        (*(_text(values.get(c.field)) for c in ours), *(extra.get(h, "") for h in more))
        for values, extra in rows
    )
    return RawSheet(name, (*(c.name for c in ours), *more), cells)


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Range):
        if value.low == value.high:
            return f"{value.value:.12g}"
        return f"{value.value:.12g} ({value.low:.12g}-{value.high:.12g})"
    if isinstance(value, float):
        return f"{value:.12g}"
    return str(value)


def _snap(snap: Snap) -> dict[str, object]:
    at, done, flag = snap.situation, snap.happened, snap.happened.flag
    values: dict[str, object] = {"number": snap.number, "us": snap.us, "them": snap.them}
    for part in (snap, snap.call, snap.defense, snap.read, done):
        for name in part.__slots__:
            values.setdefault(name, getattr(part, name))
    values["read_kind"] = snap.read.kind
    values["blame"] = None if snap.blame is None else _blame(snap.blame)
    end = done.end_yards_to_goal
    values["takeover"] = None if end is None else write_spot(100 - end)
    # Plain noes of the play are blanks.
    for name in ("touchdown", "defense_scored", "safety"):
        values[name] = getattr(done, name) or None
    if at is not None:
        values |= {
            "period": at.period,
            "seconds": None if at.seconds is None else write_clock(at.seconds),
            "clock_running": at.clock_running,
            "down": at.down,
            "distance": at.distance,
            "yards_to_goal": write_spot(at.yards_to_goal),
            "own_timeouts": at.own_timeouts,
            "opponent_timeouts": at.opponent_timeouts,
            "hash": at.hash,
        }
    if flag is not None:
        values |= {
            "flag_side": flag.side,
            "flag_when": flag.when,
            "flag_decision": flag.decision,
            "flag_yards": flag.yards,
            "flag_from": flag.enforced_from,
            "loss_of_down": flag.loss_of_down,
            "foul": flag.foul,
        }
    return values


def _blame(blame: Mapping[str, Mapping[str, float]]) -> str:
    return "; ".join(
        f"{entry}: " + " ".join(f"{party} {share:.12g}" for party, share in shares.items())
        for entry, shares in blame.items()
    )


def _option(snap: Snap, option: LoggedOption) -> dict[str, object]:
    values: dict[str, object] = {name: getattr(option, name) for name in option.__slots__}
    values["snap"] = snap.number
    values["chosen"] = True if option.id == snap.happened.chosen else None
    values["window"] = option.window
    if option.window is not None and option.window_low is not None:
        values["window"] = f"{option.window} ({option.window_high}..{option.window_low})"
    return values
