"""What the cards of the values, and of the pooled tries, compare."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import polars as pl

from pointsleft_models.bundle import Models
from pointsleft_models.cards.compare import Rows, ask, binned, rows_of, ticks
from pointsleft_models.cards.counted import Panel, Series
from pointsleft_models.cards.panels import Against, Chance, Gains, Group
from pointsleft_models.football.rules import rule_set
from pointsleft_models.recipes.going import GOING
from pointsleft_models.recipes.next_score import labels, next_score_rows, row_states
from pointsleft_models.recipes.plan import FIT_SEASON
from pointsleft_models.recipes.wins import win_rows
from pointsleft_models.values.next_score import CLASSES

Array = np.ndarray

#: What the panels of the next score tell apart: label and classes.
PARTS = (
    ("touchdown", ("touchdown",)),
    ("field goal", ("field goal",)),
    ("any score against", ("safety against", "field goal against", "touchdown against")),
    ("none", ("none",)),
)

FIFTHS = (*(x / 100 for x in range(0, 100, 5)), 1.001)
LEADS = (-28, -21, -17, -14, -10, -7, -4, -3, 0, 1, 3, 4, 7, 8, 11, 15, 18, 22, 29)
SECONDS = (0, 5, 12, 25, 45, 80, 120, 200, 350, 700, 1200, 1801)


def _share(expression: pl.Expr | None, frame: pl.DataFrame) -> Array:
    if expression is None:
        return np.ones(len(frame), dtype=bool)
    return np.asarray(frame.select(expression.alias("x"))["x"].to_numpy())


def _games(frame: pl.DataFrame) -> Array:
    return np.unique(frame["game"].to_numpy(), return_inverse=True)[1]


def next_score_panels(models: Models, plays: pl.DataFrame) -> tuple[Panel, ...]:
    """Classes of the next score against field position, clock, distance and score."""
    rows = next_score_rows(plays)
    fitted = models.next_score.probabilities(row_states(rows))
    label, games = labels(rows), _games(rows)
    members = [np.isin(label, [CLASSES.index(c) for c in classes]) for _, classes in PARTS]
    chances = [fitted[:, [CLASSES.index(c) for c in classes]].sum(1) for _, classes in PARTS]

    def panel(
        title: str, x_label: str, against: Against, where: pl.Expr | None, scale: str = ""
    ) -> Panel:
        here = _share(where, rows)
        series = tuple(
            binned(name, against, rows, here, yes.astype(float), fit, games)
            for (name, _), yes, fit in zip(PARTS, members, chances, strict=True)
        )
        return Panel(title, x_label, series, by_games=True, scale=scale)

    ten = (pl.col("down") == 1) & (pl.col("distance") == 10)
    ours = np.isin(label, [CLASSES.index(c) for c in ("touchdown", "field goal", "safety")])
    fit_ours = fitted[:, 1:4].sum(1)

    def next_is_ours(
        title: str, x_label: str, against: Against, groups: tuple[Group, ...]
    ) -> Panel:
        series = tuple(
            binned(name, against, rows, _share(where, rows), ours.astype(float), fit_ours, games)
            for name, where in groups
        )
        return Panel(title, x_label, series, by_games=True)

    return (
        panel(
            "first and ten, over 2:00 left", "yards to the goal line",
            Against(x=pl.col("yards_to_goal"), edges=(10, 16, *range(22, 100, 6))),
            ten & (pl.col("half_seconds") > 120),
        ),
        panel(
            "by the clock, own 20 to own 40", "seconds left in the half (steps of a factor)",
            Against(x=pl.col("half_seconds"), edges=SECONDS),
            pl.col("yards_to_goal").is_between(60, 80), "log",
        ),
        panel(
            "fourth down, over 2:00 left", "yards to the goal line",
            Against(x=pl.col("yards_to_goal"), edges=(1, 4, 8, 13, 18, *range(24, 100, 6))),
            (pl.col("down") == 4) & (pl.col("half_seconds") > 120),
        ),
        next_is_ours(
            "the next score is ours: by distance", "yards to go, between the 40s",
            Against(x=pl.col("distance"), edges=(1, 2, 3, 4, 5, 6, 8, 10, 11, 14, 18, 24)),
            tuple(
                (f"{word} down", pl.col("yards_to_goal").is_between(40, 60) & (pl.col("down") == d))
                for d, word in ((1, "1st"), (2, "2nd"), (3, "3rd"), (4, "4th"))
            ),
        ),
        next_is_ours(
            "the next score is ours: by lead", "points ahead, over 2:00 left",
            Against(x=pl.col("lead"), edges=LEADS),
            (
                ("first half", (pl.col("half") == 1) & (pl.col("half_seconds") > 120)),
                ("second half", (pl.col("half") == 2) & (pl.col("half_seconds") > 120)),
            ),
        ),
        Panel(
            "fitted chance against share", "fitted chance",
            tuple(
                _calibration(name, rows, yes.astype(float), fit, np.ones(len(rows), bool), games)
                for (name, _), yes, fit in zip(PARTS, members, chances, strict=True)
            ),
            by_games=True,
        ),
    )  # fmt: skip


def _calibration(
    label: str, rows: pl.DataFrame, yes: Array, fit: Array, here: Array, games: Array
) -> Series:
    """Shares in bins of the fitted chance."""
    frame = rows.with_columns(_fit=pl.Series(fit))
    return binned(label, Against(x=pl.col("_fit"), edges=FIFTHS), frame, here, yes, fit, games)


def win_panels(models: Models, plays: pl.DataFrame) -> tuple[Panel, ...]:
    """Games won against the fitted chance, the lead, time-outs and field position."""
    rows = win_rows(plays)
    wins = models.under(rule_set(models.level, FIT_SEASON)).wins
    fit = np.concatenate([wins.wins(row_states(part)) for part in rows.iter_slices(50_000)])
    yes, games = rows["result"].to_numpy(), _games(rows)
    left = pl.col("half_seconds")
    second = pl.col("half") == 2

    def panel(title: str, x_label: str, against: Against, groups: tuple[Group, ...]) -> Panel:
        series = tuple(
            binned(name, against, rows, _share(where, rows), yes, fit, games)
            for name, where in groups
        )
        return Panel(title, x_label, series, ticks(against), by_games=True)

    return (
        Panel(
            "fitted chance against share won", "fitted chance",
            tuple(
                _calibration(name, rows, yes, fit, _share(where, rows), games)
                for name, where in (
                    ("first half", ~second),
                    ("third quarter", second & (left > 900)),
                    ("fourth", second & (left <= 900)),
                )
            ),
            by_games=True,
        ),
        panel(
            "by lead", "points ahead",
            Against(x=pl.col("lead"), edges=tuple(range(-17, 18, 2))),
            (
                ("first quarter", ~second & (left > 900)),
                ("10:00 to 5:00 left", second & left.is_between(301, 600)),
                ("last 2:00", second & (left <= 120)),
            ),
        ),
        panel(
            "behind by 1 to 3, last 2:00", "yards to the goal line",
            Against(x=pl.col("yards_to_goal"), edges=(1, 8, 15, 22, 30, 38, 46, 55, 65, 75, 100)),
            (("behind by 1 to 3", second & (left <= 120) & pl.col("lead").is_between(-3, -1)),),
        ),
        panel(
            "ahead by 1 to 8, 5:00 to 1:00 left", "time-outs of the other side",
            Against(x=pl.col("defense_timeouts"), words=((0, "0"), (1, "1"), (2, "2"), (3, "3"))),
            ((
                "ahead by 1 to 8",
                second & left.is_between(60, 300) & pl.col("lead").is_between(1, 8),
            ),),
        ),
    )  # fmt: skip


def going_panels(models: Models, plays: pl.DataFrame) -> tuple[Panel, ...]:
    """Conversions by distance, the law of gains, and balls lost."""
    family = {component.name: component for component in GOING}
    tries = rows_of(family["go lost"], family, models.library, plays)
    frame = tries.frame.filter(pl.col("gain").is_not_null())
    lost = tries.laws[tries.frame["gain"].is_not_null().to_numpy(), 0]
    held = _as_if_kept(models, frame)
    distance = frame["distance"].to_numpy()
    reached = np.cumsum(held.laws[:, ::-1], axis=1)[:, ::-1]
    fit = (1 - lost) * reached[held.law, np.minimum(distance - held.low, reached.shape[1] - 1)]
    made = ~frame["lost"].to_numpy() & (
        (frame["gain"].to_numpy() >= distance) | frame["touchdown"].to_numpy()
    )
    by_distance = Against(x=pl.col("to_go"), edges=(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 16, 21))
    downs: tuple[Group, ...] = (
        ("third down", pl.col("down") == 3),
        ("fourth down", pl.col("down") == 4),
    )
    converted = tuple(
        binned(name, by_distance, frame, _share(where, frame), made.astype(float), fit)
        for name, where in downs
    )
    kept = rows_of(family["go"], family, models.library, plays)
    gains = Gains(
        component="go", title="go: net gain, ball kept", x_label="yards",
        edges=tuple(range(-9, 26)),
        groups=(("2 to go", pl.col("to_go") == 2), ("8 to go", pl.col("to_go") == 8)),
    )  # fmt: skip
    chance = Chance(
        component="go lost", title="go lost: balls lost", x_label="yards to go",
        against=by_distance, groups=downs,
    )  # fmt: skip
    return (
        Panel("conversion: by yards to go", "yards to go", converted),
        ask(gains, family["go"], kept),
        ask(chance, family["go lost"], tries),
    )


def _as_if_kept(models: Models, frame: pl.DataFrame) -> Rows:
    """The law of gains for tries whether or not the ball was lost on them."""
    family = {component.name: component for component in GOING}
    go = replace(family["go"], rows=lambda plays: plays)
    return rows_of(go, family, models.library, frame)
