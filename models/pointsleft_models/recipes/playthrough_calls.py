"""The parts of the play-through that call: pass or run, kicks, kneels, tries, kickoffs."""

from __future__ import annotations

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.playthrough import codes
from pointsleft_models.recipes import playthrough_rows as rows
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.playthrough_bases import (
    BALL_COARSE,
    CLOCK,
    DOWNS,
    HALVES,
    MOOD,
    SCORES,
    SPOT,
    TO_GO,
)

PLAYTHROUGH_CALLS = (
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
                Term((HALVES, SCORES, Bends("yards_to_goal", (1, 20, 37, 55, 75, 99))), 2.0),
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
)
