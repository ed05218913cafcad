"""What the cards of the other laws compare, by family."""

from __future__ import annotations

import polars as pl

from pointsleft_models.cards.panels import Against, Chance, Gains, Question, Reach
from pointsleft_models.cards.passing_panels import PASSING, ROUTES
from pointsleft_models.laws.years import FIRST_SEASON, LAST_SEASON, YEAR
from pointsleft_models.recipes.scrimmage import GAP

RUN_PARTS = (("4 and more", 4, 99), ("none or a loss", -99, 0), ("10 and more", 10, 99))
GAPS = Against(x=pl.col("gap_code"), words=tuple((code, word) for word, code in GAP.items()))

RUSHING: tuple[Question, ...] = (
    Gains(
        component="run",
        title="run: net gain",
        x_label="yards",
        edges=tuple(range(-6, 22)),
    ),
    Reach(component="run", title="run: by gap", against=GAPS, parts=RUN_PARTS),
    Reach(
        component="run",
        title="run: by yards to go",
        x_label="yards to go",
        against=Against(x=pl.col("to_go"), edges=(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 14, 17, 21)),
        parts=RUN_PARTS,
    ),
    Reach(
        component="run",
        title="run: touchdowns by yards to the goal line",
        x_label="yards to the goal line",
        against=Against(x=pl.col("yards_to_goal"), edges=(1, 2, 3, 4, 5, 6, 8, 10, 13, 17, 22)),
    ),
    Reach(
        component="run+box",
        title="run+box: by defenders in the box",
        x_label="defenders in the box",
        against=Against(x=pl.col("box_code"), edges=(4, 5, 6, 7, 8, 9, 10, 11)),
        parts=RUN_PARTS,
    ),
    Chance(
        component="run fumbled",
        title="run fumbled: lost, by where stopped",
        x_label="net gain where the ball was lost, or the run ended",
        against=Against(x=pl.col("stopped_at"), edges=(-5, -3, -1, 0, 1, 2, 3, 4, 6, 9, 13, 21)),
    ),
    Gains(
        component="scramble",
        title="scramble: net gain",
        x_label="yards",
        edges=tuple(range(-3, 26)),
    ),
    Chance(
        component="scramble fumbled",
        title="scramble fumbled: lost, by yards to go",
        x_label="yards to go",
        against=Against(x=pl.col("to_go"), edges=(1, 4, 7, 10, 11, 16, 21)),
    ),
    Gains(
        component="sack",
        title="sack: yards lost",
        x_label="yards lost, with 25 yards behind",
        edges=tuple(range(19)),
        groups=(
            ("under centre", (pl.col("gun") == 0) & (pl.col("behind") == 25)),
            ("shotgun", (pl.col("gun") == 1) & (pl.col("behind") == 25)),
        ),
    ),
    Reach(
        component="sack",
        title="sack: safeties, by own yard line",
        x_label="own yard line",
        against=Against(x=100 - pl.col("yards_to_goal"), edges=(1, 2, 3, 4, 5, 6, 8, 10, 13, 20)),
    ),
    Chance(
        component="sack fumbled",
        title="sack fumbled: lost, by own yard line",
        x_label="own yard line (25: 25 and more)",
        against=Against(x=pl.col("behind"), edges=(1, 5, 9, 13, 17, 21, 25, 26)),
        groups=(("under centre", pl.col("gun") == 0), ("shotgun", pl.col("gun") == 1)),
    ),
)

RUSH: tuple[Question, ...] = (
    Chance(
        component="pressure",
        title="pressure: by ball-out time",
        x_label="ball out, tenths of a second (throws)",
        against=Against(
            x=pl.col("tenths"),
            edges=(8, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 33, 36, 40, 45, 50, 60, 71),
        ),
        groups=(
            ("three rush", pl.col("rush") == 3),
            ("four", pl.col("rush") == 4),
            ("five", pl.col("rush") == 5),
            ("six and more", pl.col("rush") >= 6),
        ),
    ),
    Chance(
        component="sack if pressed",
        title="sack if pressed: by rushers",
        against=Against(
            x=pl.col("rush"), words=((3, "3"), (4, "4"), (5, "5"), (6, "6"), (7, "7+"))
        ),
    ),
    Chance(
        component="hit",
        title="hit: throws with a hit on the quarterback",
        against=Against(x=pl.col("pressed"), words=((0, "no pressure"), (1, "pressure"))),
    ),
)

