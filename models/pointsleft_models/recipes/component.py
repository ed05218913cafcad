"""One fitted piece of a law: its rows, what it conditions on, its basis, and its score.

Every component is either a yes-or-no logit or a law of yards, so one fitter, one score and one
contract serve them all. Scores are out of sample: seasons left out in turn, log loss against
the component's own marginal (the same model without its covariates).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import polars as pl

from pointsleft_models.fitting.basis import Basis, Bends, Term
from pointsleft_models.fitting.counts import Counts, count
from pointsleft_models.fitting.fitted import FittedLogit, fit_logit
from pointsleft_models.fitting.logit import FitError, expit
from pointsleft_models.fitting.resample import GameResamples
from pointsleft_models.fitting.yardage import YARDS, YardageLaw, logit_of, stopping_counts

Array = np.ndarray
Rows = Callable[[pl.DataFrame], pl.DataFrame]


@dataclass(frozen=True, slots=True)
class Component:
    """One piece of a law.

    Attributes
    ----------
    rows
        From the play table (with next snaps) to the frame fitted on: ``game``, ``season``, the
        covariates (whole numbers) and the outcome.
    yes
        Outcome of a logit (boolean or a fraction).
    gain, scored, low
        Outcome of a law of yards; ``gain`` empty means a logit.
    on
        Name of the component of the same family whose log odds are the offset: this one then
        fits only what its covariates add.
    needs
        ``participation`` where the rows need joined participation data.
    """

    name: str
    rows: Rows
    covariates: tuple[str, ...]
    basis: Basis
    yes: str = ""
    gain: str = ""
    scored: str = ""
    low: int = 0
    on: str = ""
    needs: str = ""

    @property
    def is_yardage(self) -> bool:
        return bool(self.gain)

    def counts(self, frame: pl.DataFrame, also: tuple[str, ...] = ()) -> Counts:
        covariates = (*self.covariates, *(c for c in also if c not in self.covariates))
        if self.is_yardage:
            return stopping_counts(frame, covariates, self.gain, self.scored, self.low)
        return count(frame, covariates, self.yes)


@dataclass(frozen=True, slots=True)
class Score:
    """Out-of-sample log loss a row, and that of the marginal on the same rows."""

    loss: float
    marginal: float
    rows: int
    games: int


Fitted = FittedLogit | YardageLaw


def _covariates(component: Component) -> tuple[str, ...]:
    return ((YARDS,) if component.is_yardage else ()) + component.covariates


def fit_component(
    component: Component,
    plays: pl.DataFrame,
    rng: np.random.Generator,
    resamples: GameResamples | None = None,
    base: tuple[Component, Fitted] | None = None,
) -> Fitted:
    """Fit a component on a play table; ``base`` is the component named by ``on``, fitted.

    Raises
    ------
    FitError
        The plays do not carry it; the message names the component and what it lacks.
    """
    frame = component.rows(plays)
    _require(component, frame)
    counts, offset, offset_refits = _prepare(component, frame, base)
    try:
        fitted = fit_logit(counts, component.basis, rng, resamples, offset, offset_refits)
    except FitError as error:
        raise FitError(
            f"{component.name!r} cannot be fitted on {len(frame)} plays of "
            f"{frame['game'].n_unique()} games: {error}"
        ) from error
    return YardageLaw(component.low, fitted) if component.is_yardage else fitted


def _require(component: Component, frame: pl.DataFrame) -> None:
    """Refuse rows that say nothing of a component, before a fit wanders off on them."""
    if frame.is_empty():
        raise FitError(f"{component.name!r} has no plays to be fitted on")
    outcome = component.gain if component.is_yardage else component.yes
    blank = [c for c in (*component.covariates, outcome) if frame[c].null_count()]
    if blank:
        raise FitError(
            f"{component.name!r} is fitted on {' and '.join(blank)}, which "
            f"{frame[blank[0]].null_count()} of its {len(frame)} plays do not say; fill the "
            "columns of docs/play-table.md that it is made from, or leave those plays out"
        )


def _prepare(
    component: Component, frame: pl.DataFrame, base: tuple[Component, Fitted] | None
) -> tuple[Counts, Array | None, Array | None]:
    if base is None:
        return component.counts(frame), None, None
    counts = component.counts(frame, also=base[0].covariates)
    eta = logit_of(base[1]).eta_all(counts.columns)
    return counts, eta[0], eta[1:] if len(eta) > 1 else None


def marginal_basis(component: Component) -> Basis:
    """The basis of a component without its covariates (for an added one: nothing at all)."""
    if component.is_yardage:
        yards = [t for t in component.basis.terms if [a.variable for a in t.axes] == [YARDS]]
        if yards:
            return Basis(tuple(yards))
    first = component.covariates[0]
    return Basis((Term((Bends(first, (-1e6, 1e6)),), 1e3),))


def score_component(
    component: Component,
    plays: pl.DataFrame,
    seed: int,
    seasons: tuple[int, ...],
    base: Component | None = None,
    parts: int = 0,
) -> Score | None:
    """Leave each season out in turn; ``None`` where no held-out season has rows.

    Parameters
    ----------
    parts
        For a table of one season: into how many parts its games are cut, each left out in turn.
    """
    frame = component.rows(plays)
    losses: list[tuple[float, float, float]] = []
    held = [pl.col("season") == season for season in seasons]
    for left_out in held or _parts_of_games(plays, parts, seed):
        inside, outside = frame.filter(~left_out), frame.filter(left_out)
        if len(outside) == 0 or len(inside) == 0:
            continue
        fitted_base = None
        if base is not None:
            train = plays.filter(~left_out)
            fitted_base = (base, fit_component(base, train, np.random.default_rng(seed)))
        counts, offset, _ = _prepare(component, inside, fitted_base)
        test, test_offset, _ = _prepare(component, outside, fitted_base)
        full = fit_logit(counts, component.basis, np.random.default_rng(seed), None, offset)
        plain = fit_logit(
            counts, marginal_basis(component), np.random.default_rng(seed), None, offset
        )
        rows = float(len(outside))
        losses.append(
            (_total_loss(full, test, test_offset), _total_loss(plain, test, test_offset), rows)
        )
    if not losses:
        return None
    loss, marginal, rows = (float(x) for x in np.sum(losses, axis=0))
    return Score(loss / rows, marginal / rows, len(frame), frame["game"].n_unique())


def _parts_of_games(plays: pl.DataFrame, parts: int, seed: int) -> list[pl.Expr]:
    games = plays["game"].unique().sort()
    at = np.random.default_rng(seed).permutation(len(games)) % max(parts, 1)
    return [
        pl.col("game").is_in(games.filter(pl.Series(at == part)).implode()) for part in range(parts)
    ]


def _total_loss(fitted: FittedLogit, counts: Counts, offset: Array | None) -> float:
    eta = fitted.eta(counts.columns) + (0.0 if offset is None else offset)
    p = np.clip(expit(eta), 1e-12, 1 - 1e-12)
    return float(-(counts.yes * np.log(p) + (counts.trials - counts.yes) * np.log1p(-p)).sum())


def component_settings(component: Component) -> dict[str, Any]:
    """What a card says of a component."""
    return {
        "basis": component.basis.settings(),
        "kind": "yards" if component.is_yardage else "logit",
        "covariates": list(component.covariates),
        "low": component.low,
        "on": component.on,
        "needs": component.needs,
    }
