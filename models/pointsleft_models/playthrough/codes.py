"""Codes that the fitted parts, the engine and the chain share: moods, scripts, events, draws."""

from __future__ import annotations

import numpy as np

Array = np.ndarray

#: Highest lead of every class of the score, the last open: behind by three scores and more, two
#: touchdowns, two scores, one touchdown, a field goal that levels, one that leads, level; ahead by
#: a field goal, one score, two, more.
SCORE_EDGES = (-17, -12, -9, -4, -3, -1, 0, 3, 8, 16)
SCORES = len(SCORE_EDGES) + 1

#: Clock readings (seconds left in the half) at which the parts are tabulated.
CLOCKS = np.array(
    (
        *range(11), *range(12, 32, 2), *range(35, 65, 5), *range(70, 130, 10), 140, 160, 180, 210,
        240, 270, 300, 360, 420, 500, 600, 750, 900, 1200, 1500, 1800,
    )
)  # fmt: skip

LONGEST_TO_GO = 20
SPOTS = 99
HALF_SECONDS = 1800

#: How a drive is being played, as far as yards depend on it.
USUAL, BURNING, HURRIED, LAST_PLAY, SETTING_UP, CHASING = range(6)
SCRIPTS = 6
BURN_FROM, HURRY_FROM, LAST_FROM = 300, 120, 8

#: Most points behind at which a field goal wins, so that a side in range sets it up.
KICK_LEADS = 2

#: Last seconds of a half in which a kneel, a spike, a kick before fourth down are thought of, and
#: yards to goal from which the last.
KNEEL_FROM, SPIKE_FROM, LAST_KICK_FROM, LAST_KICK_SPOT = 180, 150, 40, 49

#: Seconds of a kneel (from memory), and of the play clock after it (rule book).
KNEEL_SECONDS, KNEEL_PLAY_CLOCK = 2, 40

#: Last seconds of the game in which the score changes how well plays go, not only which.
PRESS_FROM = 480

#: Within range of a field goal at the end of a half, yards to goal.
IN_RANGE = 37

#: Late in a half the spot changes what the score asks for: from so many seconds left.
LATE_FROM = 180

#: Last seconds of a half in which its end is played for; the coarse game has none of them.
ENDS_FROM = max(LATE_FROM, KNEEL_FROM, SPIKE_FROM, LAST_KICK_FROM)

#: Where a drive late in a half stands: in range, near it, or far; highest yards to goal.
ZONE_EDGES = (IN_RANGE, 62)
ZONES = len(ZONE_EDGES) + 1
FAR = ZONES - 1

#: Plays that stop the clock are over sooner in so many last seconds of a half: shorter throws,
#: runners who get out of bounds.
QUICK_FROM = 60

#: Zones are told apart in so many last seconds of a half.
ZONED_FROM = 300

#: A clock run down before a time-out: from so many seconds, to so many, at most the last of which.
DRAIN_FROM, DRAINED_TO, DRAINED = 60, 3, 6

#: Seconds left from which a side that a field goal serves, in range, kicks whatever the down. A
#: judgement: the archive has too few such snaps for the fit, and in 60 of 61 level games with
#: 20 to 50 seconds left and the ball within the 30 the kick was tried.
KICK_NOW = 8

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
    [0, 3, 4, 6, 7, 8, 9, 10]
    """
    return np.searchsorted(np.asarray(SCORE_EDGES), lead, side="left")


def pressing(half: Array, seconds: Array, score: Array) -> Array:
    """Class of the score where it presses, late in the game; ``SCORES`` everywhere else.

    Before that a side that leads plays no better for leading, it leads for playing better.
    """
    return np.where((half == 1) & (seconds <= PRESS_FROM), score, SCORES)


def three_serve(half: Array | int, lead: Array | int) -> Array | bool:
    """Whether three points at the end of the half are worth having."""
    return (half == 1) | ((lead <= 0) & (lead >= -3))


def kick_serves(half: Array, lead: Array, yards_to_goal: Array) -> Array:
    """Whether a field goal before a half of regulation ends is worth having, and near enough."""
    return (half < 3) & three_serve(half, lead) & (yards_to_goal <= IN_RANGE)


def zone(yards_to_goal: Array, seconds: Array) -> Array:
    """0 in range of a field goal, 1 near it, 2 far, or early in the half."""
    late = np.searchsorted(np.asarray(ZONE_EDGES), yards_to_goal, side="left")
    return np.where(seconds <= ZONED_FROM, late, FAR)


def clock_lookup() -> Array:
    """(``HALF_SECONDS`` + 1,) index of the nearest reading of :data:`CLOCKS`."""
    seconds = np.arange(HALF_SECONDS + 1)
    return np.abs(seconds[:, None] - CLOCKS[None, :]).argmin(1)


def script(half: Array, seconds: Array, lead: Array, yards_to_goal: Array) -> Array:
    """How the drive is played, from half (0 first, 1 later), seconds left in it, lead and spot."""
    burning = (half == 1) & (seconds <= BURN_FROM) & (lead > 0)
    chasing = (half == 0) | (lead <= 0)
    hurried = chasing & (seconds <= HURRY_FROM)
    last = chasing & (seconds <= LAST_FROM)
    kick = hurried & (half == 1) & (lead >= -KICK_LEADS) & (yards_to_goal <= IN_RANGE)
    return np.select(
        [burning, kick, last, hurried & (half == 1), hurried],
        [BURNING, SETTING_UP, LAST_PLAY, CHASING, HURRIED],
        USUAL,
    )


# What the offense is about to do.
(CALL_OPEN, CALL_RUN, CALL_PASS, CALL_PLAY, CALL_PUNT, CALL_KICK, CALL_KNEEL, CALL_SPIKE, CALL_FLAG,
 CALL_LET_SCORE, CALL_SAFETY) = range(-1, 10)  # fmt: skip

# Rows of one step's draws: every game uses the same row for the same question, so that two runs
# from one seed meet the same luck.
(DRAW_KNEEL, DRAW_FLAG, DRAW_SIDE, DRAW_KICK, DRAW_GO, DRAW_PASS, DRAW_SACK, DRAW_SCRAMBLE,
 DRAW_PICK, DRAW_CATCH, DRAW_FUMBLE, DRAW_OUT, DRAW_OWN_TIME, DRAW_OTHER_TIME, DRAW_SPIKE, DRAW_TWO,
 DRAW_ONSIDE) = range(17)  # fmt: skip
#: Rows above are needed as log odds, rows below as they are.
LOGIT_DRAWS = 17
(DRAW_GAIN, DRAW_WAIT, DRAW_LASTS, DRAW_BALL, DRAW_MAKE, DRAW_BLOCK, DRAW_TRY, DRAW_KICKOFF,
 DRAW_RETURN, DRAW_RECOVER) = range(17, 27)  # fmt: skip
DRAWS = 27

# How a half's next score went, seen from team 0; the order of the next-score model.
(NO_SCORE, TOUCHDOWN, FIELD_GOAL, SAFETY, SAFETY_AGAINST, FIELD_GOAL_AGAINST,
 TOUCHDOWN_AGAINST) = range(7)  # fmt: skip
