"""What a side can do late in a half, and why some of it does not exist in a situation."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from pointsleft_models.football.field import KICK_EXTRA
from pointsleft_models.laws.kicking import LONGEST_KICK
from pointsleft_models.playthrough.codes import (
    DRAINED_TO,
    KICK_NOW,
    KNEEL_PLAY_CLOCK,
    three_serve,
)
from pointsleft_models.playthrough.start import Opening, Start

from pointsleft.endgame.choices import Refusal, Side

#: Seconds left at which a side that runs the clock down calls time for the last kick.
KICK_AT = DRAINED_TO

#: Seconds of the play clock after a play (rule book, professional and college).
PLAY_CLOCK = KNEEL_PLAY_CLOCK

#: Yards behind the line of the own goal within which a side gives itself up there.
SAFETY_REACH = 10

#: Yards to goal from which a defense may stand aside: farther out the runner would be alone for
#: too long not to go down.
ASIDE_FROM = 25


@dataclass(frozen=True, slots=True)
class Action:
    """One action: where its continuations start, and what is forced on them.

    Attributes
    ----------
    code, label
        The word on the command line, and what it is.
    """

    code: str
    label: str
    start: Start
    opening: Opening


#: An action, or the reason why there is none.
Made = tuple[str, Start, Opening] | str


def _run(start: Start) -> Made:
    if start.down == 4:
        return "on fourth down it is `go`"
    return "run the ball", start, Opening(call="run")


def _pass(start: Start) -> Made:
    if start.down == 4:
        return "on fourth down it is `go`"
    return "drop back to pass", start, Opening(call="pass")


def _go(start: Start) -> Made:
    if start.down < 4:
        return "going for it is a choice on fourth down"
    return "go for it", start, Opening(call="go")


def _out_of_reach(start: Start) -> str:
    length = start.yards_to_goal + KICK_EXTRA
    if length <= LONGEST_KICK:
        return ""
    return f"{length} yards; nobody has made a kick from beyond {LONGEST_KICK}"


def _field_goal(start: Start) -> Made:
    if reason := _out_of_reach(start):
        return reason
    return (
        f"field goal now, {start.yards_to_goal + KICK_EXTRA} yards",
        start,
        Opening(call="field goal"),
    )


def _wait_and_kick(start: Start) -> Made:
    if reason := _out_of_reach(start):
        return reason
    if not start.clock_running:
        return "the clock stands still, so there is nothing to run off"
    if start.own_timeouts == 0:
        return "no time-out is left to stop the clock for the kick"
    if start.seconds > PLAY_CLOCK + KICK_AT:
        return (
            f"the play clock is {PLAY_CLOCK} seconds: with {start.seconds} left a snap comes "
            "before the last kick"
        )
    if start.seconds <= KICK_AT:
        return f"{start.seconds} seconds are left; `field-goal` is the last kick already"
    later = start.with_(
        seconds=KICK_AT, own_timeouts=start.own_timeouts - 1, clock_running=False
    )  # fmt: skip
    label = f"run the clock to 0:0{KICK_AT}, time-out, field goal"
    return label, later, Opening(call="field goal")


def _nothing_to_set_up(start: Start) -> str:
    """Why no last kick can be set up by a snap before it; empty where it can."""
    if reason := _out_of_reach(start):
        return reason
    if start.down == 4:
        return "on fourth down it is `field-goal` or `wait-and-kick`"
    if not three_serve(start.half, start.lead):
        return "a kick that ends the game serves a side that is level or behind by three at most"
    if start.own_timeouts == 0:
        return "no time-out is left to stop the clock for the kick"
    if start.seconds <= KICK_NOW:
        return f"{start.seconds} seconds are left; `field-goal` is the last kick already"
    longest = (4 - start.down) * PLAY_CLOCK + KICK_AT
    if start.seconds > longest:
        return f"with {start.seconds} seconds left fourth down comes before the last kick"
    return ""


def _set_up(start: Start, call: Literal["run", "kneel"]) -> Made:
    label = f"{call}, the clock to 0:0{KICK_AT}, time-out, field goal"
    opening = Opening(call=call, keep=True, answered=True, last_kick=True)
    return _nothing_to_set_up(start) or (label, start, opening)


def _run_and_kick(start: Start) -> Made:
    return _set_up(start, "run")


def _kneel_and_kick(start: Start) -> Made:
    return _set_up(start, "kneel")


def _punt(start: Start) -> Made:
    if start.down < 4:
        return "a punt before fourth down gives downs away"
    return "punt", start, Opening(call="punt")


def _kneel(start: Start) -> Made:
    label = "kneel" if start.down == 4 else "kneel, and again until fourth down"
    return label, start, Opening(call="kneel", keep=True, answered=True)


def _spike(start: Start) -> Made:
    if start.down == 4:
        return "a spike on fourth down gives the ball away"
    if not start.clock_running:
        return "the clock stands still, so a spike only burns a down"
    return "spike", start, Opening(call="spike")


def _own_timeout(start: Start) -> Made:
    if not start.clock_running:
        return "the clock stands still already"
    if start.own_timeouts == 0:
        return "no time-out is left"
    return "time-out now, then play", start, Opening(timeout="own")


def _play_on(start: Start) -> Made:
    if not start.clock_running:
        return "the clock stands still: `run` or `pass` says the same"
    return "play on as sides usually do, clock running", start, Opening()


def _safety(start: Start) -> Made:
    back = 100 - start.yards_to_goal
    if back > SAFETY_REACH:
        return f"the own goal line is {back} yards behind; nobody runs back that far"
    return "give up a safety, then the free kick", start, Opening(call="safety")


def _defend(start: Start) -> Made:
    return "play defense, no time-out now", start, Opening()


def _their_timeout(start: Start) -> Made:
    if not start.clock_running:
        return "the clock stands still already"
    if start.opponent_timeouts == 0:
        return "no time-out is left"
    return "time-out now", start, Opening(timeout="opponent")


def _too_far_to_stand_aside(start: Start) -> str:
    if start.yards_to_goal <= ASIDE_FROM:
        return ""
    return (
        f"{start.yards_to_goal} yards from the goal line the runner sees that nobody tackles him; "
        f"within {ASIDE_FROM} it can be tried"
    )


def _let_score(start: Start) -> Made:
    if reason := _too_far_to_stand_aside(start):
        return reason
    return "let them score a touchdown", start, Opening(call="let score")


def _score(start: Start) -> Made:
    if reason := _too_far_to_stand_aside(start):
        return reason
    return "take the touchdown that is let in", start, Opening(call="let score")


def _deep(start: Start) -> Made:
    return "kick deep", start, Opening(kickoff="deep")


def _onside(start: Start) -> Made:
    return "onside kick", start, Opening(kickoff="onside")


#: Not in the offense's hand alone, so priced only where it is asked for.
ONLY_ASKED = ("score",)

Maker = Callable[[Start], Made]

#: Word -> maker, in the order in which they are listed.
OFFENSE: Mapping[str, Maker] = {
    "run": _run, "pass": _pass, "go": _go, "play-on": _play_on, "field-goal": _field_goal,
    "wait-and-kick": _wait_and_kick, "run-and-kick": _run_and_kick,
    "kneel-and-kick": _kneel_and_kick, "punt": _punt, "kneel": _kneel, "spike": _spike,
    "time-out": _own_timeout, "safety": _safety, "score": _score,
}  # fmt: skip
DEFENSE: Mapping[str, Maker] = {
    "defend": _defend, "time-out": _their_timeout, "let-score": _let_score,
}  # fmt: skip
KICKING: Mapping[str, Maker] = {"deep": _deep, "onside": _onside}


def makers(start: Start, side: Side) -> Mapping[str, Maker]:
    """The actions that a side has at all at a start."""
    if start.phase == "kickoff":
        return KICKING
    return OFFENSE if side == "offense" else DEFENSE


def actions_at(
    start: Start, side: Side, wanted: tuple[str, ...] = ()
) -> tuple[tuple[Action, ...], tuple[Refusal, ...]]:
    """The actions that exist, and those that do not with the reason.

    Parameters
    ----------
    wanted
        Words of actions; all that are in the side's hand when empty.
    """
    known = makers(start, side)
    made, refused = [], []
    for code in wanted or tuple(c for c in known if c not in ONLY_ASKED):
        if code not in known:
            who = "a kickoff" if start.phase == "kickoff" else f"the {side}"
            reason = f"no action of {who}; there is {', '.join(known)}"
            refused.append(Refusal(code, reason))
            continue
        found = known[code](start) if start.seconds > 0 else "no time is left"
        if isinstance(found, str):
            refused.append(Refusal(code, found))
        else:
            made.append(Action(code, *found))
    return tuple(made), tuple(refused)
