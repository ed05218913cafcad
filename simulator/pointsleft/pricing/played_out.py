"""The second witness beside the regression: a situation played out to its end.

The regressions read values off what came after situations like it. The play-through knows
nothing of that: it plays the rest from fitted single plays, snap by snap. Where the two part by
more than both may be off, one of them has something wrong there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.teams import Teams
from pointsleft_models.playthrough.witness import Witness, second_witness

from pointsleft.log.words import describe_situation, spread_words
from pointsleft.pricing.cells import snap_values
from pointsleft.pricing.result import Beside, Currency, PlayedOut

Array = np.ndarray

#: Games that a situation is played out: the standard error is at most .8% WP and about .07 points.
GAMES = 4000

#: Games where it is the only one, or the calls of one fourth down: at most .5% WP.
ALONE = 10_000

#: Standard deviations of the joint spread that hold nine tenths of a normal law.
JOINT = 1.645


def spread_of(by_fit: Array) -> float:
    """Standard deviation of a value over the refits, (1 + refits,) with the point fit first."""
    return float(np.std(by_fit[1:])) if len(by_fit) > 1 else 0.0


def beside(value: float, spread: float, played: float, error: float) -> Beside:
    """One value before both witnesses.

    Parameters
    ----------
    value, spread
        By the regression, and how far its refits spread (:func:`spread_of`).
    played, error
        Played out, with the standard error of the draws.

    Returns
    -------
    Beside
        ``apart`` where the gap is wider than the 90% range of both errors together. The errors
        are of different kinds and independent: how far refits spread, and the luck of the draw.
        What the parts of the play-through may be off by is in neither.
    """
    apart = abs(played - value) > JOINT * math.hypot(spread, error)
    return Beside(value, spread, played, error, bool(apart))


def play_out(
    worth: Worth,
    parts: Parts,
    teams: Teams,
    situation: Situation,
    when: str,
    *,
    games: int = GAMES,
    seed: int | Sequence[int] = 1,
) -> PlayedOut:
    """One situation by the regressions and played out.

    Parameters
    ----------
    parts, teams
        The play-through under the rules of ``worth``.
    when
        Where the situation stands, in words.
    """
    situation, sides = sides_of(worth, situation)
    values = snap_values(worth, situation, gun=True, box=None)
    seen = second_witness(
        parts, teams, worth.points, situation, games=games, seed=seed,
        seconds=values.setting.half_seconds,
    )  # fmt: skip
    both: dict[Currency, Beside] = {}
    for currency, (played, error) in seen_in(seen).items():
        spread = spread_of(values.before_all(currency))
        both[currency] = beside(values.before(currency), spread, played, error)
    return PlayedOut(
        when, describe_situation(situation), games, both.get("points"), both.get("wins"), sides
    )


def sides_of(worth: Worth, situation: Situation) -> tuple[Situation, str]:
    """The situation as both witnesses can take it, and what a reader must know of the sides.

    A pre-game spread is known to both or to neither, so that the same thing is compared.
    """
    if situation.spread is None:
        return situation, ""
    who = spread_words(situation.spread)
    if situation.overtime or worth.wins.favoured is None:
        why = "in overtime" if situation.overtime else f"at level {worth.models.level}"
        told = f"Equal teams before both: the model does not know the spread ({who}) {why}."
        return situation.with_(spread=None), told
    return situation, f"Wins know the pre-game spread before both ({who}); points take equal teams."


def seen_in(seen: Witness) -> dict[Currency, tuple[float, float]]:
    """Mean and standard error of what was played out, in each currency that is defined."""
    found: dict[Currency, tuple[float, float]] = {}
    if seen.points is not None and seen.points_error is not None:
        found["points"] = seen.points, seen.points_error
    if seen.wins is not None and seen.wins_error is not None:
        found["wins"] = seen.wins, seen.wins_error
    return found
