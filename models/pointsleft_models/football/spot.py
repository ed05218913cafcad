"""Ball positions in every notation of the trade, and back.

Stored as yards to the opponent's goal line (1 to 99); written ``own 25``, ``50``, ``opp 40``.
"""

from __future__ import annotations

import re

_WORDS = re.compile(
    r"^(own|our|opp\.?|opponent'?s?|their|minus|plus|-|\+|−|–)?\s*(\d{1,2})(?:\s*(?:yd|yard)s?\.?"
    r"(?:\s*line)?)?$",
    re.IGNORECASE,
)
_OWN = {"own", "our", "minus", "-", "−", "–"}
_MIDFIELD = {"midfield", "mid", "fifty"}

ACCEPTED = "own 25, opp 40, 50, -25 (own), +40 (opponent's)"


class SpotError(ValueError):
    """A ball position that cannot be read."""


def read_spot(text: str) -> int:
    """Yards to the opponent's goal line of a written ball position.

    >>> [read_spot(s) for s in ("own 25", "-25", "minus 25", "50", "opp 40", "+40")]
    [75, 75, 75, 50, 40, 40]
    >>> [read_spot(s) for s in ("our 25", "midfield", "own25", "their 40 yard line")]
    [75, 50, 75, 40]

    A bare number other than 50 does not say whose side it is on and is refused.

    Raises
    ------
    SpotError
        Unreadable, ambiguous, or off the field.
    """
    cleaned = " ".join(str(text).strip().split())
    if cleaned.lower() in _MIDFIELD:
        return 50
    match = _WORDS.match(cleaned)
    if match is None:
        raise SpotError(f"{text!r} is no ball position; write one of: {ACCEPTED}")
    side, number = match.group(1), int(match.group(2))
    if not 1 <= number <= 50:
        raise SpotError(f"{text!r} is off the field; yard lines run from 1 to 50")
    if number == 50:
        return 50
    if side is None:
        raise SpotError(f"{text!r} does not say whose side; write own {number} or opp {number}")
    return 100 - number if side.lower() in _OWN else number


def write_spot(yards_to_goal: int) -> str:
    """The stored notation of a ball position.

    >>> write_spot(75), write_spot(50), write_spot(40)
    ('own 25', '50', 'opp 40')
    """
    if yards_to_goal == 50:
        return "50"
    return f"own {100 - yards_to_goal}" if yards_to_goal > 50 else f"opp {yards_to_goal}"
