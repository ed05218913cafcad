"""One row of the snaps sheet as a frozen snap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from pointsleft_models.football.rules import RuleSet
from pointsleft_models.football.situation import Situation, SituationError

from pointsleft.log.carry import Filled
from pointsleft.log.cells import write_clock
from pointsleft.log.follow import NO_GAIN, follow, wiped_out
from pointsleft.log.game_sheet import GameItems
from pointsleft.log.parse import Ambiguous
from pointsleft.log.record import Call, Defense, Flag, Happened, LoggedOption, Read, Snap
from pointsleft.log.rows import Findings, Row

_CALL = ("personnel", "formation", "alignment", "motion", "family", "concept", "flipped",
         "audible")  # fmt: skip
_DEFENSE = ("shell_before", "shell_after", "disguise", "box", "blockers", "conflict", "rushers",
            "free_rusher", "free_side", "free_depth", "free_why", "protection",
            "slide")  # fmt: skip
_HAPPENED = ("phase", "platform", "missed_why", "placement", "timing", "security", "result",
             "fumble", "ended", "hit")  # fmt: skip

#: Results in which the ball carrier can reach the goal line.
_CARRIED = ("complete", "run", "scramble")


def situation(
    row: Row, filled: Filled, game: GameItems, rules: RuleSet, findings: Findings
) -> Situation | None:
    """The situation of a row; ``None`` for a try and where none is logged."""
    if row.values.get("family") == "try":
        return None
    cells = {"period": filled.period, "down": filled.down, "distance": filled.distance,
             "yards_to_goal": filled.yards_to_goal}  # fmt: skip
    missing = [name for name, value in cells.items() if value is None]
    unread = set(cells) & row.bad or {n for n in missing if row.has(n)}
    if missing:
        blank = len(missing) == len(cells) - ("period" in filled.derived) and not unread
        if filled.excused:
            return None
        if blank and filled.goes_on is None:
            findings.warnings.append(f"{row.sheet}, row {row.number}: no situation is logged")
            return None
        for name in missing:
            if not row.has(name):
                findings.fault(row, name, _how_to_fill(name, filled))
        return None
    longest = rules.period_seconds(filled.period or 1)
    if filled.seconds is not None and filled.seconds > longest and not unread:
        findings.fault(row, "seconds", f"at most {write_clock(longest)} in this period")
        return None
    to_goal, distance = filled.yards_to_goal or 0, filled.distance or 0
    if distance > to_goal:
        findings.fault(row, "distance", f"1 to {to_goal}, or goal: the goal line is that near")
        return None
    lead = None if filled.us is None or filled.them is None else filled.us - filled.them
    opening = game.values.get("opening_kickoff_to")
    spread = game.values.get("spread")
    values: dict[str, Any] = {
        **cells,
        "seconds": filled.seconds,
        "lead": lead,
        "rules": rules,
        "own_timeouts": filled.own_timeouts,
        "opponent_timeouts": filled.opponent_timeouts,
        "receives_second_half": None if opening is None else opening == "them",
        "clock_running": filled.running,
        "hash": row.values.get("hash"),
        "spread": None if spread is None else float(str(spread)),
    }
    try:
        return Situation(**values)
    except SituationError as error:
        findings.fault(row, "down", str(error))
        return None


def _how_to_fill(name: str, filled: Filled) -> str:
    if filled.states:
        places = {"down": 0, "distance": 1, "yards_to_goal": 2}
        if name in places:
            may_be = sorted({str(s[places[name]]) for s in filled.states})
            return f"a value: it may be {' or '.join(may_be)} after the flag above"
    return "a value: it does not follow from the row above for certain"


def happened(
    row: Row, at: Situation | None, chosen: str | None, findings: Findings, derived: set[str]
) -> Happened:
    """What was done and what came of it."""
    values: dict[str, Any] = {name: row.values.get(name) for name in _HAPPENED}
    yards = row.values.get("yards")
    touchdown = row.values.get("touchdown")
    result = values["result"]
    flag = _flag(row)
    if at is not None and yards is None and touchdown is True:
        yards = at.yards_to_goal
        derived.add("yards")
    # A gain to the goal line is a touchdown, unless the ball was lost or the play taken back.
    if touchdown is None and at is not None and result in _CARRIED:
        stands = not wiped_out(Happened(result=result, flag=flag))
        touchdown = yards == at.yards_to_goal and values["fumble"] != "lost" and stands
        if touchdown:
            derived.add("touchdown")
    if yards is None and result in NO_GAIN:
        yards = 0
        derived.add("yards")
    takeover = row.values.get("takeover")
    if isinstance(takeover, Ambiguous):
        findings.fault(row, "takeover", str(takeover))
        takeover = None
    end = 100 - takeover if isinstance(takeover, int) else None
    done = Happened(
        chosen=chosen,
        yards=yards if isinstance(yards, int) else None,
        touchdown=touchdown is True,
        end_yards_to_goal=end,
        defense_scored=row.values.get("defense_scored") is True,
        safety=row.values.get("safety") is True,
        flag=flag,
        **values,
    )
    return _turnover_spot(at, done, derived)


def _turnover_spot(at: Situation | None, done: Happened, derived: set[str]) -> Happened:
    """After a failed fourth down the other side has the ball where it lies."""
    if at is None or done.end_yards_to_goal is not None or done.flag is not None:
        return done
    after = follow(at, done)
    if after.goes_on is not False or after.why != "a failed fourth down":
        return done
    derived.add("end_yards_to_goal")
    lies = at.yards_to_goal - (done.yards or 0)
    return replace(done, end_yards_to_goal=100 - lies)


def _flag(row: Row) -> Flag | None:
    side = row.values.get("flag_side")
    if side is None:
        return None
    named = {"when": "flag_when", "decision": "flag_decision", "yards": "flag_yards",
             "loss_of_down": "loss_of_down", "foul": "foul",
             "enforced_from": "flag_from"}  # fmt: skip
    values: dict[str, Any] = {key: row.values.get(name) for key, name in named.items()}
    return Flag(side=str(side), **values)


def snap(
    row: Row,
    number: str,
    filled: Filled,
    at: Situation | None,
    options: Sequence[LoggedOption],
    done: Happened,
    derived: set[str],
) -> Snap:
    """The frozen snap."""
    get = row.values.get
    call: dict[str, Any] = {name: get(name) for name in _CALL}
    defense: dict[str, Any] = {name: get(name) for name in _DEFENSE}
    if defense["free_rusher"] is None and any(
        defense[name] is not None for name in ("free_side", "free_depth", "free_why")
    ):
        defense["free_rusher"] = True
        derived.add("free_rusher")
    read: dict[str, Any] = {
        "kind": get("read_kind"),
        **{n: get(n) for n in ("key", "key_action", "rule_says", "hot_required",
                               "hot_seen_by_quarterback", "hot_seen_by_receiver")},
    }  # fmt: skip
    clip = get("clip")
    texts: dict[str, Any] = {n: get(n) for n in ("tempo", "play_clock", "blame", "sure", "note")}
    return Snap(
        number=number,
        clip=clip[1] if isinstance(clip, tuple) else None,
        situation=at,
        call=Call(**call),
        defense=Defense(**defense),
        read=Read(**read),
        happened=done,
        options=tuple(options),
        us=filled.us,
        them=filled.them,
        derived=frozenset(derived | filled.derived),
        row=row.number,
        extra=row.extra,
        **texts,
    )
