"""Discrete laws of yards as chances of stopping.

A ball carrier who has gained ``k`` yards is stopped there with chance h(k | covariates), a
logit; else he goes on. So P(k) = h(k) * product of (1 - h(j)) over j < k, which is a proper law
for any limit of the field: whoever is not stopped short of the goal line scores. A touchdown in
the data is a carrier who was not stopped in the field he had, never a long gain cut short.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from pointsleft_models.fitting.counts import Counts, count
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import expit

if TYPE_CHECKING:
    import polars as pl

Array = np.ndarray

#: Name of the variable that counts yards in the basis of a stopping logit.
YARDS = "yards"


def logit_of(fitted: FittedLogit | YardageLaw) -> FittedLogit:
    """The logit of a fit: of a yes, or for a law of yards of being stopped."""
    return fitted.stop if isinstance(fitted, YardageLaw) else fitted


@dataclass(frozen=True, slots=True)
class YardageLaw:
    """A fitted law of yards.

    Attributes
    ----------
    low
        Smallest gain told apart; anything less counts as this.
    stop
        Logit of stopping, over :data:`YARDS` and the covariates.
    """

    low: int
    stop: FittedLogit

    def law(self, covariates: Mapping[str, float], limit: int, all_refits: bool = False) -> Array:
        """Probability of every gain from ``low`` to ``limit``.

        Parameters
        ----------
        covariates
            One value of every variable but the yards.
        limit
            Yards at which the field ends; the last entry is the chance of getting there.
        all_refits
            One row for the point fit and each refit.

        Returns
        -------
        Array
            (limit - low + 1,), or (1 + refits, limit - low + 1); sums to 1.
        """
        yards = np.arange(self.low, limit)
        columns: dict[str, Array] = {YARDS: yards}
        for name, value in covariates.items():
            columns[name] = np.full(len(yards), value)
        eta = self.stop.eta_all(columns) if all_refits else self.stop.eta(columns)
        return from_stops(expit(eta))

    def arrays(self, prefix: str) -> dict[str, Array]:
        return {**self.stop.arrays(prefix), f"{prefix}.low": np.array(self.low)}

    @classmethod
    def from_arrays(
        cls, settings: list[dict[str, Any]], arrays: Mapping[str, Array], prefix: str
    ) -> YardageLaw:
        return cls(int(arrays[f"{prefix}.low"]), FittedLogit.from_arrays(settings, arrays, prefix))


def from_stops(stop: Array) -> Array:
    """Law (..., n + 1) from the chances of stopping (..., n); the last entry never stopped.

    >>> from_stops(np.array([0.5, 0.5]))
    array([0.5 , 0.25, 0.25])
    """
    going = np.cumprod(1 - stop, axis=-1)
    ones = np.ones((*stop.shape[:-1], 1))
    reached = np.concatenate([ones, going], axis=-1)
    return np.concatenate([reached[..., :-1] * stop, reached[..., -1:]], axis=-1)


def stopping_counts(
    frame: pl.DataFrame, covariates: tuple[str, ...], gain: str, scored: str, low: int
) -> Counts:
    """One row for each yard at which a carrier was or was not stopped.

    Parameters
    ----------
    frame
        Needs ``game``, the covariates, ``gain`` (yards; for a score the field he had) and
        ``scored`` (never stopped).
    low
        Gains below count as this.
    """
    import polars as pl

    grouped = (
        frame.select(
            *covariates,
            "game",
            pl.col(gain).clip(low).cast(pl.Int32).alias("_gain"),
            pl.col(scored).fill_null(False).alias("_scored"),
        )
        .group_by([*covariates, "game", "_gain", "_scored"])
        .agg(pl.len().cast(pl.Float64).alias("_n"))
    )
    last = pl.col("_gain") + pl.when(pl.col("_scored")).then(0).otherwise(1)
    spread = (
        grouped.with_columns(pl.int_ranges(pl.lit(low), last).alias(YARDS))
        .explode(YARDS)
        .filter(pl.col(YARDS).is_not_null())
        .with_columns(
            pl.col(YARDS).cast(pl.Int32),
            pl.when((pl.col(YARDS) == pl.col("_gain")) & ~pl.col("_scored"))
            .then(pl.col("_n"))
            .otherwise(0.0)
            .alias("_stopped"),
        )
    )
    return count(spread, (YARDS, *covariates), yes="_stopped", trials="_n")
