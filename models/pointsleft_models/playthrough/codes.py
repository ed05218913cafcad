"""Codes that the fitted parts, the engine and the chain share: moods, scripts, events, draws."""

from __future__ import annotations

import numpy as np

Array = np.ndarray

#: Highest lead of every class of the score, the last open: behind by three scores and more, two
#: touchdowns, two scores, one touchdown, a field goal, level, and the same ahead.
SCORE_EDGES = (-17, -12, -9, -4, -1, 0, 3, 8, 16)
SCORES = len(SCORE_EDGES) + 1

#: Clock readings (seconds left in the half) at which the parts are tabulated.
CLOCKS = np.array(
    [*range(11), *range(12, 32, 2), *range(35, 65, 5), *range(70, 130, 10), 140, 160, 180, 210]
    + [240, 270, 300, 360, 420, 500, 600, 750, 900, 1200, 1500, 1800]
)

LONGEST_TO_GO = 20
SPOTS = 99
HALF_SECONDS = 1800

#: How a drive is being played, as far as yards depend on it.
USUAL, BURNING, HURRIED, LAST_PLAY = range(4)
SCRIPTS = 4
BURN_FROM, HURRY_FROM, LAST_FROM = 300, 120, 8

# What a play was; also the codes of the log of a run.
RUN, CATCH, INCOMPLETE, SACK, SCRAMBLE = range(5)
INTERCEPTION, FUMBLE_LOST, KNEEL, SPIKE, PUNT = range(5, 10)
GOOD, MISSED, FLAG, LET_SCORE = range(10, 14)

# Plays by the wait that follows them while the clock runs.
AFTER_RUN, AFTER_CATCH, AFTER_SACK, AFTER_OUT, AFTER_KNEEL, AFTER_FLAG = range(6)
AFTERS = 6

# Plays by how long they last where the clock stops when they end.
(LASTS_INCOMPLETE, LASTS_OUT, LASTS_TURNOVER, LASTS_PUNT, LASTS_KICK, LASTS_TOUCHDOWN,
 LASTS_RETURN, LASTS_SPIKE) = range(8)  # fmt: skip
LASTS = 8

LONGEST_WAIT, LONGEST_LAST = 60, 25

# Who may lose the ball by a fumble.
FUMBLE_RUN, FUMBLE_CATCH, FUMBLE_SACK, FUMBLE_SCRAMBLE = range(4)

#: Lead after a touchdown, before the try, beyond which no difference is made.
MOST_GAP = 20


def score_class(lead: Array) -> Array:
    """Class of the lead of the offense (points), 0 to ``SCORES`` - 1.

    >>> [int(score_class(np.array(x))) for x in (-30, -7, -3, 0, 3, 7, 14, 30)]
    [0, 3, 4, 5, 6, 7, 8, 9]
    """
    return np.searchsorted(np.asarray(SCORE_EDGES), lead, side="left")


def clock_lookup() -> Array:
    """(``HALF_SECONDS`` + 1,) index of the nearest reading of :data:`CLOCKS`."""
    seconds = np.arange(HALF_SECONDS + 1)
    return np.abs(seconds[:, None] - CLOCKS[None, :]).argmin(1)


def script(half: Array, seconds: Array, lead: Array) -> Array:
    """How the drive is played, from half (0 first, 1 later), seconds left in it, and lead."""
    burning = (half == 1) & (seconds <= BURN_FROM) & (lead > 0)
    chasing = (half == 0) | (lead <= 0)
    hurried = chasing & (seconds <= HURRY_FROM)
    last = chasing & (seconds <= LAST_FROM)
    return np.where(burning, BURNING, np.where(last, LAST_PLAY, np.where(hurried, HURRIED, USUAL)))
