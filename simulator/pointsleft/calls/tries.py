"""After a touchdown: kick or two points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.fitting.logit import expit
from pointsleft_models.football.rules import RuleSet
from pointsleft_models.values.ending import end_value
from pointsleft_models.values.kickoffs import Kickoff

from pointsleft.calls.kicker import Kicks, kick_odds
from pointsleft.calls.result import Settled, Try
from pointsleft.calls.settling import settle
from pointsleft.log.cells import write_clock
from pointsleft.log.words import lead_words, period_words
from pointsleft.pricing.beforehand import spread_told

Array = np.ndarray

TRIES = ("kick", "two points")


@dataclass(frozen=True, slots=True)
class TrySpot:
    """The moment of a try, seen from the team that has scored.

    Attributes
    ----------
    lead
        Points ahead with the six in.
    seconds
        Left in the period.
    """

    period: int
    seconds: int
    lead: int
    own_timeouts: int = 3
    other_timeouts: int = 3
    receives_second_half: bool | None = None
    spread: float | None = None  # points by which it was favoured before the game


def price_try(
    worth: Worth,
    at: TrySpot,
    *,
    pair: float | None = None,
    record: tuple[Kicks, ...] = (),
    weather: tuple[str, ...] = (),
) -> Try:
    """Price both tries in regulation.

    Parameters
    ----------
    pair
        A stated chance of two points; the fitted one where absent.
    record, weather
        The kicker's own field goals, and words of the weather: they move the log odds of the kick
        as they move a field goal's.

    Raises
    ------
    ValueError
        In overtime, where touchdowns end games or are answered under rules of their own.
    """
    if not 1 <= at.period <= 4:
        raise ValueError(f"period {at.period}: a try is priced in regulation, periods 1 to 4")
    none, one, two = (_after(worth, at, extra) for extra in (0, 1, 2))
    kick, fitted = _chances(worth, len(none))
    moved, notes = kick_odds(worth.kicking, record, weather)
    kick = expit(np.log(kick / (1 - kick)) + moved)
    made = fitted if pair is None else np.full(len(none), pair)
    by_kick = kick * one + (1 - kick) * none
    by_pair = made * two + (1 - made) * none
    gain = float(two[0] - none[0])
    tie = float(kick[0] * (one[0] - none[0])) / gain if gain > 1e-9 else None
    return Try(
        situation=f"after a touchdown, {write_clock(at.seconds)} left in "
        f"{period_words(at.period)}, {lead_words(at.lead)} before the try",
        rules=worth.rules.name,
        lead=at.lead,
        none=float(none[0]),
        one=float(one[0]),
        two=float(two[0]),
        kick=float(kick[0]),
        pair=float(made[0]),
        value_kick=float(by_kick[0]),
        value_pair=float(by_pair[0]),
        tie=tie if tie is not None and 0 <= tie <= 1 else None,
        settled=settle(TRIES, np.stack([by_kick, by_pair], 1)),
        refits=worth.models.refits,
        beforehand=spread_told(worth.models, at.spread),
        notes=tuple(notes),
    )


def _chances(worth: Worth, fits: int) -> tuple[Array, Array]:
    """(fits,) chances of a kick and of two points, as the value of a touchdown uses them."""
    library = worth.library
    long = int(worth.rules.extra_point_snap >= 10)
    kick = library.logit("extra point").probability({"long": long}, refits=True)
    pair = library.logit("two-point").probability({"passed": 1}, refits=True)
    return np.broadcast_to(kick, (fits,)), np.broadcast_to(pair, (fits,))


def half_and_seconds(rules: RuleSet, at: TrySpot) -> tuple[int, int]:
    """Half (1 or 2) of the moment, and the seconds left in it."""
    later = rules.quarter_seconds if at.period in (1, 3) else 0
    return 1 if at.period <= 2 else 2, at.seconds + later


def _after(worth: Worth, at: TrySpot, extra: int) -> Array:
    """(fits,) chance to win before the kickoff that follows, with so many points of the try."""
    lead = at.lead + extra
    half, seconds = half_and_seconds(worth.rules, at)
    second = 0 if at.receives_second_half is None else 1 if at.receives_second_half else -1
    if seconds > 0:
        kickoff = Kickoff(lead, seconds, half, False, at.own_timeouts, at.other_timeouts,
                          second if half == 1 else 0, at.spread)  # fmt: skip
        return worth.valuation.kickoff_wins(kickoff, refits=True)
    if half == 2:
        return np.full(1 + worth.models.refits, float(end_value(np.array(lead))))
    sides = {1: (True,), -1: (False,), 0: (True, False)}[second]
    values = [
        worth.valuation.kickoff_wins(Kickoff(lead, 1800, 2, side, 3, 3, 0, at.spread), refits=True)
        for side in sides
    ]
    return np.asarray(np.mean(values, axis=0))


@dataclass(frozen=True, slots=True)
class TryChart:
    """Kick or two by score and time.

    Attributes
    ----------
    leads
        Rows: points ahead with the six in, before the try.
    minutes
        Columns: minutes left in the game.
    cells
        [row][column].
    """

    rules: str
    leads: tuple[int, ...]
    minutes: tuple[float, ...]
    cells: tuple[tuple[Settled, ...], ...]


#: Rows and columns of the chart.
LEADS = tuple(range(-15, 16))
MINUTES = (45.0, 30.0, 20.0, 15.0, 10.0, 6.0, 4.0, 2.0, 1.0)


def try_chart(
    worth: Worth, leads: Sequence[int] = LEADS, minutes: Sequence[float] = MINUTES
) -> TryChart:
    """Work the chart out, three time-outs on both sides."""
    rows = []
    for lead in leads:
        row = []
        for left in minutes:
            seconds = round(60 * left)
            period = 4 - min((seconds - 1) // 900, 3)
            spot = TrySpot(period, seconds - (4 - period) * 900, lead)
            row.append(price_try(worth, spot).settled)
        rows.append(tuple(row))
    return TryChart(worth.rules.name, tuple(leads), tuple(minutes), tuple(rows))


def down_fourteen(kick: float, pair: float, overtime: float = 0.5) -> tuple[float, float]:
    """Chance to win after the touchdown that cuts fourteen to eight, by hand.

    Asked at eight, with both later branches: the other side is held, a second touchdown is
    scored, no time is left, and overtime is won with the chance given.

    Returns
    -------
    tuple
        Kicking now (and, if it is good, again; two points are needed after a miss) and going for
        two now (a kick wins after two, two more points level it after none).

    >>> a, b = down_fourteen(1.0, 0.5)
    >>> round(a, 3), round(b, 3)
    (0.5, 0.625)
    """
    two_to_level = pair * overtime
    kick_first = kick * max(kick * overtime, pair) + (1 - kick) * two_to_level
    pair_first = pair * (kick + (1 - kick) * overtime) + (1 - pair) * two_to_level
    return kick_first, pair_first
