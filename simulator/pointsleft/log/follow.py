"""What follows from a snap's result: down, distance, spot and score of the next one.

The same possession goes on, ends, or cannot be told. Everything here is what the rules make
certain; where a flag's foul was not named, each state it may have led to is kept.
"""

from __future__ import annotations

from dataclasses import dataclass

from pointsleft_models.football.situation import Situation

from pointsleft.log.record import Flag, Happened

#: Results after which the ball lies where it lay.
NO_GAIN = {
    "drop", "batted", "tipped", "broken-up", "incomplete", "dropped-interception", "throw-away",
    "spike",
}  # fmt: skip

#: Results after which the clock stands until the next snap.
STOPS_CLOCK = NO_GAIN | {"interception", "good", "no-good", "blocked", "punt"}

#: Results whose yards are a gain or a loss of the offense.
GAINS = NO_GAIN | {"complete", "scramble", "sack", "run", "kneel"}

#: Results that end the possession.
ENDS = {"interception", "good", "no-good", "blocked", "punt"}

#: Fouls of the defense that carry no first down of their own, and those that do.
NO_FIRST_DOWN = {"offside", "encroachment", "neutral zone", "too many men", "delay of game"}
FIRST_DOWN = {
    "holding", "pass interference", "illegal contact", "roughing the passer", "face mask",
    "unnecessary roughness", "illegal use of hands",
}  # fmt: skip

#: What a touchdown may add before our next snap is logged: the try missed, kicked, run in.
TOUCHDOWN = (6, 7, 8)

State = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Follow:
    """What is known of the next snap.

    Attributes
    ----------
    goes_on
        Whether the possession goes on; ``None``: cannot be told.
    states
        Down, distance and yards to goal it may have, the usual one first; empty when unknown.
    us, them
        Points added to either score by the snap itself, every number that it may be.
    why
        The result in words, for messages.
    """

    goes_on: bool | None
    states: tuple[State, ...] = ()
    us: tuple[int, ...] = (0,)
    them: tuple[int, ...] = (0,)
    why: str = ""


def gain(happened: Happened) -> int | None:
    """Net yards of the play, 0 where the result says so, ``None`` when not logged."""
    if happened.yards is not None:
        return happened.yards
    return 0 if happened.result in NO_GAIN else None


def foul_is_safety(happened: Happened) -> bool:
    """Whether the offense's own foul, in its end zone, is the safety (grounding, holding)."""
    flag = happened.flag
    if flag is None or not happened.safety:
        return False
    return flag.side == "offense" and flag.decision in (None, "accepted")


def wiped_out(happened: Happened) -> bool:
    """Whether a flag took the play back: its yards do not count."""
    flag = happened.flag
    if foul_is_safety(happened):
        return False
    if happened.result == "no-play":
        return True
    if flag is None:
        return False
    if flag.decision == "offset":
        return flag.when != "after"
    return flag.decision in (None, "accepted") and not _from_end(flag)


def _from_end(flag: Flag) -> bool:
    if flag.enforced_from is not None:
        return flag.enforced_from == "end"
    return flag.when == "after"


def follow(before: Situation, happened: Happened) -> Follow:
    """The snap after ``before`` in which this happened."""
    if wiped_out(happened):
        return _replayed(before, happened)
    if happened.touchdown:
        return Follow(False, us=TOUCHDOWN, why="a touchdown")
    if happened.defense_scored:
        return Follow(False, them=TOUCHDOWN, why="a touchdown of the defense")
    if happened.safety:
        return Follow(False, them=(2,), why="a safety")
    if happened.result == "good":
        return Follow(False, us=(3,), why="a field goal")
    if happened.fumble == "lost":
        return Follow(False, why="a lost fumble")
    if happened.result in ENDS:
        return Follow(False, why=f"{happened.result}")
    yards = gain(happened)
    if happened.result is None or yards is None:
        return Follow(None, why="a result or yards that were not logged")
    return _after_gain(before, happened, yards)


def _after_gain(before: Situation, happened: Happened, yards: int) -> Follow:
    to_goal = before.yards_to_goal - yards
    why = f"{happened.result} for {yards}"
    if to_goal <= 0 or to_goal >= 100:
        return Follow(None, why=why + ", beyond a goal line")
    flag = happened.flag
    tacked = flag is not None and flag.decision in (None, "accepted") and _from_end(flag)
    made_it = yards >= before.distance
    if not made_it and before.down == 4 and not (tacked and flag and flag.side == "defense"):
        return Follow(False, why="a failed fourth down")
    if not tacked or flag is None:
        return Follow(True, (_next_state(before, made_it, yards, to_goal),), why=why)
    if flag.yards is None:
        return Follow(True, why=why + " and a flag without its yards")
    after = to_goal + (flag.yards if flag.side == "offense" else -flag.yards)
    if not 1 <= after <= 99:
        return Follow(None, why=why + " and a flag beyond a goal line")
    states = []
    if made_it or flag.side == "defense":
        states.append((1, min(10, after), after))
    if not made_it and not (flag.side == "defense" and flag.foul in FIRST_DOWN):
        left = before.distance - yards + (after - to_goal)
        if left <= 0:
            states.append((1, min(10, after), after))
        elif before.down < 4:
            states.append((before.down + 1, min(left, after), after))
    return Follow(True, tuple(dict.fromkeys(states)), why=f"{why} and {flag.yards} for the flag")


def _next_state(before: Situation, made_it: bool, yards: int, to_goal: int) -> State:
    if made_it:
        return 1, min(10, to_goal), to_goal
    return before.down + 1, min(before.distance - yards, to_goal), to_goal


def _replayed(before: Situation, happened: Happened) -> Follow:
    """After a play that does not count."""
    flag = happened.flag
    same = (before.down, before.distance, before.yards_to_goal)
    if flag is None or flag.decision in ("offset", "declined"):
        return Follow(True, (same,), why="a play that does not count")
    if flag.yards is None:
        return Follow(True, why="a flag without its yards")
    why = f"{flag.yards} yards against the {flag.side}"
    if flag.side == "offense":
        to_goal = before.yards_to_goal + flag.yards
        if to_goal > 99:
            return Follow(None, why=why + ", beyond the goal line")
        down = before.down + (1 if flag.loss_of_down else 0)
        if down > 4:
            return Follow(False, why="a failed fourth down")
        return Follow(True, ((down, before.distance + flag.yards, to_goal),), why=why)
    to_goal = before.yards_to_goal - flag.yards
    if to_goal < 1:
        return Follow(None, why=why + ", beyond the goal line")
    first = (1, min(10, to_goal), to_goal)
    if flag.yards >= before.distance or flag.foul in FIRST_DOWN:
        return Follow(True, (first,), why=why)
    again = (before.down, before.distance - flag.yards, to_goal)
    if flag.foul in NO_FIRST_DOWN:
        return Follow(True, (again,), why=why)
    return Follow(True, (again, first), why=why)


def after_try(happened: Happened) -> tuple[int, ...]:
    """Points that a try may have added."""
    if wiped_out(happened):
        return (0,)
    if happened.result == "good":
        return (1,)
    if happened.touchdown:
        return (2,)
    if happened.result in ("complete", "run", "scramble"):
        return (0, 2)
    return (0,)
