"""The parts of the play-through that call and play the snaps, fitted on the play table.

A part that is asked at every snap is a sum of terms in the spot (down, distance, yards to goal)
and terms in the mood (down, half, score, clock): two look-ups when it is used.
"""

from __future__ import annotations

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Line, Term
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.playthrough import codes
from pointsleft_models.recipes import playthrough_rows as rows
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.playthrough_clock import HALVES, PLAYTHROUGH_CLOCK, SCORES

DOWNS = Levels("down0", 4)
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
START = (1, 4, 8, 12, 16, 19, 20, 21, 25, 32, 40, 50, 62, 75, 90, 99)


#: Teams that lead are the better teams more often than not; with their strength beside it the
#: score keeps only what it does itself.
STRENGTH = Term((Line("better"),))


def _usual(stiffness: float = 3.0, *more: Term) -> Basis:
    """Spot and mood without anything special."""
    return Basis(
        (
            *more,
            Term((DOWNS, TO_GO), stiffness),
            Term((BALL,), stiffness),
            Term((HALVES, CLOCK_COARSE), stiffness),
            Term((PRESS, Bends("clock", (0, 60, 180, codes.PRESS_FROM))), stiffness),
            Term((DOWNS, HALVES, Bends("clock", (0, 30, 120, 300, 1800))), stiffness),
        )
    )


def _gains(*more: Term) -> Basis:
    return Basis(
        (
            Term((Bends(YARDS, GAINS),), 1.0),
            Term((DOWNS, TO_GO_COARSE, GAINS_COARSE), 5.0),
            Term((Bends("yards_to_goal", (1, 2, 4, 7, 12, 20, 30, 50)), GAINS_COARSE), 3.0),
            Term((Bends("yards_to_goal", (85, 91, 95, 97, 99)), GAINS_WIDE), 3.0),
            *more,
        )
    )


