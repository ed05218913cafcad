"""The parts of the play-through that say what comes of a run or a pass."""

from __future__ import annotations

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.playthrough import codes
from pointsleft_models.recipes import playthrough_rows as rows
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.playthrough_bases import (
    BALL,
    BALL_COARSE,
    CLOCK,
    DOWNS,
    GAINS_COARSE,
    GAINS_SCRIPT,
    HALVES,
    MOOD,
    PRESS,
    PRESSED,
    SCORES,
    SPOT,
    START,
    STRENGTH,
    TO_GO,
    gains,
    usual,
)

PLAYTHROUGH_RESULTS = (
    Component(
        "sack", rows.dropbacks, (*SPOT, *PRESSED, "better"), usual(5.0, STRENGTH), yes="sacked"
    ),
    Component("scramble", rows.unsacked, (*SPOT, *PRESSED), usual(5.0), yes="scrambled"),
    Component(
        "interception",
        rows.thrown,
        (*SPOT, *PRESSED, "better"),
        usual(8.0, STRENGTH),
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
        gains(STRENGTH, Term((Levels("script", codes.SCRIPTS), GAINS_SCRIPT), 1.0)),
        gain="carried",
        scored="touchdown",
        low=-10,
    ),
    Component(
        "catch gain",
        rows.catches,
        (*SPOT, "script", "better"),
        gains(STRENGTH, Term((Levels("script", codes.SCRIPTS), GAINS_COARSE), 1.0)),
        gain="carried",
        scored="touchdown",
        low=-10,
    ),
    Component(
        "scramble gain",
        rows.scrambles,
        SPOT,
        gains(),
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
        "caught out",
        rows.caught_short,
        MOOD,
        Basis(
            (
                Term((HALVES, SCORES, CLOCK), 8.0),
                Term((HALVES, Bends("clock", (0, 5, 12, 25, 45, 80, 120, 300))), 1.0),
            )
        ),
        yes="out_of_bounds",
    ),
    Component(
        "ran out",
        rows.ran_short,
        MOOD,
        Basis((Term((HALVES, SCORES, CLOCK), 8.0),)),
        yes="out_of_bounds",
    ),
    # a quarterback who has taken off steps out of bounds far oftener than a runner is forced out
    Component(
        "scrambled out",
        rows.scrambled_short,
        MOOD,
        Basis((Term((CLOCK,), 3.0), Term((HALVES, SCORES, CLOCK), 8.0))),
        yes="out_of_bounds",
    ),
)
