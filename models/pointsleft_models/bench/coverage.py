"""Do the intervals hold the truth as often as they say?

The estimator of the shipped fits (the same bases, solver, effective lead and one-score chance)
is fitted to many archives of random-walk football, refitted under several schemes of
resampling, and the 90% intervals of the chance to win are held against the exact answer. The
scheme that covers at least .88 with the narrowest intervals is the one to ship.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np

from pointsleft_models.bench.random_walk import (
    GAME_SECONDS,
    LINE_YARDS,
    LINES,
    NOTHING,
    OURS,
    PLAYS,
    SCORE_POINTS,
    THEIRS,
    Walks,
    as_states,
    exact_wins,
    walk,
)
from pointsleft_models.fitting.curvature import Curvature
from pointsleft_models.fitting.logit import LogitSolver, expit
from pointsleft_models.plays.reading import Progress, quiet
from pointsleft_models.recipes.next_score import REFIT_TOLERANCE
from pointsleft_models.recipes.next_score_basis import next_score_bases
from pointsleft_models.recipes.win_basis import win_basis
from pointsleft_models.values.next_score import CLASSES
from pointsleft_models.values.states import States
from pointsleft_models.values.wins import win_columns

Array = np.ndarray

#: Nominal level of the intervals, and its quantiles.
LEVEL = 0.90
LOW, HIGH = 0.05, 0.95

#: Weights of plays from one way of resampling: (rng, shape of the plays) -> (games, PLAYS).
Draw = Callable[[np.random.Generator, tuple[int, int]], Array]


def _games(share: float) -> Draw:
    def draw(rng: np.random.Generator, shape: tuple[int, int]) -> Array:
        games = shape[0]
        drawn = round(share * games)
        counts = rng.multinomial(drawn, np.full(games, 1 / games)) * (games / drawn)
        return np.broadcast_to(counts[:, None], shape)

    return draw


def _rows(rng: np.random.Generator, shape: tuple[int, int]) -> Array:
    return rng.poisson(1.0, shape).astype(float)


def _games_then_plays(rng: np.random.Generator, shape: tuple[int, int]) -> Array:
    games = rng.multinomial(shape[0], np.full(shape[0], 1 / shape[0]))
    return rng.poisson(np.broadcast_to(games[:, None], shape)).astype(float)


def _part(parts: int) -> Draw:
    """One of so many parts of the games, cut at random: drawn without replacement."""

    def draw(rng: np.random.Generator, shape: tuple[int, int]) -> Array:
        inside = np.zeros(shape[0])
        inside[rng.permutation(shape[0])[: shape[0] // parts]] = float(parts)
        return np.broadcast_to(inside[:, None], shape)

    return draw


#: Every scheme that is tried. Rows and plays are drawn with Poisson weights, which for many rows
#: is drawing with replacement.
SCHEMES: dict[str, Draw] = {
    "rows": _rows,
    "games": _games(1.0),
    "games, then plays": _games_then_plays,
    "half as many games": _games(0.5),
    "35% as many games": _games(0.35),
    "halves": _part(2),
    "thirds": _part(3),
    "quarters": _part(4),
    "fifths": _part(5),
}


@dataclass(frozen=True, slots=True)
class Table:
    """Plays counted by situation.

    Attributes
    ----------
    at
        The distinct situations, and their even-score twins where asked for.
    cell
        (games * PLAYS,) situation of each play.
    coming, won
        (games * PLAYS,) next score, and the winner.
    """

    at: States
    cell: Array
    coming: Array
    won: Array

    def counts(self, weights: Array) -> tuple[Array, Array]:
        """Weighted plays by situation and next score (cells, 3), and won (cells,)."""
        flat = weights.reshape(-1)
        many = len(self.at)
        by_score = np.bincount(3 * self.cell + self.coming, flat, minlength=3 * many).reshape(
            many, 3
        )
        return by_score, np.bincount(self.cell, flat * self.won, minlength=many)


def tabled(walks: Walks) -> Table:
    """The plays of games as a table over the situations that occur."""
    wide = 2 * PLAYS + 1
    code = (walks.left * wide + walks.ahead + PLAYS) * LINES + walks.line
    found, cell = np.unique(code, return_inverse=True)
    left, rest = np.divmod(found, wide * LINES)
    ahead, line = np.divmod(rest, LINES)
    won = np.broadcast_to(walks.won[:, None], walks.left.shape)
    return Table(
        as_states(left, ahead - PLAYS, line), cell.reshape(-1), walks.coming.reshape(-1),
        won.reshape(-1).astype(float),
    )  # fmt: skip


class Estimator:
    """The shipped estimator on the situations of one table.

    Every question that the walk can answer both ways is asked; the others have one answer.
    """

    def __init__(self, at: States) -> None:
        bases = next_score_bases()
        self._at = at
        self._bases = {q: bases[q] for q in ("other", "theirs")} | {"wins": win_basis()}
        own, level = at.columns(), at.even().columns()
        self._own = {q: self._bases[q].design(own, float) for q in ("other", "theirs")}
        self._level = {q: self._bases[q].design(level, float) for q in ("other", "theirs")}
        self._found: dict[str, tuple[Array, Curvature | None]] = {}

    def fit(self, by_score: Array, won: Array) -> Array:
        """Chance to win (cells,) fitted to counts; refits start from the last of these fits."""

        def solve(name: str, design: Any, trials: Array, yes: Array) -> Array:
            solver = self._solver(name, design)
            fit = solver.fit(trials, yes)
            found = self._bases[name].ordered(fit.coefficients)
            self._found[name] = found, solver.curvature
            return found

        return self._wins(by_score, won, solve)

    def refit(self, by_score: Array, won: Array, *, full: bool = False) -> Array:
        """The same from a nearby start: one step of the solver, or all the way (``full``)."""

        def solve(name: str, design: Any, trials: Array, yes: Array) -> Array:
            start, curvature = self._found[name]
            solver = self._solver(name, design)
            solver.curvature = curvature
            if full:
                return solver.fit(
                    trials, yes, start, tolerance=REFIT_TOLERANCE, fresh=0
                ).coefficients
            return solver.one_step(trials, yes, start)

        return self._wins(by_score, won, solve)

    def _solver(self, name: str, design: Any) -> LogitSolver:
        basis = self._bases[name]
        return LogitSolver(design, basis.penalty(), basis.orders(), np.random.default_rng(0))

    def _wins(
        self, by_score: Array, won: Array, solve: Callable[[str, Any, Array, Array], Array]
    ) -> Array:
        answers = {}
        total = by_score.sum(1)
        for q, asked, yes in (
            ("other", total, by_score[:, OURS]),
            ("theirs", by_score[:, NOTHING] + by_score[:, THEIRS], by_score[:, THEIRS]),
        ):
            b = solve(q, self._own[q], asked, yes)
            answers[q] = expit(self._own[q] @ b), expit(self._level[q] @ b)
        chances, level = (_classes(*(answers[q][i] for q in ("other", "theirs"))) for i in (0, 1))
        points = SCORE_POINTS * (level[:, OURS_CLASS] - level[:, THEIRS_CLASS])
        columns = win_columns(self._at, points, 0.0, chances)
        design = self._bases["wins"].design(columns, float)
        return expit(design @ solve("wins", design, total, won))


OURS_CLASS, THEIRS_CLASS = CLASSES.index("field goal"), CLASSES.index("field goal against")


def _classes(ours: Array, theirs: Array) -> Array:
    out = np.zeros((len(ours), len(CLASSES)))
    out[:, OURS_CLASS] = ours
    out[:, THEIRS_CLASS] = (1 - ours) * theirs
    out[:, CLASSES.index("none")] = (1 - ours) * (1 - theirs)
    return out


def truth(at: States) -> Array:
    """Exact chance to win of situations made by :func:`as_states`."""
    left = np.round(at.half_seconds * PLAYS / GAME_SECONDS).astype(int)
    line = (100 - at.yards_to_goal) // LINE_YARDS
    return exact_wins()[left, at.lead // SCORE_POINTS + PLAYS, line]


@dataclass(frozen=True, slots=True)
class Repeat:
    """One archive: mean absolute error, and by scheme the coverage and the mean width."""

    error: float
    covered: dict[str, float]
    width: dict[str, float]


def repeat(
    games: int, refits: int, seed: np.random.SeedSequence, schemes: Sequence[str] = tuple(SCHEMES)
) -> Repeat:
    """Draw one archive, fit and refit, and hold the intervals against the truth.

    Situations count as often as they are met in play.
    """
    rng = np.random.default_rng(seed)
    table = tabled(walk(games, rng))
    met = np.bincount(table.cell, minlength=len(table.at)) / len(table.cell)
    exact = truth(table.at)
    estimator = Estimator(table.at)
    shape = games, PLAYS
    point = estimator.fit(*table.counts(np.ones(shape)))
    covered, width = {}, {}
    for name in schemes:
        again = np.array(
            [estimator.refit(*table.counts(SCHEMES[name](rng, shape))) for _ in range(refits)]
        )
        low, high = np.quantile(again, [LOW, HIGH], axis=0)
        covered[name] = float(met @ ((low <= exact) & (exact <= high)))
        width[name] = float(met @ (high - low))
    return Repeat(float(met @ np.abs(point - exact)), covered, width)


@dataclass(frozen=True, slots=True)
class Covered:
    """One scheme over all repeats: mean coverage with its standard error, and mean width."""

    scheme: str
    coverage: float
    standard_error: float
    width: float


@dataclass(frozen=True, slots=True)
class CoverageStudy:
    """The study at one number of games.

    Attributes
    ----------
    error, error_se
        Mean absolute error of the point fit against the exact answer, and its standard error.
    """

    games: int
    repeats: int
    refits: int
    error: float
    error_se: float
    schemes: list[Covered]


def study(
    games: int,
    repeats: int,
    refits: int,
    *,
    seed: int = 560,
    workers: int = 1,
    kept: Path | None = None,
    progress: Progress = quiet,
) -> CoverageStudy:
    """Repeat, and average.

    Parameters
    ----------
    kept
        Folder in which every repeat is kept, so that an interrupted study goes on.
    """
    from joblib import Parallel, delayed

    seeds = np.random.SeedSequence([seed, games, refits]).spawn(repeats)
    pool = Parallel(n_jobs=workers, return_as="generator")
    jobs = (delayed(_kept)(games, refits, s, _path(kept, games, refits, i))
            for i, s in enumerate(seeds))  # fmt: skip
    found = list(progress(pool(jobs), repeats, f"covering at {games} games"))
    errors = np.array([r.error for r in found])
    rows = []
    for name in SCHEMES:
        covered = np.array([r.covered[name] for r in found])
        width = float(np.mean([r.width[name] for r in found]))
        rows.append(Covered(name, float(covered.mean()), _se(covered), width))
    return CoverageStudy(games, repeats, refits, float(errors.mean()), _se(errors), rows)


def _se(values: Array) -> float:
    return float(values.std(ddof=1) / np.sqrt(len(values))) if len(values) > 1 else 0.0


def _path(folder: Path | None, games: int, refits: int, at: int) -> Path | None:
    return None if folder is None else folder / f"{games}-{refits}-{at:03d}.json"


def _kept(games: int, refits: int, seed: np.random.SeedSequence, path: Path | None) -> Repeat:
    """One repeat, read where it was kept."""
    from threadpoolctl import threadpool_limits

    if path is not None and path.is_file():
        return Repeat(**json.loads(path.read_text(encoding="utf-8")))
    with threadpool_limits(1):
        done = repeat(games, refits, seed)
    if path is not None:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(json.dumps(asdict(done)), encoding="utf-8")
    return done
