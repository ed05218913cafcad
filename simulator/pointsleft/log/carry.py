"""Carry-forward: what a blank means once the row above is known.

Only what is certain is filled in. A new possession starts on first down; where the ball lies,
the clock and the score after the other side had the ball must be typed or stay unknown.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from pointsleft_models.football.rules import RuleSet
from pointsleft_models.football.situation import Situation
from pointsleft_models.football.spot import write_spot

from pointsleft.log.follow import (
    STOPS_CLOCK,
    TOUCHDOWN,
    Follow,
    State,
    after_try,
    follow,
    wiped_out,
)
from pointsleft.log.parse import GOAL, Ambiguous
from pointsleft.log.record import Happened
from pointsleft.log.rows import Findings, Row

#: Time-outs at the start of an overtime (regular season), by level.
OVERTIME_TIMEOUTS = {"professional": 2, "college": 1}


@dataclass(frozen=True, slots=True)
class Standing:
    """How things stand after a row: what is known of the next one.

    Scores are those before the last snap; ``follow`` says what that snap added. ``gap``: snaps are
    left out after it.
    """

    row: int
    period: int
    seconds: int | None
    us: int | None
    them: int | None
    own_timeouts: int
    opponent_timeouts: int
    follow: Follow
    stopped: bool | None
    no_time: bool
    broken: bool = False
    gap: bool = False

    def across_a_gap(self) -> Standing:
        """The same with snaps left out after it: the situation must be typed."""
        follow = replace(self.follow, goes_on=None, states=(), why="snaps that are left out")
        return replace(self, follow=follow, stopped=None, no_time=False, gap=True)


@dataclass(frozen=True, slots=True)
class Filled:
    """Situation cells of a row after carrying; ``derived`` names what was filled in.

    ``excused``: a fault further up makes it impossible to tell what the blanks mean.
    """

    period: int | None
    seconds: int | None
    running: bool | None
    us: int | None
    them: int | None
    down: int | None
    distance: int | None
    yards_to_goal: int | None
    own_timeouts: int
    opponent_timeouts: int
    derived: frozenset[str]
    goes_on: bool | None
    states: tuple[State, ...]
    excused: bool = False


def half(period: int) -> int:
    """1 or 2; each overtime counts on."""
    return 1 + (period > 2) if period <= 4 else period - 2


def _number(row: Row, name: str) -> int | None:
    value = row.values.get(name)
    return value if isinstance(value, int) and not isinstance(value, bool) else None


def fill(row: Row, above: Standing | None, rules: RuleSet, findings: Findings) -> Filled:
    """Situation cells of a row, blanks filled from ``above`` where that is certain."""
    derived: set[str] = set()
    period = _number(row, "period")
    if period is None and above is not None and not above.gap and "period" not in row.bad:
        period = above.period
        derived.add("period")
    new_half = above is not None and period is not None and half(period) != half(above.period)
    is_try = row.values.get("family") == "try"
    goes_on, states = _possession(above, new_half)
    down, distance, to_goal = _place(row, goes_on, states, derived, findings)
    us = _score(row, "us", above, goes_on, is_try, derived)
    them = _score(row, "them", above, goes_on, is_try, derived)
    full = OVERTIME_TIMEOUTS[rules.level] if period is not None and period > 4 else 3
    timeouts = []
    for name in ("own_timeouts", "opponent_timeouts"):
        typed = _number(row, name)
        if typed is None:
            derived.add(name)
            typed = full if above is None or new_half else int(getattr(above, name))
        timeouts.append(typed)
    seconds = _number(row, "seconds")
    if (
        seconds is None
        and above is not None
        and above.no_time
        and above.period == period
        and above.seconds is not None
        and not row.has("seconds")
    ):
        seconds = above.seconds
        derived.add("seconds")
    running = row.values.get("clock_running")
    if running is None and _stands(above, goes_on, timeouts):
        running = False
        derived.add("clock_running")
    return Filled(
        period, seconds, running if isinstance(running, bool) else None, us, them,
        down, distance, to_goal, timeouts[0], timeouts[1], frozenset(derived), goes_on, states,
        above is not None and above.broken,
    )  # fmt: skip


def _possession(above: Standing | None, new_half: bool) -> tuple[bool | None, tuple[State, ...]]:
    if above is None or (new_half and not above.gap):
        return False, ()
    return above.follow.goes_on, above.follow.states


def leaves_out(above: str, number: str) -> bool:
    """Whether the numbers of two rows leave room for snaps between them.

    >>> leaves_out("7", "8"), leaves_out("7", "50"), leaves_out("7", "7a")
    (False, True, False)
    """
    both = above.isdecimal() and number.isdecimal()
    return both and int(number) > int(above) + 1


def _stands(above: Standing | None, goes_on: bool | None, timeouts: list[int]) -> bool:
    """Whether the game clock certainly stands at the snap."""
    if above is None:
        return False
    spent = timeouts != [above.own_timeouts, above.opponent_timeouts]
    return goes_on is False or bool(above.stopped) or (goes_on is True and spent)


def _place(
    row: Row,
    goes_on: bool | None,
    states: tuple[State, ...],
    derived: set[str],
    findings: Findings,
) -> tuple[int | None, int | None, int | None]:
    """Down, distance and spot."""
    down = _number(row, "down")
    typed = row.values.get("distance")
    to_goal = row.values.get("yards_to_goal")
    if isinstance(to_goal, Ambiguous):
        to_goal = _whose_side(row, to_goal, states, findings)
    to_goal = to_goal if isinstance(to_goal, int) else None
    near = [s for s in states if down in (None, s[0]) and to_goal in (None, s[2])]
    # What is typed and does not follow is a fault of its own cell; the blanks still follow.
    near = near or list(states)
    if isinstance(typed, int):
        near = [s for s in near if s[1] == typed] or near
    if not row.has("down"):
        if goes_on is False:
            down = 1
        elif len({s[0] for s in near}) == 1:
            down = near[0][0]
        if down is not None:
            derived.add("down")
            near = [s for s in near if s[0] == down]
    if not row.has("yards_to_goal") and len({s[2] for s in near}) == 1:
        to_goal = near[0][2]
        derived.add("yards_to_goal")
    distance = typed if isinstance(typed, int) else None
    if typed == GOAL:
        distance = to_goal
    elif not row.has("distance"):
        if len({s[1] for s in near}) == 1:
            distance = near[0][1]
        elif down == 1 and to_goal is not None and goes_on is False:
            distance = min(10, to_goal)
        if distance is not None:
            derived.add("distance")
    return down, distance, to_goal


def _whose_side(
    row: Row, bare: Ambiguous, states: tuple[State, ...], findings: Findings
) -> int | None:
    """A bare yard line, told by the result of the row above."""
    line = bare.yard_line
    fitting = {s[2] for s in states} & {line, 100 - line}
    if len(fitting) == 1:
        found = fitting.pop()
        findings.warnings.append(
            f"{row.sheet}, row {row.number}, {row.header('yards_to_goal')}: {line} read as "
            f"{write_spot(found)}, which follows from the row above"
        )
        return found
    findings.fault(row, "yards_to_goal", str(bare))
    return None


def _score(
    row: Row,
    name: str,
    above: Standing | None,
    goes_on: bool | None,
    is_try: bool,
    derived: set[str],
) -> int | None:
    typed = _number(row, name)
    if typed is not None or row.has(name) or above is None:
        return typed
    before = getattr(above, name)
    if before is None:
        return None
    if goes_on:
        derived.add(name)
        return int(before)
    if is_try and above.follow.us == TOUCHDOWN:
        derived.add(name)
        return int(before) + (TOUCHDOWN[0] if name == "us" else 0)
    return None


def standing(
    row: Row,
    filled: Filled,
    situation: Situation | None,
    happened: Happened,
    *,
    every_snap: bool,
    faulty: bool = False,
) -> Standing | None:
    """How things stand after a row; ``None`` where nothing may be told from it.

    ``faulty``: the row has faults, so what follows from it is not known.
    """
    if not every_snap or filled.period is None:
        return None
    is_try = row.values.get("family") == "try"
    if is_try:
        after = Follow(False, us=after_try(happened), them=(0, 2), why="the try")
    elif situation is None or faulty:
        after = Follow(None, why="a situation that was not logged")
    else:
        after = follow(situation, happened)
    dead = happened.flag is not None and happened.flag.when in ("dead", "before")
    return Standing(
        row.number,
        filled.period,
        filled.seconds,
        filled.us,
        filled.them,
        filled.own_timeouts,
        filled.opponent_timeouts,
        after,
        happened.result in STOPS_CLOCK and not wiped_out(happened),
        happened.result == "no-play" and dead,
        faulty or (situation is None and not is_try and filled.excused),
    )


def describe_state(state: State) -> str:
    """``2nd and 7 at opp 33``, for messages."""
    ordinal = ("1st", "2nd", "3rd", "4th")[state[0] - 1]
    return f"{ordinal} and {state[1]} at {write_spot(state[2])}"
