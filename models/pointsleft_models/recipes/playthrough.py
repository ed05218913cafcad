"""The parts of the play-through that call and play the snaps, fitted on the play table.

A part that is asked at every snap is a sum of terms in the spot (down, distance, yards to goal)
and terms in the mood (down, half, score, clock): two look-ups when it is used.
"""

from __future__ import annotations

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
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

#: Every snap: where the ball is, and how the game stands.
SPOT = ("down0", "to_go", "yards_to_goal")
MOOD = ("clock", "score", "half0")

GAINS = (-10, -6, -4, -2, -1, 0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 30, 50, 99)
GAINS_COARSE = Bends(YARDS, (-10, -3, 0, 1, 2, 4, 7, 11, 16, 25))
GAINS_WIDE = Bends(YARDS, (-10, 0, 4, 10, 25))
START = (1, 4, 8, 12, 16, 19, 20, 21, 25, 32, 40, 50, 62, 75, 90, 99)


def _usual(stiffness: float = 3.0) -> Basis:
    """Spot and mood without anything special."""
    return Basis(
        (
            Term((DOWNS, TO_GO), stiffness),
            Term((BALL,), stiffness),
            Term((HALVES, SCORES, CLOCK_COARSE), stiffness),
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
    Component("pt flag", rows.flags, (*SPOT, *MOOD), _usual(), yes="flagged"),
    Component("pt flag on offense", rows.flagged, (*SPOT, *MOOD), _usual(5.0), yes="on_offense"),
    Component(
        "pt flag first down",
        rows.short_flags,
        ("side", "shift"),
        Basis(
            (Term((Levels("side", 2), Bends("shift", (-20, -10, 0, 3, 5, 6, 8, 12, 30))), 1.0),)
        ),
        yes="fresh",
    ),
    Component(
        "pt flag uses down",
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
        "pt flag yards, offense",
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
        "pt flag yards, defense",
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
        "pt pass",
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
    Component("pt sack", rows.dropbacks, (*SPOT, *MOOD), _usual(5.0), yes="sacked"),
    Component("pt scramble", rows.unsacked, (*SPOT, *MOOD), _usual(5.0), yes="scrambled"),
    Component("pt interception", rows.thrown, (*SPOT, *MOOD), _usual(8.0), yes="intercepted"),
    Component(
        "pt complete",
        rows.kept_throws,
        (*SPOT, *MOOD),
        Basis(
            (
                Term((DOWNS, TO_GO, BALL_COARSE), 5.0),
                Term((BALL,), 3.0),
                Term((HALVES, SCORES, CLOCK), 5.0),
                Term((DOWNS, HALVES, Bends("clock", (0, 8, 30, 120, 300, 1800))), 5.0),
            )
        ),
        yes="complete",
    ),
    Component(
        "pt run gain",
        rows.carries,
        (*SPOT, "script"),
        _gains(Term((Levels("script", codes.SCRIPTS), GAINS_WIDE), 3.0)),
        gain="carried",
        scored="touchdown",
        low=-10,
    ),
    Component(
        "pt catch gain",
        rows.catches,
        (*SPOT, "script"),
        _gains(Term((Levels("script", codes.SCRIPTS), GAINS_COARSE), 3.0)),
        gain="carried",
        scored="touchdown",
        low=-10,
    ),
    Component(
        "pt scramble gain",
        rows.scrambles,
        SPOT,
        _gains(),
        gain="carried",
        scored="touchdown",
        low=-10,
    ),
    Component(
        "pt sack gain",
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
        "pt fumble lost",
        rows.held,
        ("how",),
        Basis((Term((Levels("how", 4),), 0.1), Term((Bends("how", (0, 3)),), 0.1))),
        yes="fumble_lost",
    ),
    Component(
        "pt turnover",
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
        "pt kick on fourth",
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
        "pt go on fourth",
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
        "pt last kick",
        rows.last_kick_choice,
        ("yards_to_goal", *MOOD),
        Basis(
            (
                Term((HALVES, Bends("clock", (0, 2, 4, 6, 8, 11, 15, 20, 28, 40))), 1.0),
                Term((HALVES, SCORES, Bends("clock", (0, 5, 12, 40))), 2.0),
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
        "pt kneel",
        rows.kneel_choice,
        ("spare", "yards_to_goal", *MOOD),
        Basis(
            (
                Term((HALVES, Bends("spare", (-125, -80, -40, -20, -8, 0, 8, 20, 40, 125))), 1.0),
                Term((HALVES, SCORES, Bends("spare", (-125, -40, -8, 8, 40, 125))), 1.0),
                Term((HALVES, SCORES, Bends("clock", (0, 10, 20, 30, 45, 70, 120, 180))), 2.0),
                Term((HALVES, Bends("yards_to_goal", (1, 20, 45, 60, 70, 80, 90, 99))), 1.0),
            )
        ),
        yes="knelt",
    ),
    Component(
        "pt two points",
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
        "pt onside",
        rows.kickoffs,
        MOOD,
        Basis((Term((HALVES, SCORES, Bends("clock", (0, 60, 130, 200, 300, 480, 1800))), 0.5),)),
        yes="onside",
    ),
    Component(
        "pt caught out",
        rows.catches,
        MOOD,
        Basis((Term((HALVES, SCORES, CLOCK), 8.0),)),
        yes="out_of_bounds",
    ),
    Component(
        "pt ran out",
        rows.carries,
        MOOD,
        Basis((Term((HALVES, SCORES, CLOCK), 8.0),)),
        yes="out_of_bounds",
    ),
    *PLAYTHROUGH_CLOCK,
)
