"""How open a receiver was: the window words of the log as moves of the log odds of a catch."""

from __future__ import annotations

from collections.abc import Callable

from pointsleft.log.record import UNSEEN, LoggedOption, Range, Snap
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.model import Judged


def openness(air_yards: int) -> float:
    """How much more open thrown passes of this depth are than the middle of the window scale."""
    deep = max(air_yards - 5, 0)
    return judged("window.selection").value + judged("window.selection.depth").value * deep


def word_odds(word: str) -> Judged:
    """A window word on the log-odds scale, with its range."""
    row = judged(f"window.{word}")
    return Judged("", word, row.value, row.low, row.high)


def window_judgement(
    snap: Snap,
    option: LoggedOption,
    air_yards: int,
    assumed: list[str],
    odds_at: Callable[[float], float],
) -> Judged:
    """The main judgement of a throw, relative to passes that were thrown.

    Parameters
    ----------
    assumed
        Takes the codes of the judgements that stood in for what the log did not say.
    odds_at
        The judgement at which the throw is completed with a chance.
    """
    subject = f"window of {option.id}"
    if option.chance is not None:
        return _stated(subject, option.chance, odds_at)
    chosen = snap.happened.chosen == option.id
    if option.window is None and chosen:
        row = judged("window.thrown")
        selection = judged("window.selection").value
        assumed.append(row.code)
        return Judged(
            subject, "as thrown passes are", row.value - selection, row.low - selection,
            row.high - selection,
        )  # fmt: skip
    moved = openness(air_yards)
    word = option.window
    if word is None:
        word, row = "default", judged("window.default")
        assumed.append(row.code)
        said = "even (assumed)"
    elif word == UNSEEN:
        assumed.append("window.unseen")
        row, said = judged("window.unseen"), "not visible"
    else:
        row, said = judged(f"window.{word}"), word
    low = word_odds(option.window_low).value if option.window_low else row.low
    high = word_odds(option.window_high).value if option.window_high else row.high
    value = min(max(row.value, low), high)
    return Judged(subject, said, value - moved, low - moved, high - moved)


def _stated(subject: str, chance: Range, odds_at: Callable[[float], float]) -> Judged:
    low, value, high = (
        odds_at(min(max(p, 0.005), 0.995)) for p in (chance.low, chance.value, chance.high)
    )
    return Judged(subject, f"{100 * chance.value:.0f}% complete", value, low, high)
