"""Our value models as learners: the shipped code and bases, fitted without one season.

The fit of the next score serves both its own score and the chance to win that stands on it, so
it is made once a season and kept.
"""

from __future__ import annotations

import hashlib
import json
import time
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pointsleft_models.bench.leave_out import Learner, Model, fingerprint, two_classes
from pointsleft_models.bundle import Worth, load_models
from pointsleft_models.fitting.basis import Basis
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.football.rules import rule_set
from pointsleft_models.recipes.next_score import fit_next_score
from pointsleft_models.recipes.next_score_basis import next_score_bases
from pointsleft_models.recipes.plan import FIT_SEASON
from pointsleft_models.recipes.win_basis import win_basis
from pointsleft_models.recipes.win_spread import (
    fit_spread,
    plain_odds,
    spread_basis,
    spread_states,
)
from pointsleft_models.recipes.wins import fit_wins
from pointsleft_models.values.favoured import Favoured
from pointsleft_models.values.next_score import NextScore
from pointsleft_models.values.wins import WinProbability

if TYPE_CHECKING:
    import polars as pl

Array = np.ndarray

OURS = "ours"


@dataclass(frozen=True)
class NextScoreFits:
    """Fits of the next score without a season each, made once.

    Attributes
    ----------
    plays
        Rows of all seasons.
    data
        What they are made from; a change makes kept fits stale.
    """

    plays: pl.DataFrame
    data: str
    kept: Path | None = None

    def without(self, season: int) -> tuple[NextScore, float]:
        """The fit on the other seasons, and the seconds it took when it was made."""
        import polars as pl

        path = None if self.kept is None else self.kept / f"fit-next-score-{season}.npz"
        key = hashlib.sha256((self.data + settings_of(next_score_bases())).encode()).hexdigest()
        if path is not None and (found := _read(path, key)) is not None:
            return found
        start = time.perf_counter()
        rows = self.plays.filter(pl.col("season") != season)
        fitted = fit_next_score(rows, np.random.default_rng(1))
        spent = time.perf_counter() - start
        if path is not None:
            path.parent.mkdir(parents=True, exist_ok=True)
            arrays = {q: logit.coefficients for q, logit in fitted.questions.items()}
            arrays |= {"key": np.array(key), "seconds": np.array(spent)}
            with path.open("wb") as file:
                np.savez_compressed(file, allow_pickle=False, **arrays)
        return fitted, spent


def _read(path: Path, key: str) -> tuple[NextScore, float] | None:
    from zipfile import BadZipFile

    try:
        with np.load(path, allow_pickle=False) as stored:
            if str(stored["key"]) != key:
                return None
            logits = {
                q: FittedLogit(basis, stored[q], np.zeros((0, basis.size)))
                for q, basis in next_score_bases().items()
            }
            return NextScore(logits), float(stored["seconds"])
    except (OSError, ValueError, KeyError, EOFError, BadZipFile):
        return None


def settings_of(bases: dict[str, Basis]) -> str:
    """Bases as text that changes when they do."""
    return json.dumps({q: basis.settings() for q, basis in bases.items()})


def without_score(basis: Basis) -> Basis:
    """A basis without the terms that hold the score."""
    return Basis(tuple(t for t in basis.terms if "lead" not in [a.variable for a in t.axes]))


def next_score_with_score(fits: NextScoreFits) -> Learner:
    """The shipped next-score model."""

    def fit(_: pl.DataFrame, season: int) -> Model:
        start = time.perf_counter()
        fitted, spent = fits.without(season)
        waited = time.perf_counter() - start
        return Model(fitted.probabilities, spent - waited)

    return Learner(OURS, settings_of(next_score_bases()), fit)


def next_score_without_score() -> Learner:
    """The shipped basis less its terms of the score."""
    bases = {q: without_score(basis) for q, basis in next_score_bases().items()}

    def fit(train: pl.DataFrame, _: int) -> Model:
        return Model(fit_next_score(train, np.random.default_rng(1), bases=bases).probabilities)

    return Learner(OURS, settings_of(bases), fit)


def worth_under_fit_rules() -> Worth:
    """The shipped models under the rules that the wins are fitted under."""
    return load_models().under(rule_set("professional", FIT_SEASON))


@dataclass
class WinFits:
    """Chances to win fitted without a season; the last fit is remembered.

    Learners that share their rows take turns on one season, so one fit serves them all.
    """

    fits: NextScoreFits
    shipped: Worth
    _last: tuple[str, WinProbability, float] | None = None

    @property
    def stands_on(self) -> str:
        """The shipped fits that it takes as they are; others make kept predictions stale."""
        return "".join(self.shipped.models.fits[name].digest for name in ("kicking", "ending"))

    def without(self, train: pl.DataFrame, season: int) -> tuple[WinProbability, float]:
        """The model fitted on some rows, and the seconds that all of its fits took."""
        key = f"{season} {fingerprint(train)}"
        if self._last is None or self._last[0] != key:
            next_score, spent = self.fits.without(season)
            start = time.perf_counter()
            points = replace(self.shipped.points, next_score=next_score)
            fit = fit_wins(train, points, np.random.default_rng(2))
            model = replace(self.shipped.wins, points=points, fit=fit, favoured=None)
            self._last = key, model, spent + time.perf_counter() - start
        return self._last[1], self._last[2]


def wins(fits: WinFits) -> Learner:
    """The shipped chance to win, ends and all, on points fitted without the season.

    Kickoffs and the laws of the last play are the shipped ones: a few hundred numbers that
    have seen the season left out.
    """

    def fit(train: pl.DataFrame, season: int) -> Model:
        start = time.perf_counter()
        model, spent = fits.without(train, season)
        waited = time.perf_counter() - start
        return Model(lambda at: two_classes(model.wins(at)), spent - waited)

    bases = {"wins": win_basis(), **next_score_bases()}
    return Learner(OURS, settings_of(bases) + fits.stands_on, fit)


def wins_with_spread(fits: WinFits) -> Learner:
    """The chance to win with what the spread adds, both fitted without the season."""

    def fit(train: pl.DataFrame, season: int) -> Model:
        start = time.perf_counter()
        model, spent = fits.without(train, season)
        waited = time.perf_counter() - start
        at, result = spread_states(train), train["result"].to_numpy()
        added = fit_spread(at, plain_odds(model, at), result, np.random.default_rng(3))
        knows = replace(model, favoured=Favoured(added))
        return Model(lambda at: two_classes(knows.wins(at)), spent - waited)

    bases = {"spread": spread_basis(), "wins": win_basis(), **next_score_bases()}
    return Learner(OURS, settings_of(bases) + fits.stands_on, fit)