PLAYTHROUGH = (
    Component("flag", rows.flags, (*SPOT, *PRESSED), _usual(), yes="flagged"),
    Component("flag on offense", rows.flagged, (*SPOT, *PRESSED), _usual(5.0), yes="on_offense"),
    Component(
        "flag first down",
        rows.short_flags,
        ("side", "shift"),
        Basis((Term((Levels("side", 2), Bends("shift", (-20, -10, 0, 3, 5, 6, 8, 12, 30))), 1.0),)),
        yes="fresh",
    ),
    Component(
        "flag uses down",
        rows.repeated_flags,
        ("side", "shift"),
        Basis(
            (
                Term(
                    (Levels("side", 2), Bends("shift", (-20, -11, -10, -9, -6, -5, -4, 0, 5, 30))),
                    1.0,
                ),
            )
        ),
        yes="used_down",
    ),
    Component(
        "flag yards, offense",
        rows.flagged_offense,
        ("yards_to_goal",),
        Basis(
            (
                Term((Bends(YARDS, (*range(-20, 6), 10, 20, 40)),), 0.1),
                Term(
                    (
                        Bends("yards_to_goal", (80, 88, 91, 94, 97, 99)),
                        Bends(YARDS, (-16, -15, -14, -11, -10, -9, -6, -5, -4, -2, 0, 10)),
                    ),
                    1.0,
                ),
            )
        ),
        gain="moved",
        scored="never",
        low=-20,
    ),
    Component(
        "flag yards, defense",
        rows.flagged_defense,
        ("yards_to_goal",),
        Basis(
            (
                Term((Bends(YARDS, (-10, *range(17), 18, 20, 25, 30, 40, 60)),), 0.1),
                Term(
                    (
                        Bends("yards_to_goal", (1, 4, 7, 10, 15, 22, 32, 50)),
                        Bends(YARDS, (0, 1, 2, 3, 4, 5, 6, 9, 14, 15, 16, 25, 40)),
                    ),
                    1.0,
                ),
            )
        ),
        gain="moved",
        scored="never",
        low=-10,
    ),
    Component(
        "pass",
        rows.called,
        (*SPOT, *MOOD),
        Basis(
            (
                Term((DOWNS, TO_GO, BALL_COARSE), 3.0),
                Term((HALVES, SCORES, CLOCK), 3.0),
                Term((DOWNS, HALVES, SCORES, Bends("clock", (0, 120, 400, 1800))), 5.0),
            )
        ),
        yes="passes",
    ),
    Component(
        "pass late",
        rows.called_late,
        ("half0", "score", "yards_to_goal", "clock"),
        Basis(
            (
                Term(
                    (HALVES, SCORES, Bends("yards_to_goal", (2, 20, 30, 38, 48, 62, 80, 99))), 1.0
                ),
                Term((HALVES, SCORES, Bends("clock", (0, 30, 70, 120, codes.LATE_FROM))), 1.0),
                Term(
                    (
                        HALVES,
                        Bends("yards_to_goal", (2, 20, 38, 48, 62, 80, 99)),
                        Bends("clock", (0, 15, 30, 50, 80, 120, codes.LATE_FROM)),
                    ),
                    1.0,
                ),
            )
        ),
        yes="passes",
        on="pass",
    ),
    Component(
        "sack", rows.dropbacks, (*SPOT, *PRESSED, "better"), _usual(5.0, STRENGTH), yes="sacked"
    ),
    Component("scramble", rows.unsacked, (*SPOT, *PRESSED), _usual(5.0), yes="scrambled"),
    Component(
        "interception",
        rows.thrown,
        (*SPOT, *PRESSED, "better"),
        _usual(8.0, STRENGTH),
        yes="intercepted",
    ),
    Component(
        "complete",
        rows.kept_throws,
        (*SPOT, *PRESSED, "better"),
        Basis(
            (
                STRENGTH,
                Term((DOWNS, TO_GO, BALL_COARSE), 5.0),
                Term((BALL,), 3.0),
                Term((HALVES, CLOCK), 5.0),
                Term((PRESS, Bends("clock", (0, 60, 180, codes.PRESS_FROM))), 5.0),
                Term((DOWNS, HALVES, Bends("clock", (0, 8, 30, 120, 300, 1800))), 5.0),
            )
        ),
        yes="complete",
    ),
    Component(
        "run gain",
        rows.carries,
        (*SPOT, "script", "better"),
        _gains(STRENGTH, Term((Levels("script", codes.SCRIPTS), GAINS_WIDE), 3.0)),
        gain="carried",
        scored="touchdown",
        low=-10,
    ),
    Component(
        "catch gain",
        rows.catches,
        (*SPOT, "script", "better"),
        _gains(STRENGTH, Term((Levels("script", codes.SCRIPTS), GAINS_COARSE), 3.0)),
        gain="carried",
        scored="touchdown",
        low=-10,
    ),
    Component(
        "scramble gain",
        rows.scrambles,
        SPOT,
        _gains(),
        gain="carried",
        scored="touchdown",
        low=-10,
    ),
    Component(
        "sack gain",
        rows.sacks,
        ("yards_to_goal",),
        Basis(
            (
                Term((Bends(YARDS, (-20, -14, -11, -9, -8, -7, -6, -5, -4, -3, -2, -1, 0)),), 1.0),
                Term(
                    (
                        Bends("yards_to_goal", (5, 30, 50, 85, 91, 95, 99)),
                        Bends(YARDS, (-15, -10, -7, -3, 0)),
                    ),
                    3.0,
                ),
            )
        ),
        gain="carried",
        scored="touchdown",
        low=-20,
    ),
    Component(
        "fumble lost",
        rows.held,
        ("how", "better"),
        Basis((Term((Levels("how", 4),), 0.1), Term((Bends("how", (0, 3)),), 0.1), STRENGTH)),
        yes="fumble_lost",
    ),
    Component(
        "turnover",
        rows.turnovers,
        ("yards_to_goal", "fumbled"),
        Basis(
            (
                Term((Bends(YARDS, START),), 1.0),
                Term(
                    (
                        Levels("fumbled", 2),
                        Bends("yards_to_goal", (1, 5, 10, 20, 30, 45, 60, 75, 88, 99)),
                        Bends(YARDS, (1, 6, 12, 19, 20, 21, 27, 35, 45, 56, 68, 80, 92, 99)),
                    ),
                    1.0,
                ),
            )
        ),
        gain="start",
        scored="returned_score",
        low=1,
    ),
    Component(
        "kick on fourth",
        rows.fourth,
        (*SPOT, *MOOD),
        Basis(
            (
                Term((Bends("yards_to_goal", (1, 3, 6, 15, 25, 29, 32, 35, 38, 42, 50, 99)),), 1.0),
                Term(
                    (
                        Bends("to_go", (1, 2, 3, 5, 8, 20)),
                        Bends("yards_to_goal", (1, 3, 6, 12, 25, 32, 38, 45)),
                    ),
                    1.0,
                ),
                Term((HALVES, SCORES, CLOCK), 1.0),
            )
        ),
        yes="kicks",
    ),
    Component(
        "go on fourth",
        rows.fourth_not_kicked,
        (*SPOT, *MOOD),
        Basis(
            (
                Term(
                    (
                        Bends("to_go", (1, 2, 3, 4, 6, 10, 20)),
                        Bends("yards_to_goal", (1, 25, 32, 36, 40, 45, 50, 55, 62, 75, 99)),
                    ),
                    1.0,
                ),
                Term((HALVES, SCORES, CLOCK), 1.0),
            )
        ),
        yes="goes",
    ),
    Component(
        "last kick",
        rows.last_kick_choice,
        ("yards_to_goal", *MOOD),
        Basis(
            (
                Term((HALVES, Bends("clock", (0, 2, 4, 6, 8, 11, 15, 20, 28, 40))), 1.0),
                Term((HALVES, SCORES, Bends("clock", (0, 5, 12, 20, 40))), 0.5),
                Term((Bends("yards_to_goal", (1, 4, 10, 20, 30, 36, 42, 50)),), 1.0),
                Term(
                    (
                        Bends("clock", (0, 8, 16, 40)),
                        Bends("yards_to_goal", (1, 10, 25, 38, 50)),
                    ),
                    3.0,
                ),
            )
        ),
        yes="kicks",
    ),
    Component(
        "overtime kick",
        rows.overtime_kick_choice,
        ("yards_to_goal", "down0", "ends"),
        Basis(
            (
                Term((Levels("ends", 2), DOWNS), 1.0),
                Term((Levels("ends", 2), Bends("yards_to_goal", (1, 10, 20, 30, 38, 49))), 2.0),
            )
        ),
        yes="kicks",
    ),
    Component(
        "kneel",
        rows.kneel_choice,
        ("spare", "yards_to_goal", "down0", *MOOD),
        Basis(
            (
                Term((HALVES, Bends("spare", (-125, -80, -40, -20, -8, 0, 8, 20, 40, 125))), 1.0),
                Term((HALVES, SCORES, Bends("spare", (-125, -40, -8, 8, 40, 125))), 1.0),
                Term((HALVES, SCORES, Bends("clock", (0, 10, 20, 30, 45, 70, 120, 180))), 2.0),
                Term((HALVES, Bends("yards_to_goal", (1, 20, 45, 60, 70, 80, 90, 99))), 1.0),
                Term((HALVES, DOWNS), 1.0),
            )
        ),
        yes="knelt",
    ),
    Component(
        "two points",
        rows.tries,
        ("gap", "game_left"),
        Basis(
            (
                Term((Levels("gap", 2 * codes.MOST_GAP + 1),), 1.0),
                Term(
                    (
                        Levels("gap", 2 * codes.MOST_GAP + 1),
                        Bends("game_left", (0, 240, 600, 900, 1350, 1800, 3600)),
                    ),
                    1.0,
                ),
                Term((Bends("game_left", (0, 240, 600, 900, 1350, 1800, 3600)),), 1.0),
            )
        ),
        yes="two",
    ),
    Component(
        "onside",
        rows.kickoffs,
        MOOD,
        Basis((Term((HALVES, SCORES, Bends("clock", (0, 60, 130, 200, 300, 480, 1800))), 0.5),)),
        yes="onside",
    ),
    Component(
        "caught out",
        rows.caught_short,
        MOOD,
        Basis((Term((HALVES, SCORES, CLOCK), 8.0),)),
        yes="out_of_bounds",
    ),
    Component(
        "ran out",
        rows.ran_short,
        MOOD,
        Basis((Term((HALVES, SCORES, CLOCK), 8.0),)),
        yes="out_of_bounds",
    ),
    *PLAYTHROUGH_CLOCK,
)
