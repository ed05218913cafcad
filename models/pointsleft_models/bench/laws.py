"""Every outcome law on seasons it has not seen, beside counted shares and boosted trees.

A law of yards is scored as what it is fitted as: at every yard a carrier reaches, was he stopped
there? The log losses of a play's yards add up to that of its gain. All three get the same rows
and columns; the trees also get the log odds of the law that a component is added to, and choose
their number of rounds on a fifth of the games they are fitted on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import polars as pl

from pointsleft_models.bench.calibration import Bin, bins, equal_bins
from pointsleft_models.bench.keys import key_of
from pointsleft_models.bench.leave_out import fingerprint
from pointsleft_models.bench.paired import LEAST, Difference, difference
from pointsleft_models.bench.peers import THREADS
from pointsleft_models.bench.seasons import FIRST_SEASONS
from pointsleft_models.fitting.counts import Counts
from pointsleft_models.fitting.fitted import fit_logit
from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.plays.schema import COLUMNS
from pointsleft_models.recipes.component import Component, component_settings
from pointsleft_models.recipes.families import every_component

Array = np.ndarray

#: Raised whenever kept files change their meaning.
FORMAT = 1

#: Bins of a picture.
BINS = 12

#: Seed of fits and intervals.
SEED = 71

#: The trees: depth, rate, most rounds, rounds without a gain after which to stop, and one in how
#: many games is kept to choose the number of rounds.
DEPTH, RATE, ROUNDS, PATIENCE, FIFTH = 4, 0.05, 1500, 30, 5

LEARNERS = ("ours", "frequency", "boosted")


@dataclass(frozen=True, slots=True)
class Unseen:
    """Chances of every learner for what came in the seasons left out.

    One entry is one distinct row of covariates in one game.

    Attributes
    ----------
    p
        Learner -> (n,) chance of yes.
    trials, yes
        (n,) counts.
    games
        (n,) identifiers.
    plays
        Plays in all.
    seasons
        Seasons left out in turn.
    """

    p: Mapping[str, Array]
    trials: Array
    yes: Array
    games: Array
    plays: int
    seasons: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class LawScore:
    """One law: mean log losses a play, our differences to the others, and the bins."""

    family: str
    component: str
    yards: bool
    added_to: str
    plays: int
    games: int
    seasons: tuple[int, ...]
    log_loss: dict[str, float]
    less: dict[str, Difference]
    bins: tuple[Bin, ...]


def score_laws(
    plays: pl.DataFrame, kept: Path | None = None, *, progress: Progress = quiet
) -> list[LawScore]:
    """Score every law that the plays carry.

    Parameters
    ----------
    plays
        With next snaps; participation joined where there is any.
    kept
        Folder in which every law's chances are kept, so that an interrupted run goes on.
    """
    data = fingerprint(plays.select(c.name for c in COLUMNS if c.name in plays.columns))
    jobs = list(every_component())
    out = []
    for family, component, base in progress(jobs, len(jobs), "scoring laws"):
        unseen = _kept(component, base, plays, data, kept)
        if unseen is not None:
            out.append(score_of(family, component, unseen))
    return out


def score_of(family: str, component: Component, unseen: Unseen) -> LawScore:
    """Losses, differences and bins of chances that are there."""
    losses = {name: _losses(p, unseen) for name, p in unseen.p.items()}
    # a mean over plays: each entry stands for its share of the plays of its game
    share = unseen.trials * unseen.plays / unseen.trials.sum()
    seeds = np.random.SeedSequence(SEED).spawn(len(LEARNERS))
    less = {
        name: difference(
            losses["ours"] / share, losses[name] / share, unseen.games,
            np.random.default_rng(seed), share,
        )
        for name, seed in zip(LEARNERS[1:], seeds, strict=False)
    }  # fmt: skip
    number = equal_bins(unseen.p["ours"], unseen.trials, BINS)
    return LawScore(
        family=family,
        component=component.name,
        yards=component.is_yardage,
        added_to=component.on,
        plays=unseen.plays,
        games=len(np.unique(unseen.games)),
        seasons=unseen.seasons,
        log_loss={name: float(own.sum()) / unseen.plays for name, own in losses.items()},
        less=less,
        bins=bins(
            unseen.p["ours"], unseen.yes / unseen.trials, unseen.games, unseen.trials, number
        ),
    )


def _losses(p: Array, unseen: Unseen) -> Array:
    """Log loss (n,) of all trials of every entry."""
    p = np.clip(p.astype(float), LEAST, 1 - LEAST)
    return -(unseen.yes * np.log(p) + (unseen.trials - unseen.yes) * np.log1p(-p))


def unseen_of(component: Component, base: Component | None, plays: pl.DataFrame) -> Unseen | None:
    """Leave seasons out in turn; ``None`` where there are not two seasons with rows."""
    frame = component.rows(plays)
    having = sorted(int(s) for s in frame["season"].unique())
    seasons = having if component.needs else [s for s in having if s in FIRST_SEASONS]
    if len(having) < 2 or not seasons:
        return None
    parts: dict[str, list[Array]] = {}
    count = 0
    for season in seasons:
        train = frame.filter(pl.col("season") != season)
        test = frame.filter(pl.col("season") == season)
        count += len(test)
        offset = _Offset(base, plays.filter(pl.col("season") != season))
        for name, values in _one_season(component, offset, train, test):
            parts.setdefault(name, []).append(values)
    whole = {name: np.concatenate(values) for name, values in parts.items()}
    return Unseen(
        {name: whole[name] for name in LEARNERS}, whole["trials"], whole["yes"], whole["games"],
        count, tuple(seasons),
    )  # fmt: skip


class _Offset:
    """Log odds of the law that a component is added to, fitted on the same seasons."""

    def __init__(self, base: Component | None, plays: pl.DataFrame) -> None:
        self.also = base.covariates if base else ()
        self._fit = None
        if base is not None:
            counts = base.counts(base.rows(plays))
            self._fit = fit_logit(counts, base.basis, np.random.default_rng(SEED))

    def eta(self, counts: Counts) -> Array | None:
        return None if self._fit is None else self._fit.eta(counts.columns)


def _one_season(
    component: Component, offset: _Offset, train: pl.DataFrame, test: pl.DataFrame
) -> Iterator[tuple[str, Array]]:
    seen = component.counts(train, also=offset.also)
    new = component.counts(test, also=offset.also)
    fit = fit_logit(seen, component.basis, np.random.default_rng(SEED), None, offset.eta(seen))
    eta, added = fit.eta(new.columns), offset.eta(new)
    cell, game = new.by_game_trials.nonzero()
    chances = {
        "ours": expit(eta if added is None else eta + added),
        "frequency": _frequency(component, seen, new),
        "boosted": _boosted(seen, new, offset.eta(seen), added),
    }
    for name, p in chances.items():
        yield name, p[cell]
    yield "trials", np.asarray(new.by_game_trials[cell, game]).ravel()
    yield "yes", np.asarray(new.by_game_yes[cell, game]).ravel()
    yield "games", new.games[game]


def _frequency(component: Component, seen: Counts, new: Counts) -> Array:
    """The share of yes in the other seasons; for a law of yards at every yard.

    Half a yes and half a no are added, so that nothing is impossible.
    """
    if not component.is_yardage:
        return np.full(len(new.trials), (seen.yes.sum() + 0.5) / (seen.trials.sum() + 1))
    low = min(seen.columns[YARDS].min(), new.columns[YARDS].min())
    many = max(seen.columns[YARDS].max(), new.columns[YARDS].max()) - low + 1
    at = seen.columns[YARDS] - low
    yes = np.bincount(at, weights=seen.yes, minlength=many)
    trials = np.bincount(at, weights=seen.trials, minlength=many)
    return ((yes + 0.5) / (trials + 1))[new.columns[YARDS] - low]


def _boosted(seen: Counts, new: Counts, offset: Array | None, new_offset: Array | None) -> Array:
    """Boosted trees on shares weighted by their trials."""
    import xgboost

    settings = {
        "objective": "binary:logistic", "max_depth": DEPTH, "eta": RATE, "nthread": THREADS,
        "tree_method": "hist", "seed": SEED,
    }  # fmt: skip
    columns = np.column_stack([np.asarray(c, dtype=float) for c in seen.columns.values()])

    def matrix(games: Array) -> xgboost.DMatrix:
        trials, yes = seen.by_game_trials @ games, seen.by_game_yes @ games
        rows = trials > 0
        margin = None if offset is None else offset[rows]
        return xgboost.DMatrix(
            columns[rows], yes[rows] / trials[rows], weight=trials[rows], base_margin=margin
        )

    kept = np.random.default_rng(SEED).permutation(len(seen.games)) % FIFTH == 0
    trial = xgboost.train(
        settings, matrix((~kept).astype(float)), ROUNDS,
        evals=[(matrix(kept.astype(float)), "kept")], early_stopping_rounds=PATIENCE,
        verbose_eval=False,
    )  # fmt: skip
    model = xgboost.train(settings, matrix(np.ones(len(kept))), trial.best_iteration + 1)
    asked = np.column_stack([np.asarray(c, dtype=float) for c in new.columns.values()])
    return np.asarray(model.predict(xgboost.DMatrix(asked, base_margin=new_offset)))


def _kept(
    component: Component,
    base: Component | None,
    plays: pl.DataFrame,
    data: str,
    folder: Path | None,
) -> Unseen | None:
    """Chances of one law, read where they were kept."""
    settings = [component_settings(c) for c in (component, base) if c is not None]
    about = [FORMAT, data, FIRST_SEASONS, DEPTH, RATE, ROUNDS, PATIENCE, FIFTH, settings]
    key = key_of(*about)
    path = None if folder is None else folder / f"{component.name.replace(' ', '-')}.npz"
    if path is not None and (found := _read(path, key)) is not None:
        return found
    found = unseen_of(component, base, plays)
    if path is not None and found is not None:
        path.parent.mkdir(parents=True, exist_ok=True)
        arrays: dict[str, Array] = {
            "key": np.array(key), "trials": found.trials, "yes": found.yes,
            "games": found.games.astype(str), "plays": np.array(found.plays),
            "seasons": np.array(found.seasons), **found.p,
        }  # fmt: skip
        part = path.with_suffix(".part")
        with part.open("wb") as file:
            np.savez_compressed(file, allow_pickle=False, **arrays)
        part.replace(path)
    return found


def _read(path: Path, key: str) -> Unseen | None:
    from zipfile import BadZipFile

    try:
        with np.load(path, allow_pickle=False) as stored:
            if str(stored["key"]) != key:
                return None
            return Unseen(
                {name: stored[name] for name in LEARNERS}, stored["trials"], stored["yes"],
                stored["games"], int(stored["plays"]), tuple(int(s) for s in stored["seasons"]),
            )  # fmt: skip
    except (OSError, ValueError, KeyError, EOFError, BadZipFile):
        return None
