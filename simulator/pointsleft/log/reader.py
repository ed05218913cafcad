"""From sheets to a logged game; everything wrong is found in one pass."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pointsleft_models.football.rules import RuleSet

from pointsleft.log import continuity, sense, snap_rows
from pointsleft.log.carry import Standing, fill, leaves_out, standing
from pointsleft.log.concepts import Templates, read_concepts
from pointsleft.log.continuity import snap_key
from pointsleft.log.faults import Fault, LogFaults
from pointsleft.log.game_sheet import GameItems, read_game
from pointsleft.log.option_rows import build
from pointsleft.log.record import LoggedGame, Snap
from pointsleft.log.rows import Findings, Row, missing_required, read_rows
from pointsleft.log.sheets import RawLog
from pointsleft.log.source import load


def read_log(path: str | Path) -> LoggedGame:
    """The game logged in a folder of CSV files or in a workbook.

    Raises
    ------
    LogFaults
        The log has faults; the exception holds every one of them. Nothing is half read, and
        the files are never written to.
    """
    game, findings = examine(path)
    if game is None or findings.faults:
        raise LogFaults(findings.faults, Path(path).name)
    return game


def examine(path: str | Path) -> tuple[LoggedGame | None, Findings]:
    """The game, as far as it can be read, and everything found on the way."""
    findings = Findings()
    log, faults = load(path)
    findings.faults += faults
    findings.warnings += log.warnings
    if log.sheet("game") is None or log.sheet("snaps") is None:
        _cells_alone(log, findings)
        return None, findings
    return assemble(log, findings), findings


def _cells_alone(log: RawLog, findings: Findings) -> None:
    """Faults of single cells, where a sheet is missing and rows cannot be held together."""
    game, snaps = log.sheet("game"), log.sheet("snaps")
    if game is not None:
        read_game(game, findings)
    _templates(log, findings)
    if snaps is not None:
        _options(log, _numbers(read_rows(snaps, findings), findings), findings)


def assemble(log: RawLog, findings: Findings) -> LoggedGame | None:
    """The game of some sheets; faults go to ``findings``."""
    game_sheet, snaps_sheet = log.sheet("game"), log.sheet("snaps")
    if game_sheet is None or snaps_sheet is None:
        return None
    game = read_game(game_sheet, findings)
    own = _templates(log, findings)
    rows = read_rows(snaps_sheet, findings)
    numbers = _numbers(rows, findings)
    by_snap = _options(log, numbers, findings)
    if game.rules is None:
        return None
    snaps: list[Snap] = []
    above: Standing | None = None
    for at, (row, number) in enumerate(zip(rows, numbers, strict=True)):
        if above is not None and leaves_out(numbers[at - 1], number):
            above = _gap(row, above, game.rules)
        snap, above = _snap(row, number, by_snap, own, game, above, findings)
        snaps.append(snap)
    finals = {"us": game.values.get("final_us"), "them": game.values.get("final_them")}
    findings.faults += continuity.final_score(
        above, {k: v if isinstance(v, int) else None for k, v in finals.items()}, game_sheet.name
    )
    if not snaps and not any(f.sheet == snaps_sheet.name for f in findings.faults):
        findings.faults.append(Fault(snaps_sheet.name, None, None, "", "at least one snap"))
    return _game(game, tuple(snaps), findings)


def _templates(log: RawLog, findings: Findings) -> Templates:
    sheet = log.sheet("concepts")
    if sheet is None:
        return {}
    templates, faults = read_concepts(sheet)
    findings.faults += faults
    return templates


def _numbers(rows: list[Row], findings: Findings) -> list[str]:
    """Names of the snaps; a blank counts on from the number above."""
    numbers: list[str] = []
    for row in rows:
        typed = str(row.values.get("number", "")).strip().removesuffix(".0")
        if not typed:
            above = snap_key(numbers[-1]) if numbers else "0"
            typed = str(int(above) + 1) if above.isdecimal() else ""
            if not typed:
                findings.fault(row, "number", "a number or a name for this snap")
                typed = f"row {row.number}"
        numbers.append(typed)
    continuity.unique_numbers(zip(rows, numbers, strict=True), findings)
    clips = (row.values.get("clip") for row in rows)
    continuity.rising_clips(
        ((row, c[0] if isinstance(c, tuple) else None) for row, c in zip(rows, clips, strict=True)),
        findings,
    )
    return numbers


def _options(log: RawLog, numbers: list[str], findings: Findings) -> Mapping[str, list[Row]]:
    """Option rows by the key of their snap."""
    sheet = log.sheet("options")
    found: dict[str, list[Row]] = {}
    if sheet is None:
        return found
    known = {snap_key(n) for n in numbers}
    key = ""
    for row in read_rows(sheet, findings):
        if row.has("snap"):
            key = snap_key(row.text("snap"))
        if not key:
            missing_required(row, findings)
            continue
        if key not in known:
            listed = f"{numbers[0]} to {numbers[-1]}" if numbers else "there is none"
            findings.fault(row, "snap", f"a snap of the snaps sheet ({listed})")
            continue
        found.setdefault(key, []).append(row)
    return found


def _gap(row: Row, above: Standing, rules: RuleSet) -> Standing:
    """The row above, with snaps left out after it if what is typed cannot follow from it.

    Some number their snaps by the film, in which the other side has snaps too.
    """
    trial = Findings()
    continuity.compare(row, fill(row, above, rules, trial), above, trial)
    return above.across_a_gap() if trial.faults else above


def _snap(
    row: Row,
    number: str,
    by_snap: Mapping[str, list[Row]],
    own: Templates,
    game: GameItems,
    above: Standing | None,
    findings: Findings,
) -> tuple[Snap, Standing | None]:
    rules = game.rules
    if rules is None:
        raise ValueError("a game without its rules cannot be read")
    derived: set[str] = set() if row.has("number") else {"number"}
    filled = fill(row, above, rules, findings)
    if above is not None:
        continuity.compare(row, filled, above, findings)
    at = snap_rows.situation(row, filled, game, rules, findings)
    options, chosen = build(
        row, by_snap.get(snap_key(number), []), own, findings, at.yards_to_goal if at else None
    )
    done = snap_rows.happened(row, at, chosen, findings, derived)
    picked = next((o for o in options if o.id == chosen), None)
    sense.agree(row, at, done, picked, findings)
    faulty = any(f.sheet == row.sheet and f.row == row.number for f in findings.faults)
    after = standing(row, filled, at, done, every_snap=game.every_snap, faulty=faulty)
    return snap_rows.snap(row, number, filled, at, options, done, derived), after


def _game(game: GameItems, snaps: tuple[Snap, ...], findings: Findings) -> LoggedGame:
    values = game.values
    us, them = game.text("us"), game.text("them")
    others: dict[str, Any] = {n: values.get(n) for n in ("opening_kickoff_to", "wind", "film",
                                                         "charter", "final_us",
                                                         "final_them")}  # fmt: skip
    others |= {
        n: None if values.get(n) is None else float(str(values[n]))
        for n in ("spread", "frame_rate")
    }
    return LoggedGame(
        title=game.text("title", f"{us} - {them}"),
        level=game.text("level"),
        season=int(game.text("season", "0")),
        us=us,
        them=them,
        quarterback=game.text("quarterback"),
        snaps=snaps,
        every_snap=game.every_snap,
        warnings=tuple(findings.warnings),
        extra=game.extra,
        **others,
    )
