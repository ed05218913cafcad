"""The clock of a feed that reads it after some of its plays and not after others.

Two kinds of games are in it. In the one nearly every row has a reading of its own, taken when the
play was over (a pass falls incomplete five seconds after the time-out before it). In the other a
whole drive keeps the reading of its first row, and the next reading is that of a score, a
time-out or the next drive. Between readings the clock is spread over the rows by what a row of
its kind usually takes; so it is never off by more than a drive lasts.
"""

from __future__ import annotations

import numpy as np

Array = np.ndarray

#: Seconds from the snap until a play of the kind is over, and seconds until the next snap (with
#: those of the play), as they are in the games with a reading a row (rounded medians).
LASTS = {"run": 6, "pass": 6, "sack": 6, "kneel": 2, "spike": 1, "punt": 10, "field goal": 5,
         "kickoff": 5, "penalty": 4}  # fmt: skip
TAKES = {"run": 30, "pass": 20, "incomplete": 6, "sack": 30, "kneel": 40, "spike": 1, "punt": 10,
         "field goal": 5, "kickoff": 5, "penalty": 8}  # fmt: skip

#: Share of rows with a reading of their own from which on a game is read row by row.
DENSE = 0.5


def snap_clocks(clock: Array, period: Array, kind: Array, caught: Array, scored: Array) -> Array:
    """Seconds (n,) left in the period at the snap of every row of one game.

    Parameters
    ----------
    clock
        (n,) the readings, in order.
    period
        (n,) quarter.
    kind
        (n,) kind of row.
    caught
        (n,) a pass was caught.
    scored
        (n,) the row brought points.
    """
    out = clock.astype(float).copy()
    lasts = np.array([LASTS.get(k, 0) for k in kind], dtype=float)
    takes = np.array(
        [TAKES["incomplete" if k == "pass" and not c else k] if k in TAKES else 0
         for k, c in zip(kind, caught, strict=True)],
        dtype=float,
    )  # fmt: skip
    dense = is_dense(clock, period)
    for quarter in np.unique(period[period <= 4]):
        rows = np.flatnonzero(period == quarter)
        read = np.minimum.accumulate(clock[rows].astype(float))  # a reading never rises
        if dense:
            out[rows] = _row_by_row(read, lasts[rows])
        else:
            # scores and time-outs are read when they happen, a drive when it begins
            ends = np.isin(kind[rows], ["time-out", "other"]) | scored[rows]
            out[rows] = _spread(read, takes[rows], lasts[rows], ends)
    return np.clip(np.rint(out), 0, 900).astype(np.int32)


def is_dense(clock: Array, period: Array) -> bool:
    """Whether a game has a reading for most rows."""
    regulation = period <= 4
    many = max(int(regulation.sum()), 1)
    moments = len(np.unique(period[regulation] * 1000 + clock[regulation]))
    return moments >= DENSE * many


def _row_by_row(read: Array, lasts: Array) -> Array:
    """The snap came a play's length before the reading, but after the reading before."""
    before = np.concatenate([[900.0], read[:-1]])
    return np.minimum(read + lasts, before)


def _spread(read: Array, takes: Array, lasts: Array, ends: Array) -> Array:
    """Readings shared by several rows, spread between one reading and the next."""
    first = np.flatnonzero(np.concatenate([[True], np.diff(read) != 0]))
    at = read.copy()
    # a row read when it was over was snapped a play's length before
    own = first[ends[first] & (lasts[first] > 0)]
    at[own] = np.minimum(read[own] + lasts[own], np.concatenate([[900.0], read])[own])
    for here, following in zip(first, [*first[1:], len(read)], strict=True):
        inside = np.arange(here, following)
        last = at[following] if following < len(read) else 0.0
        if len(inside) < 2:
            continue
        # from the reading on; a score's own row has its play behind it
        used = takes[inside].copy()
        if ends[here]:
            used[0] = 0.0
        room = max(read[here] - last, 0.0)
        total = used.sum()
        if total > 0 and (following < len(read) or total > room):
            used *= room / total
        gone = np.concatenate([[0.0], np.cumsum(used)[:-1]])
        keep = at[here]
        at[inside] = read[here] - gone
        at[here] = keep
    return at
