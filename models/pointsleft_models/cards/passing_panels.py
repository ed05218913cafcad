"""What the card of the passing laws compares."""

from __future__ import annotations

import polars as pl

from pointsleft_models.cards.panels import Against, Chance, Gains, Question, Reach
from pointsleft_models.laws.words import ROUTE_CODES, SHELL_CODES

AIR = Against(
    x=pl.col("air"), edges=(-10, -5, -2, 0, 2, 4, 6, 8, 10, 13, 16, 19, 23, 28, 34, 41, 50, 61)
)
OUTSIDE = ("outside", pl.col("third_code").is_in([1, 3]))
MIDDLE = ("middle", pl.col("third_code") == 2)
PRESSURE = (
    ("no pressure", pl.col("pressure_code") == 1),
    ("pressure", pl.col("pressure_code") == 2),
)
ROUTES = Against(
    x=pl.col("route_code"), words=tuple((code, word) for word, code in ROUTE_CODES.items())
)
SHELLS = Against(
    x=pl.col("shell_code"),
    words=tuple(
        (code, word.replace("quarter-quarter-half", "q-q-half"))
        for word, code in SHELL_CODES.items()
    ),
)

PASSING: tuple[Question, ...] = (
    Chance(
        component="complete",
        title="complete: by air yards",
        x_label="air yards",
        against=AIR,
        groups=(OUTSIDE, MIDDLE),
    ),
    Chance(
        component="complete",
        title="complete: by yards to the goal line",
        x_label="yards to the goal line (30: 30 and more)",
        against=Against(x=pl.col("near"), edges=(1, 3, 5, 7, 9, 12, 15, 18, 21, 24, 27, 30, 31)),
        groups=(
            ("into the end zone", pl.col("in_end_zone") == 1),
            ("short of it", pl.col("in_end_zone") == 0),
        ),
    ),
    Chance(
        component="intercepted",
        title="intercepted, if not caught: by air yards",
        x_label="air yards",
        against=AIR,
        groups=(OUTSIDE, MIDDLE),
    ),
    Gains(
        component="after",
        title="after: yards after the catch",
        x_label="yards after the catch, of catches with 30 yards of room",
        edges=tuple(range(-4, 26)),
        groups=(
            ("caught behind the line", (pl.col("room") == 30) & (pl.col("air") < 0)),
            ("0 to 9 air yards", (pl.col("room") == 30) & pl.col("air").is_between(0, 9)),
            ("20 and more", (pl.col("room") == 30) & (pl.col("air") >= 20)),
        ),
    ),
    Reach(
        component="after",
        title="after: by air yards",
        x_label="air yards",
        against=AIR,
        parts=(
            ("10 and more after the catch", 10, 99),
            ("none or a loss", -99, 0),
        ),
    ),
    Chance(
        component="fumbled",
        title="fumbled: catches lost to the defense",
        x_label="air yards",
        against=AIR,
    ),
    Chance(
        component="complete+pressure",
        title="complete+pressure",
        x_label="air yards",
        against=AIR,
        groups=PRESSURE,
    ),
    Chance(
        component="intercepted+pressure",
        title="intercepted+pressure, if not caught",
        against=Against(x=pl.col("pressure_code"), words=((1, "no pressure"), (2, "pressure"))),
    ),
    Chance(
        component="complete+route",
        title="complete+route",
        against=ROUTES,
    ),
    Chance(
        component="complete+look",
        title="complete+look: by coverage",
        against=SHELLS,
        groups=(
            ("all routes", None),
            ("posts", pl.col("route_code") == ROUTE_CODES["post"]),
        ),
    ),
    Chance(
        component="intercepted+look",
        title="intercepted+look, if not caught",
        against=SHELLS,
    ),
    Reach(
        component="after+look",
        title="after+look: by coverage",
        against=SHELLS,
        parts=(
            ("10 and more after the catch", 10, 99),
            ("none or a loss", -99, 0),
        ),
    ),
)
