"""Counting a play table and asking the shipped laws about the same rows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import polars as pl

from pointsleft_models.cards.counted import Panel, Series
from pointsleft_models.cards.panels import Against, Chance, Gains, Question, Reach
from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS, from_stops
from pointsleft_models.laws.library import Library
from pointsleft_models.recipes.component import Component

Array = np.ndarray

#: Bins with fewer rows are not drawn.
FEWEST = 30

#: Field that a carrier had, from where his gain is counted: a gain of this much was never stopped.
LIMITS: Mapping[str, pl.Expr] = {
    "run": pl.col("yards_to_goal"),
    "run+box": pl.col("yards_to_goal"),
    "scramble": pl.col("yards_to_goal"),
    "go": pl.col("yards_to_goal"),
    "sack": 100 - pl.col("yards_to_goal"),
    "after": pl.col("yards_to_goal") - pl.col("air_yards"),
    "after+look": pl.col("yards_to_goal") - pl.col("air_yards"),
    "interception return": 100 - pl.col("spot"),
    "punt": pl.lit(100),
    "kickoff": pl.lit(100),
    "wait": pl.min_horizontal("half_seconds", pl.lit(50)),
    "play": pl.min_horizontal("half_seconds", pl.lit(14)),
}


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows of a component and what the fit says of them.

    Attributes
    ----------
    laws, law
        Laws (distinct, gains) of the distinct rows and the number of the law of every row; a
        gain's column is the gain less ``low``. For a logit one column: the chance of yes.
    """

    frame: pl.DataFrame
    laws: Array
    law: Array
    low: int


def chances(component: Component, family: Mapping[str, Component], library: Library,
            values: Mapping[str, Array]) -> Array:  # fmt: skip
    """Fitted chance of yes (of stopping, for a law of yards) with everything it is added to."""
    eta = library.logit(component.name).eta(values)[0]
    if component.on:
        base = family[component.on]
        eta = eta + library.logit(base.name).eta(values)[0]
    return expit(eta)


def rows_of(
    component: Component, family: Mapping[str, Component], library: Library, plays: pl.DataFrame
) -> Rows:
    """The rows a component is fitted on, each with its fitted law."""
    frame = component.rows(plays)
    base = family[component.on].covariates if component.on else ()
    names = tuple(dict.fromkeys((*component.covariates, *base)))
    if not component.is_yardage:
        values = {name: frame[name].to_numpy() for name in names}
        p = chances(component, family, library, values)
        return Rows(frame, np.broadcast_to(p, len(frame))[:, None], np.arange(len(frame)), 0)
    frame = frame.with_columns(LIMITS[component.name].cast(pl.Int32).alias("_limit"))
    key = [*names, "_limit"]
    distinct = frame.select(key).unique(maintain_order=True).with_row_index("_law")
    law = frame.select(key).join(distinct, on=key, how="left", maintain_order="left")["_law"]
    yards = np.arange(component.low, int(distinct["_limit"].max()))  # type: ignore[arg-type]
    values = {name: distinct[name].to_numpy()[:, None] for name in names}
    stop = chances(component, family, library, {**values, YARDS: yards[None, :]})
    stop = np.where(yards[None, :] >= distinct["_limit"].to_numpy()[:, None], 1.0, stop)
    return Rows(frame, from_stops(stop), law.to_numpy(), component.low)


def ask(question: Question, component: Component, rows: Rows) -> Panel:
    """One panel: what was counted, and what the fit says of the same rows."""
    if isinstance(question, Chance):
        return _chance(question, component, rows)
    if isinstance(question, Reach):
        return _reach(question, component, rows)
    return _gains(question, component, rows)


def _chance(question: Chance, component: Component, rows: Rows) -> Panel:
    yes = rows.frame[component.yes].cast(pl.Float64).fill_null(0).to_numpy()
    fit = rows.laws[rows.law, 0]
    series = tuple(
        binned(label, question.against, rows.frame, _picked(rows.frame, where), yes, fit)
        for label, where in question.groups
    )
    return Panel(question.title, question.x_label, series, ticks(question.against))


def _gain(component: Component, rows: Rows) -> Array:
    gain = rows.frame[component.gain].clip(component.low)
    return np.asarray(gain.to_numpy(), dtype=int)


def _reach(question: Reach, component: Component, rows: Rows) -> Panel:
    gain = _gain(component, rows)
    last = rows.laws.shape[1] - 1
    here = _picked(rows.frame, question.rows)
    series = []
    if not question.parts:
        limit = rows.frame["_limit"].to_numpy()
        fit = rows.laws[rows.law, limit - rows.low]
        yes = (gain >= limit).astype(float)
        series.append(binned("all", question.against, rows.frame, here, yes, fit))
    for label, least, most in question.parts:
        first, end = max(least - rows.low, 0), min(most - rows.low, last)
        fit = rows.laws[:, first : end + 1].sum(1)[rows.law]
        yes = ((gain >= least) & (gain <= most)).astype(float)
        series.append(binned(label, question.against, rows.frame, here, yes, fit))
    return Panel(question.title, question.x_label, tuple(series), ticks(question.against))


def _gains(question: Gains, component: Component, rows: Rows) -> Panel:
    gain = _gain(component, rows)
    series = []
    for label, where in question.groups:
        here = _picked(rows.frame, where)
        weight = np.bincount(rows.law[here], minlength=len(rows.laws)) / here.sum()
        law = weight @ rows.laws
        x, yes, fit = [], [], []
        for first, end in zip(question.edges[:-1], question.edges[1:], strict=True):
            x.append((first + end - 1) / 2)
            yes.append(float(((gain >= first) & (gain < end) & here).sum()))
            fit.append(float(law[max(first - rows.low, 0) : end - rows.low].sum()))
        n = (float(here.sum()),) * len(x)
        series.append(Series(label, tuple(x), tuple(yes), n, tuple(fit)))
    return Panel(question.title, question.x_label, tuple(series))


def binned(
    label: str,
    against: Against,
    frame: pl.DataFrame,
    here: Array,
    yes: Array,
    fit: Array,
    games: Array | None = None,
) -> Series:
    """Counts and mean fit by bin or category of a variable.

    Parameters
    ----------
    here
        (rows,) which rows count.
    yes, fit
        (rows,) outcome and fitted chance.
    games
        (rows,) numbers of the games, where intervals are to count games.
    """
    x = frame.select(against.x.cast(pl.Float64).alias("x"))["x"].to_numpy()
    if against.words:
        codes = [code for code, _ in against.words]
        places = [x == code for code in codes]
        centres = list(range(len(codes)))
    else:
        places = [
            (x >= low) & (x < high)
            for low, high in zip(against.edges[:-1], against.edges[1:], strict=True)
        ]
        centres = []
    points = []
    for at, place in enumerate(places):
        inside = place & here
        many = int(inside.sum())
        if many < FEWEST:
            continue
        centre = float(centres[at]) if against.words else float(x[inside].mean())
        n = float(many) if games is None else float(len(np.unique(games[inside])))
        points.append((centre, float(yes[inside].mean()) * n, n, float(fit[inside].mean())))
    columns = tuple(zip(*points, strict=True)) if points else ((), (), (), ())
    return Series(label, *columns)


def _picked(frame: pl.DataFrame, where: pl.Expr | None) -> Array:
    if where is None:
        return np.ones(len(frame), dtype=bool)
    return np.asarray(frame.select(where.fill_null(False).alias("x"))["x"].to_numpy())


def ticks(against: Against) -> tuple[str, ...]:
    return tuple(word for _, word in against.words)