PUNT_SPOTS = Against(x=pl.col("yards_to_goal"), edges=(30, 36, 42, 48, 54, 60, 66, 72, 78, 86, 100))
ERAS = ((1, "from 30,\nto 20"), (2, "from 35,\nto 20"), (3, "from 35,\nto 25"), (4, "free kick"))
KICKOFFS = Against(x=pl.col("era"), words=ERAS)

KICKING: tuple[Question, ...] = (
    Chance(
        component="field goal",
        title="field goal: by distance",
        x_label="yards of the kick",
        against=Against(
            x=pl.col("kick_yards"),
            edges=(18, 22, 25, 28, 31, 34, 37, 40, 43, 46, 49, 52, 55, 59, 66),
        ),
    ),
    Chance(
        component="field goal",
        title="field goal: by season, 40 yards and more",
        x_label="season",
        against=Against(
            x=pl.col(YEAR) + FIRST_SEASON, edges=tuple(range(FIRST_SEASON, LAST_SEASON + 2))
        ),
        groups=(("40 yards and more", pl.col("kick_yards") >= 40),),
    ),
    Chance(
        component="field goal blocked",
        title="field goal blocked: share of misses",
        x_label="yards of the kick",
        against=Against(x=pl.col("kick_yards"), edges=(18, 28, 34, 38, 42, 46, 50, 54, 58, 66)),
    ),
    Chance(
        component="extra point",
        title="extra point",
        against=Against(x=pl.col("long"), words=((0, "to 2014"), (1, "from 2015"))),
    ),
    Chance(
        component="two-point",
        title="two-point",
        against=Against(x=pl.col("passed"), words=((0, "run"), (1, "pass"))),
    ),
    Chance(
        component="onside kept",
        title="onside kept",
        against=Against(
            x=pl.col("expected"), words=((0, "a surprise"), (1, "behind, last quarter"))
        ),
    ),
    Chance(
        component="punt blocked",
        title="punt blocked",
        x_label="yards to the goal line",
        against=PUNT_SPOTS,
    ),
    Chance(
        component="punt kept",
        title="punt kept by the punting side",
        x_label="yards to the goal line",
        against=PUNT_SPOTS,
    ),
    Chance(
        component="punt touchback",
        title="punt touchback",
        x_label="yards to the goal line",
        against=PUNT_SPOTS,
    ),
    Gains(
        component="punt",
        title="punt: where the other side starts",
        x_label="own yard line",
        edges=tuple(range(1, 60, 3)),
        groups=(
            ("from opp 36 to 45", pl.col("yards_to_goal").is_between(36, 45)),
            ("from own 35 to 44", pl.col("yards_to_goal").is_between(56, 65)),
            ("from own 15 to 24", pl.col("yards_to_goal").is_between(76, 85)),
        ),
    ),
    Chance(component="kickoff touchback", title="kickoff touchback", against=KICKOFFS),
    Chance(component="kickoff kept", title="kickoff kept by the kicking side", against=KICKOFFS),
    Gains(
        component="kickoff",
        title="kickoff: start after a return",
        x_label="own yard line",
        edges=tuple(range(1, 56, 3)),
        groups=(
            ("from 30, to 20", pl.col("era") == 1),
            ("from 35, to 20", pl.col("era") == 2),
            ("from 35, to 25", pl.col("era") == 3),
        ),
    ),
)

TURNOVERS: tuple[Question, ...] = (
    Chance(
        component="end zone touchback",
        title="end zone touchback",
        x_label="air yards of the throw",
        against=Against(x=pl.col("air"), edges=(0, 8, 14, 20, 27, 35, 61)),
    ),
    Gains(
        component="interception return",
        title="interception return",
        x_label="yards, with 60 of room",
        edges=tuple(range(-3, 46, 3)),
        groups=(
            ("air yards under 10", (pl.col("goal_near") == 60) & (pl.col("air") < 10)),
            ("20 and more", (pl.col("goal_near") == 60) & (pl.col("air") >= 20)),
        ),
    ),
    Reach(
        component="interception return",
        title="interception return: to the goal line",
        x_label="yards to the goal line of the return",
        against=Against(x=100 - pl.col("spot"), edges=(1, 10, 20, 30, 40, 50, 60, 70, 80, 100)),
    ),
    Chance(
        component="fumble returned",
        title="fumble returned for a score",
        against=Against(x=pl.col("sacked"), words=((0, "run or catch"), (1, "sack"))),
    ),
)

