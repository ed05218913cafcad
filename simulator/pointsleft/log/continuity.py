"""Each snap follows from the result of the one before; a mismatch is a fault."""

from __future__ import annotations

from collections.abc import Iterable

from pointsleft.log.carry import Filled, Standing, describe_state, half
from pointsleft.log.cells import write_clock
from pointsleft.log.faults import Fault
from pointsleft.log.rows import Findings, Row

#: Seconds between two snaps of a possession above which a slip of the pen is likely.
LONG_PAUSE = 60


def compare(row: Row, filled: Filled, above: Standing, findings: Findings) -> None:
    """Faults of a row against the row above."""
    if filled.period is None:
        return
    if filled.period < above.period:
        findings.fault(row, "period", f"{above.period} or later (row {above.row} is in it)")
        return
    _clock(row, filled, above, findings)
    _timeouts(row, filled, above, findings)
    if row.values.get("family") == "try":
        _scores(row, filled, above, findings, in_try=True)
        return
    if filled.goes_on and half(filled.period) == half(above.period):
        _place(row, filled, above, findings)
    elif filled.goes_on is False and row.has("down") and filled.down not in (1, None):
        new_half = half(filled.period) != half(above.period)
        ended = "the half" if new_half else above.follow.why or "the half"
        findings.fault(
            row, "down", f"1: after {ended} (row {above.row}) a new possession starts; where snaps "
            "are left out, leave their numbers out too"
        )  # fmt: skip
    _scores(row, filled, above, findings)


def _clock(row: Row, filled: Filled, above: Standing, findings: Findings) -> None:
    if filled.period != above.period or filled.seconds is None or above.seconds is None:
        return
    if filled.seconds > above.seconds:
        findings.fault(
            row,
            "seconds",
            f"at most {write_clock(above.seconds)}, the clock of row {above.row}, or a later "
            "quarter",
        )
    elif filled.goes_on and above.seconds - filled.seconds > LONG_PAUSE:
        findings.warnings.append(
            f"{row.sheet}, row {row.number}, {row.header('seconds')}: "
            f"{above.seconds - filled.seconds} seconds after the snap above"
        )


def _timeouts(row: Row, filled: Filled, above: Standing, findings: Findings) -> None:
    if filled.period is None or half(filled.period) != half(above.period):
        return
    for name in ("own_timeouts", "opponent_timeouts"):
        before = int(getattr(above, name))
        if int(getattr(filled, name)) > before:
            findings.fault(row, name, f"at most {before}, as on row {above.row} of this half")


def _place(row: Row, filled: Filled, above: Standing, findings: Findings) -> None:
    """Down, distance and spot against what the result above left."""
    states = filled.states
    have = (filled.down, filled.distance, filled.yards_to_goal)
    if not states or None in have or have in states:
        return
    names = ("down", "distance", "yards_to_goal")
    closest = max(states, key=lambda s: sum(a == b for a, b in zip(s, have, strict=True)))
    wanted = " or ".join(describe_state(s) for s in states)
    for name, mine, theirs in zip(names, have, closest, strict=True):
        if mine != theirs and row.has(name):
            findings.fault(row, name, f"{wanted}, after {above.follow.why} (row {above.row})")


def _scores(
    row: Row, filled: Filled, above: Standing, findings: Findings, *, in_try: bool = False
) -> None:
    for name in ("us", "them"):
        before, now = getattr(above, name), getattr(filled, name)
        if before is None or now is None or not row.has(name):
            continue
        added = above.follow.us if name == "us" else above.follow.them
        least = before + min(added)
        if filled.goes_on or in_try:
            if now != least:
                findings.fault(row, name, f"{least} (row {above.row}: {above.follow.why})")
        elif not any(_may_score(now - before - points) for points in added):
            findings.fault(
                row, name, f"{least} or more, by a number of points that can be scored "
                f"({before} on row {above.row}, then {above.follow.why or 'the other side'})"
            )  # fmt: skip


def _may_score(points: int) -> bool:
    """Whether points can have come between two possessions: never one alone."""
    return points == 0 or points >= 2


def final_score(last: Standing | None, finals: dict[str, int | None], sheet: str) -> list[Fault]:
    """The final score against the last snap."""
    faults = []
    for name, final in finals.items():
        before = None if last is None else getattr(last, name)
        if last is None or final is None or before is None:
            continue
        added = last.follow.us if name == "us" else last.follow.them
        if not any(_may_score(final - before - points) for points in added):
            expected = (
                f"{before + min(added)} or more, by points that can be scored (the last snap, "
                f"row {last.row}, stands at {before})"
            )
            faults.append(Fault(sheet, None, f"final {name}", str(final), expected))
    return faults


def unique_numbers(rows: Iterable[tuple[Row, str]], findings: Findings) -> None:
    """Snap numbers are used once (``007`` and ``7`` are the same)."""
    seen: dict[str, int] = {}
    for row, number in rows:
        key = snap_key(number)
        if key in seen:
            findings.fault(row, "number", f"a snap not used before (row {seen[key]} has it)")
        seen.setdefault(key, row.number)


def rising_clips(rows: Iterable[tuple[Row, float | None]], findings: Findings) -> None:
    """Clip times rise down the sheet."""
    last: tuple[int, float, str] | None = None
    for row, seconds in rows:
        if seconds is None:
            continue
        if last is not None and seconds <= last[1]:
            findings.fault(row, "clip", f"later than {last[2]} (row {last[0]})")
            continue
        last = (row.number, seconds, row.text("clip"))


def snap_key(number: str) -> str:
    """A snap's name as it is compared: spreadsheets drop leading zeros.

    >>> snap_key("007"), snap_key("7.0"), snap_key("7b")
    ('7', '7', '7b')
    """
    text = number.strip().removesuffix(".0").lower()
    return str(int(text)) if text.isdecimal() else text
