"""Axes and bases that the parts of the play-through share.

A part that is asked at every snap is a sum of terms in the spot (down, distance, yards to goal)
and terms in the mood (down, half, score, clock): two look-ups when it is used.
"""

from __future__ import annotations

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Line, Term
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.playthrough import codes

DOWNS = Levels("down0", 4)
SCORES = Levels("score", codes.SCORES)
HALVES = Levels("half0", 2)
TO_GO = Bends("to_go", (1, 2, 3, 4, 6, 8, 10, 13, 20))
TO_GO_COARSE = Bends("to_go", (1, 3, 6, 10, 15, 20))
BALL = Bends("yards_to_goal", (1, 2, 4, 7, 11, 16, 22, 30, 45, 70, 88, 94, 97, 99))
BALL_COARSE = Bends("yards_to_goal", (1, 5, 12, 25, 50, 85, 95, 99))
CLOCK = Bends("clock", (0, 10, 30, 60, 120, 180, 300, 480, 900, 1800))
CLOCK_COARSE = Bends("clock", (0, 60, 150, 300, 900, 1800))

PRESS = Levels("press", codes.SCORES + 1)

#: Every snap: where the ball is, and how the game stands.
SPOT = ("down0", "to_go", "yards_to_goal")
MOOD = ("clock", "score", "half0")
#: The same for parts that ask how well a play goes and not which is called.
PRESSED = ("clock", "press", "half0")

GAINS = (-10, -6, -4, -2, -1, 0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 30, 50, 99)
GAINS_COARSE = Bends(YARDS, (-10, -3, 0, 1, 2, 4, 7, 11, 16, 25))
GAINS_WIDE = Bends(YARDS, (-10, 0, 4, 10, 25))
GAINS_SCRIPT = Bends(YARDS, (-10, -3, -1, 0, 1, 3, 6, 12, 25))
START = (1, 4, 8, 12, 16, 19, 20, 21, 25, 32, 40, 50, 62, 75, 90, 99)


#: Teams that lead are the better teams more often than not; with their strength beside it the
#: score keeps only what it does itself.
STRENGTH = Term((Line("better"),))


def usual(stiffness: float = 3.0, *more: Term) -> Basis:
    """Spot and mood without anything special."""
    return Basis(
        (
            *more,
            Term((DOWNS, TO_GO), stiffness),
            Term((BALL,), stiffness),
            Term((HALVES, CLOCK_COARSE), stiffness),
            Term((PRESS, Bends("clock", (0, 8, 25, 60, 180, codes.PRESS_FROM))), stiffness),
            Term((DOWNS, HALVES, Bends("clock", (0, 30, 120, 300, 1800))), stiffness),
        )
    )


def gains(*more: Term) -> Basis:
    return Basis(
        (
            Term((Bends(YARDS, GAINS),), 1.0),
            Term((DOWNS, TO_GO_COARSE, GAINS_COARSE), 5.0),
            Term((Bends("yards_to_goal", (1, 2, 4, 7, 12, 20, 30, 50)), GAINS_COARSE), 3.0),
            Term((Bends("yards_to_goal", (85, 91, 95, 97, 99)), GAINS_WIDE), 3.0),
            *more,
        )
    )