LATE = Against(
    x=pl.col("late"), edges=(0, 15, 30, 45, 60, 80, 100, 120, 150, 180, 240, 300, 600, 601)
)
CLOSE_LATE = (
    ("behind by one score", (pl.col("half0") == 1) & (pl.col("state") == 1)),
    ("ahead by one score", (pl.col("half0") == 1) & (pl.col("state") == 3)),
    ("first half, level", (pl.col("half0") == 0) & (pl.col("state") == 2)),
)
LAST_TWO = (pl.col("half0") == 1) & (pl.col("half_seconds") <= 120)

CLOCK: tuple[Question, ...] = (
    Gains(
        component="wait",
        title="wait: from snap to snap, ball in bounds",
        x_label="seconds",
        edges=tuple(range(0, 51, 2)),
        groups=(
            ("over 10:00 left", pl.col("half_seconds") > 600),
            (
                "2:00 left, behind",
                LAST_TWO & (pl.col("state") <= 1) & (pl.col("half_seconds") > 50),
            ),
            ("2:00 left, ahead", LAST_TWO & (pl.col("state") >= 3) & (pl.col("half_seconds") > 50)),
        ),
    ),
    Chance(
        component="own time-out",
        title="own time-out",
        x_label="seconds left in the half",
        against=Against(x=pl.col("late"), edges=LATE.edges[:-2]),
        groups=CLOSE_LATE,
    ),
    Chance(
        component="other time-out",
        title="other time-out (of the defense)",
        x_label="seconds left in the half",
        against=Against(x=pl.col("late"), edges=LATE.edges[:-2]),
        groups=CLOSE_LATE,
    ),
    Gains(
        component="play",
        title="play: how long an incompletion lasts",
        x_label="seconds",
        edges=tuple(range(1, 15)),
        groups=(
            ("air yards under 10", (pl.col("air") < 10) & (pl.col("half_seconds") > 14)),
            ("25 and more", (pl.col("air") >= 25) & (pl.col("half_seconds") > 14)),
        ),
    ),
    Chance(
        component="caught out of bounds",
        title="caught out of bounds: by air yards",
        x_label="air yards",
        against=Against(x=pl.col("air"), edges=(-6, -3, 0, 3, 6, 9, 12, 16, 20, 25, 31, 51)),
        groups=(
            ("outside", pl.col("third_code").is_in([1, 3])),
            ("middle", pl.col("third_code") == 2),
        ),
    ),
    Chance(
        component="caught out of bounds",
        title="caught out of bounds: by the clock",
        x_label="seconds left in the half",
        against=Against(x=pl.col("late"), edges=LATE.edges[:-2]),
        groups=CLOSE_LATE[:2],
    ),
    Chance(
        component="caught out of bounds+route",
        title="caught out of bounds+route",
        against=ROUTES,
    ),
    Chance(component="ran out of bounds", title="ran out of bounds: by gap", against=GAPS),
    Chance(
        component="ran out of bounds",
        title="ran out of bounds: by the clock",
        x_label="seconds left in the half",
        against=Against(x=pl.col("late"), edges=LATE.edges[:-2]),
        groups=CLOSE_LATE[:2],
    ),
    Chance(
        component="scrambled out of bounds",
        title="scrambled out of bounds: by the clock",
        x_label="seconds left in the half",
        against=LATE,
    ),
)

ENDING: tuple[Question, ...] = (
    Chance(
        component="last touchdown",
        title="last touchdown",
        x_label="yards to the goal line, at most 7 seconds left",
        against=Against(
            x=pl.col("yards_to_goal"), edges=(1, 4, 8, 13, 20, 30, 40, 50, 60, 75, 100)
        ),
    ),
    Chance(
        component="knelt out",
        title="knelt out: games won",
        against=Against(x=pl.col("always"), words=((0, "could kneel it out"),)),
    ),
)

LAW_PANELS: dict[str, tuple[Question, ...]] = {
    "passing": PASSING,
    "rushing": RUSHING,
    "rush": RUSH,
    "kicking": KICKING,
    "turnovers": TURNOVERS,
    "clock": CLOCK,
    "ending": ENDING,
}
