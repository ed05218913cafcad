"""Where the choice turns: the best call by field position and yards to go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from pointsleft_models.bundle import Worth

from pointsleft.calls.downs import downs
from pointsleft.calls.many import ManyCalls, plans
from pointsleft.calls.parts import OPTIONS
from pointsleft.calls.settling import best_and_share
from pointsleft.pricing.result import Currency
from pointsleft.pricing.settings import SLIGHT

Array = np.ndarray

#: Yards to go of the map.
MOST_TO_GO = 12


@dataclass(frozen=True, slots=True)
class Turn:
    """A map of the best call.

    Attributes
    ----------
    yards_to_goal, distances
        Columns (99 to 1) and rows (1 to 12).
    best
        [distance][spot] word of :data:`~pointsleft.calls.parts.OPTIONS`; empty where the line to
        gain would lie beyond the goal line.
    settled
        [distance][spot] whether the refits settle it (slight or firm).
    critical
        By spot: yards to go at which going and the best kick tie (point fit), 0 where kicking is
        better even with one to go; never more than the rows of the map.
    """

    situation: str
    currency: Currency
    rules: str
    yards_to_goal: tuple[int, ...]
    distances: tuple[int, ...]
    best: tuple[tuple[str, ...], ...]
    settled: tuple[tuple[bool, ...], ...]
    critical: tuple[float, ...]


def turn_map(
    worth: Worth,
    *,
    half: int = 1,
    half_seconds: int = 480,
    lead: int = 0,
    currency: Currency = "wins",
) -> Turn:
    """Work the map out; three time-outs on both sides.

    Parameters
    ----------
    half, half_seconds, lead
        When, and points ahead.
    """
    spots = np.arange(99, 0, -1)
    inside, values = _values(worth, spots, half, half_seconds, lead, currency)
    best, share = best_and_share(values)
    words = np.full(inside.shape, "", dtype=object)
    words[inside] = np.array(OPTIONS, dtype=object)[best]
    sure = np.zeros(inside.shape, dtype=bool)
    sure[inside] = share >= SLIGHT
    return Turn(
        situation=_when(half, half_seconds, lead),
        currency=currency,
        rules=worth.rules.name,
        yards_to_goal=tuple(int(s) for s in spots),
        distances=tuple(range(1, MOST_TO_GO + 1)),
        best=tuple(tuple(row) for row in words),
        settled=tuple(tuple(bool(c) for c in row) for row in sure),
        critical=tuple(float(c) for c in _ties(inside, values[..., :1])[0]),
    )


def frontier(
    worth: Worth,
    spots: Sequence[int],
    *,
    half: int = 1,
    half_seconds: int = 1500,
    lead: int = 0,
    currency: Currency = "points",
) -> Array:
    """(1 + refits, spots) yards to go at which going and the best kick tie, under every fit.

    Parameters
    ----------
    spots
        Yards to the goal line.
    half, half_seconds, lead
        When, and points ahead; ten minutes left in the first quarter unless told otherwise.
    """
    return _ties(*_values(worth, spots, half, half_seconds, lead, currency))


def _values(
    worth: Worth,
    spots: Sequence[int] | Array,
    half: int,
    half_seconds: int,
    lead: int,
    currency: Currency,
) -> tuple[Array, Array]:
    """Where (distances, spots) the line to gain is on the field, and the values (cells, options,
    fits) there."""
    go, spot = np.meshgrid(np.arange(1, MOST_TO_GO + 1), spots, indexing="ij")
    inside = go <= spot
    found = ManyCalls(worth, plans(worth.models, worth.rules)).values(
        downs(distance=go[inside], yards_to_goal=spot[inside], half=half,
              half_seconds=half_seconds, lead=lead)
    )  # fmt: skip
    return inside, found.points if currency == "points" else found.wins


def _ties(inside: Array, values: Array) -> Array:
    """(fits, spots) yards to go at which going and the best kick tie."""
    gaps = np.full((*inside.shape, values.shape[-1]), np.nan)
    gaps[inside] = values[:, 0] - np.nanmax(values[:, 1:], axis=1)
    return np.array([[critical(gap) for gap in spot.T] for spot in gaps.transpose(1, 0, 2)]).T


def critical(gaps: Array) -> float:
    """Yards to go at which a gap (from one yard on, falling) crosses zero; straight between yards.

    >>> critical(np.array([2.0, 1.0, -1.0]))
    2.5
    """
    known = gaps[~np.isnan(gaps)]
    below = np.flatnonzero(known <= 0)
    if not len(below):
        return float(len(known))
    first = int(below[0])
    if first == 0:
        return 0.0
    before, after = float(known[first - 1]), float(known[first])
    return first + before / (before - after)


def _when(half: int, half_seconds: int, lead: int) -> str:
    from pointsleft.log.cells import write_clock
    from pointsleft.log.words import lead_words, period_words

    period = 2 * half - (1 if half_seconds > 900 else 0)
    left = half_seconds - 900 if half_seconds > 900 else half_seconds
    return f"{lead_words(lead)}, {write_clock(left)} left in {period_words(period)}"
