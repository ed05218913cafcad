"""What happened on one snap must agree with itself."""

from __future__ import annotations

from pointsleft_models.football.situation import Situation

from pointsleft.log.follow import GAINS, NO_GAIN, foul_is_safety, wiped_out
from pointsleft.log.record import Happened, LoggedOption
from pointsleft.log.rows import Findings, Row

#: Results that a kind of option can end in; a sack, a fumble or a wiped-out play always can.
_THROW_ENDS = NO_GAIN | {"complete", "interception", "scramble"}
_ENDS = {
    "throw": _THROW_ENDS,
    "throw-away": {"throw-away", "incomplete", "interception", "batted"},
    "scramble": {"scramble", "run"},
    "give": {"run"},
    "keep": {"run", "scramble"},
    "pitch": {"run"},
    "run": {"run"},
    "field-goal": {"good", "no-good", "blocked"},
    "punt": {"punt", "blocked"},
}
_ALWAYS = {"sack", "no-play", "spike", "kneel"}


def agree(
    row: Row,
    situation: Situation | None,
    happened: Happened,
    chosen: LoggedOption | None,
    findings: Findings,
) -> None:
    """Faults where result, yards, flags and choice contradict one another."""
    _result(row, happened, chosen, findings)
    flag = happened.flag
    if flag is None:
        for name in ("flag_when", "flag_decision", "flag_yards", "flag_from", "loss_of_down",
                     "foul"):  # fmt: skip
            if row.has(name):
                findings.fault(row, "flag_side", "offense or defense: the row has a flag's details")
                break
    if situation is not None and not wiped_out(happened):
        _yards(row, situation, happened, findings)


def _result(row: Row, happened: Happened, chosen: LoggedOption | None, findings: Findings) -> None:
    result, yards = happened.result, happened.yards
    if result in NO_GAIN and yards not in (None, 0):
        findings.fault(row, "yards", f"0 or a blank after {result}")
    if result == "sack" and yards is not None and yards > 0:
        findings.fault(row, "yards", "0 or less: a sack loses yards, as in -7")
    if result is not None and chosen is not None and result not in _ALWAYS:
        ends = _ENDS.get(chosen.kind)
        if ends is not None and result not in ends:
            findings.fault(
                row, "result", f"one that a {chosen.kind} can end in: "
                + ", ".join(sorted(ends | {"sack", "no-play"}))
            )  # fmt: skip
    if sum((happened.touchdown, happened.defense_scored, happened.safety)) > 1:
        findings.fault(row, "touchdown", "one score on a play")


def _yards(row: Row, situation: Situation, happened: Happened, findings: Findings) -> None:
    yards, to_goal = happened.yards, situation.yards_to_goal
    if happened.result not in GAINS or yards is None:
        return
    if yards > to_goal:
        findings.fault(row, "yards", f"at most {to_goal}, the way to the goal line")
    if happened.touchdown and yards != to_goal and happened.fumble is None:
        findings.fault(row, "yards", f"{to_goal} on a touchdown from there")
    if to_goal - yards >= 100 and not happened.safety and happened.fumble is None:
        findings.fault(row, "safety", "yes: the ball was down behind our own goal line")
    down_in_play = to_goal - yards < 100 and happened.fumble is None
    if happened.safety and down_in_play and not foul_is_safety(happened):
        findings.fault(row, "yards", f"{to_goal - 100} or less on a safety from there")
