"""The parts of the play-through that run the clock: waits, lengths of plays, time-outs, spikes."""

from __future__ import annotations

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.playthrough import codes
from pointsleft_models.recipes import playthrough_clock_rows as rows
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.playthrough_bases import HALVES, SCORES

AFTERS = Levels("after", codes.AFTERS)
CLOCK_BENDS = Bends("clock", (0, 20, 45, 80, 120, 180, 300, 600, 1800))
LATE_BENDS = Bends("clock", (0, 20, 60, 120, 240, 600))
FINE = (0, 2, 4, 6, 8, 10, 13, 16, 20, 25, 30, 34, 37, 40, 43, 46, 50, 60)
LATE = (0, 6, 14, 24, 36, 50)
COARSE = Bends(YARDS, (0, 3, 6, 14, 24, 34, 42, 50))

#: Seconds until time is called, coarsely: at once, or with the clock run down.
WAITED = Bends(YARDS, (0, 5, 8, 14, 30, 44))

ZONES = Levels("zone", codes.ZONES)
TIMEOUT_ASKS = ("clock", "score", "half0", "left", "still", "after")


def _calls_time(knots: tuple[float, ...], *more: Term) -> Basis:
    """Who calls time, after what, with how much left."""
    return Basis(
        (
            Term((HALVES, Bends("clock", (0, 10, 20, 45, 80, 120, 180, 300, 900, 1800))), 1.0),
            Term((HALVES, SCORES, Bends("clock", knots)), 2.0),
            Term((Levels("left", 4), LATE_BENDS), 2.0),
            Term((Levels("still", 2), HALVES, LATE_BENDS), 1.0),
            Term((AFTERS, HALVES, Bends("clock", (0, 20, 60, 120, 300))), 1.0),
            *more,
        )
    )


PLAYTHROUGH_CLOCK = (
    Component(
        "wait",
        rows.waits,
        ("clock", "score", "half0", "after", "zone"),
        Basis(
            (
                Term((Bends(YARDS, FINE),), 1.0),
                Term((AFTERS, Bends(YARDS, (0, 2, 4, 6, 10, 14, 24, 30, 36, 42, 50))), 1.0),
                Term((CLOCK_BENDS, COARSE), 3.0),
                Term((AFTERS, Bends("clock", (0, 20, 60, 150, 300)), Bends(YARDS, LATE)), 3.0),
                Term(
                    (ZONES, HALVES, Bends("clock", (0, 20, 40, 80, 150, 300)), Bends(YARDS, LATE)),
                    1.0,
                ),
                Term((HALVES, SCORES, Bends(YARDS, (0, 6, 14, 24, 34, 42, 50))), 3.0),
                Term((HALVES, SCORES, LATE_BENDS, Bends(YARDS, (0, 14, 34, 50))), 3.0),
            )
        ),
        gain="wait",
        scored="unseen",
        low=0,
    ),
    Component(
        "kneel wait",
        rows.kneel_waits,
        ("half0",),
        Basis((Term((Bends(YARDS, (25, 30, 33, 36, 38, 39, 40, 41, 42, 43, 45, 50, 60)),), 0.3),)),
        gain="wait",
        scored="unseen",
        low=25,
    ),
    Component(
        "lasts",
        rows.lengths,
        ("how", "quick"),
        Basis(
            (
                Term((Bends(YARDS, (0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 25)),), 1.0),
                Term(
                    (
                        Levels("how", codes.LASTS),
                        Bends(YARDS, (0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 25)),
                    ),
                    0.3,
                ),
                Term(
                    (
                        Levels("how", codes.LASTS),
                        Levels("quick", 2),
                        Bends(YARDS, (0, 2, 3, 4, 5, 6, 8, 10)),
                    ),
                    0.2,
                ),
            )
        ),
        gain="lasts",
        scored="unseen",
        low=0,
    ),
    Component(
        "own time-out",
        rows.own_choice,
        (*TIMEOUT_ASKS, "zone"),
        _calls_time(
            (0, 30, 80, 130, 300, 1800),
            Term((ZONES, HALVES, SCORES, Bends("clock", (0, 15, 30, 45, 90, 150))), 1.0),
            Term((ZONES, Levels("still", 2), Bends("clock", (0, 15, 30, 60, 150))), 1.0),
        ),
        yes="calls",
    ),
    Component(
        "other time-out",
        rows.other_choice,
        TIMEOUT_ASKS,
        _calls_time((0, 30, 80, 130, 180, 300, 1800)),
        yes="calls",
    ),
    Component(
        "time-out wait",
        rows.called_time,
        ("clock", "whose", "score", "half0", "zone"),
        Basis(
            (
                Term((Bends(YARDS, (0, 3, 4, 5, 6, 7, 8, 10, 14, 20, 28, 34, 40, 46, 60)),), 1.0),
                Term(
                    (
                        Levels("whose", 2),
                        Bends("clock", (0, 20, 60, 120, 180, 300, 600, 1800)),
                        Bends(YARDS, (0, 4, 6, 8, 14, 28, 36, 44)),
                    ),
                    1.0,
                ),
                Term((Levels("whose", 2), HALVES, ZONES, WAITED), 1.0),
                Term((Levels("whose", 2), HALVES, SCORES, WAITED), 2.0),
                Term(
                    (
                        Levels("whose", 2),
                        ZONES,
                        HALVES,
                        Bends("clock", (0, 20, 40, 60, 90, 150)),
                        WAITED,
                    ),
                    2.0,
                ),
                Term((HALVES, SCORES, ZONES, WAITED), 3.0),
            )
        ),
        gain="wait",
        scored="unseen",
        low=0,
    ),
    Component(
        "time-out drained",
        rows.drained,
        ("zone", "clock", "score", "half0"),
        Basis(
            (
                Term((ZONES, Bends("clock", (8, 15, 25, 40, 60))), 1.0),
                Term((ZONES, HALVES, SCORES), 3.0),
            )
        ),
        yes="drained",
    ),
    Component(
        "spike",
        rows.spike_choice,
        ("clock", "score", "half0", "left", "zone"),
        Basis(
            (
                Term((HALVES, Bends("clock", (0, 10, 20, 40, 60, 90, 150))), 2.0),
                Term((HALVES, SCORES, Bends("clock", (0, 40, 80, 150))), 2.0),
                Term((ZONES, HALVES, Bends("clock", (0, 10, 20, 40, 80, 150))), 0.3),
                Term((Levels("left", 4), ZONES), 0.5),
            )
        ),
        yes="spikes",
    ),
    Component(
        "spike wait",
        rows.spiked,
        ("clock",),
        Basis(
            (
                Term((Bends(YARDS, (0, 5, 8, 11, 14, 17, 20, 24, 30, 40)),), 1.0),
                Term((Bends("clock", (0, 40, 150)), Bends(YARDS, (0, 12, 20, 30))), 5.0),
            )
        ),
        gain="wait",
        scored="unseen",
        low=0,
    ),
)
