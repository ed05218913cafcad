"""The parts of the play-through that say what a flag does."""

from __future__ import annotations

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.recipes import playthrough_rows as rows
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.playthrough_bases import (
    PRESSED,
    SPOT,
    usual,
)

PLAYTHROUGH_FLAGS = (
    Component("flag", rows.flags, (*SPOT, *PRESSED), usual(), yes="flagged"),
    Component("flag on offense", rows.flagged, (*SPOT, *PRESSED), usual(5.0), yes="on_offense"),
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
)
