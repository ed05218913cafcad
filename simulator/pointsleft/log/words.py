"""Situations, results and options in the words of the game."""

from __future__ import annotations

from pointsleft_models.football.situation import Situation
from pointsleft_models.football.spot import write_spot

from pointsleft.log.cells import write_clock
from pointsleft.log.follow import wiped_out
from pointsleft.log.record import Flag, LoggedOption, Snap

_ORDINALS = ("1st", "2nd", "3rd", "4th")

_THROWN = {
    "incomplete": "incomplete",
    "drop": "dropped",
    "batted": "batted down",
    "tipped": "tipped, incomplete",
    "broken-up": "broken up",
    "dropped-interception": "in a defender's hands and dropped",
}

_KINDS = {
    "throw": "throw",
    "give": "give",
    "keep": "keep",
    "pitch": "pitch",
    "run": "run",
    "scramble": "scramble",
    "throw-away": "throw-away",
    "field-goal": "field goal",
    "punt": "punt",
    "go": "go for it",
}


def ordinal(number: int) -> str:
    """``1st`` to ``4th``; overtimes are numbered elsewhere."""
    return _ORDINALS[number - 1]


def describe_situation(situation: Situation) -> str:
    """A situation in one line.

    >>> from pointsleft_models.football.rules import rule_set
    >>> describe_situation(Situation(2, 492, 3, 7, 59, -3, rule_set("professional", 2019)))
    '3rd and 7 at own 41, 8:12 left in the 2nd, trailing by 3'
    """
    to_go = "goal" if situation.goal_to_go else str(situation.distance)
    parts = [f"{ordinal(situation.down)} and {to_go} at {write_spot(situation.yards_to_goal)}"]
    period = period_words(situation.period)
    if situation.seconds is None:
        parts.append(f"in {period}, clock not logged")
    else:
        parts.append(f"{write_clock(situation.seconds)} left in {period}")
    parts.append(lead_words(situation.lead))
    return ", ".join(parts)


def period_words(period: int) -> str:
    """``the 2nd``, ``overtime``, ``overtime 2``."""
    if period <= 4:
        return f"the {ordinal(period)}"
    return "overtime" if period == 5 else f"overtime {period - 4}"


def spread_words(spread: float) -> str:
    """A pre-game spread from our view.

    >>> spread_words(7.0), spread_words(-2.5), spread_words(0.0)
    ('favoured by 7', 'underdogs by 2.5', 'neither favoured')
    """
    if spread == 0:
        return "neither favoured"
    return f"{'favoured' if spread > 0 else 'underdogs'} by {abs(spread):g}"


def lead_words(lead: int | None) -> str:
    """``trailing by 3``, ``level``, ``leading by 7``."""
    if lead is None:
        return "score not logged"
    if lead == 0:
        return "level"
    return f"{'leading' if lead > 0 else 'trailing'} by {abs(lead)}"


def describe_option(option: LoggedOption) -> str:
    """An option in a few words.

    >>> describe_option(LoggedOption("post", "throw", route="post", air_yards=18,
    ...                              third="middle", window="narrow"))
    'post, 18 air yards, middle, narrow'
    """
    if option.kind == "throw":
        parts = [option.route or option.id]
        if option.air_yards is not None:
            one = abs(option.air_yards) == 1
            parts.append(f"{option.air_yards} air yard{'' if one else 's'}")
        if option.third is not None:
            parts.append(option.third)
        elif option.side is not None:
            parts.append(f"to the {option.side}")
        if option.window is not None:
            parts.append("window not visible" if option.window == "unseen" else option.window)
    else:
        parts = [_KINDS[option.kind]]
        if option.gap is not None:
            parts.append("off the " + option.gap if option.gap != "middle" else "up the middle")
        if option.side is not None:
            parts.append(f"into the {option.side}")
        elif option.third is not None:
            parts.append(option.third)
    if option.reaction > 1:
        parts.append("after the play broke down")
    return ", ".join(parts)


def describe_result(snap: Snap) -> str:
    """What came of a snap, in one line.

    A flag that took the play back is said last, so that the decision stays in view.
    """
    done = snap.happened
    text = _what(snap)
    if done.fumble == "lost":
        text += ", fumbled and lost"
    elif done.fumble == "kept":
        text += ", fumbled and kept"
    if done.touchdown and snap.call.family != "try":
        text += ", touchdown"
    if done.safety:
        text += ", safety"
    if done.defense_scored:
        text += ", run back for a touchdown"
    elif done.end_yards_to_goal is not None:
        # The spot is kept from the other side's view; the words are ours.
        text += f", their ball at {write_spot(100 - done.end_yards_to_goal)}"
    if done.flag is not None:
        text += f"; {_flag(done.flag)}"
        if wiped_out(done) and done.result != "no-play":
            text += ", the play does not count"
    return text


def _what(snap: Snap) -> str:
    done = snap.happened
    result, yards = done.result, done.yards
    target = _target(snap)
    if snap.call.family == "try":
        good = result == "good" or done.touchdown
        return "try good" if good else "try no good"
    if result is None:
        return "result not logged"
    if result == "complete":
        caught = f"{target} complete" if target else "complete"
        return caught + _for(yards)
    if result in _THROWN:
        return f"{target} {_THROWN[result]}" if target else _THROWN[result]
    if result == "interception":
        return f"{target} intercepted" if target else "intercepted"
    if result == "run":
        return _carrier(snap) + _for(yards)
    simple = {"throw-away": "thrown away", "spike": "spiked", "kneel": "kneel",
              "no-play": "no play", "blocked": "kick blocked",
              "good": "field goal good", "no-good": "field goal no good"}  # fmt: skip
    if result in simple:
        return simple[result]
    if result == "punt":
        return "punt" if yards is None else f"punt, {yards} yards"
    if result == "sack":
        return "sacked" + (f", loss of {-yards}" if yards else "")
    return result + _for(yards)


def _target(snap: Snap) -> str | None:
    """The route thrown, where the throw was an option of the snap."""
    chosen = next((o for o in snap.options if o.id == snap.happened.chosen), None)
    if chosen is None or chosen.kind != "throw":
        return None
    return chosen.route or chosen.id


def _carrier(snap: Snap) -> str:
    chosen = next((o for o in snap.options if o.id == snap.happened.chosen), None)
    if chosen is not None and chosen.kind in ("give", "keep", "pitch"):
        return chosen.kind
    if snap.call.family == "qb-run":
        return "quarterback run"
    return "hand-off" if snap.call.family == "hand-off" else "run"


def _for(yards: int | None) -> str:
    if yards is None:
        return ""
    if yards == 0:
        return " for no gain"
    return f" for {yards}" if yards > 0 else f" for a loss of {-yards}"


def _flag(flag: Flag) -> str:
    foul = f" ({flag.foul})" if flag.foul else ""
    if flag.decision == "offset":
        return "flags on both sides offset"
    end = "declined" if flag.decision == "declined" else (
        f"{flag.yards} yards" if flag.yards is not None else "accepted"
    )  # fmt: skip
    return f"flag on the {flag.side}{foul}, {end}"
