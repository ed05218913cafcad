"""Do the intervals hold the truth as often as they say?

The estimator of the shipped fits (the same bases, solver, effective lead and one-score chance)
is fitted to many archives of random-walk football, refitted under several schemes of
resampling, and the 90% intervals of the chance to win are held against the exact answer. The
scheme that covers at least .88 with the narrowest intervals is the one to ship.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pointsleft_models.bench.covered import Repeat, held
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
from pointsleft_models.bench.schemes import SCHEMES
from pointsleft_models.fitting.curvature import Curvature
from pointsleft_models.fitting.logit import LogitSolver, expit
from pointsleft_models.recipes.next_score import REFIT_TOLERANCE
from pointsleft_models.recipes.next_score_basis import next_score_bases
from pointsleft_models.recipes.win_basis import win_basis
from pointsleft_models.values.next_score import CLASSES
from pointsleft_models.values.states import States
from pointsleft_models.values.wins import win_columns

Array = np.ndarray


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
        many = len(self.at)
        by_score = np.bincount(3 * self.cell + self.coming, weights, minlength=3 * many)
        won = np.bincount(self.cell, weights * self.won, minlength=many)
        return by_score.reshape(many, 3), won


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


def one_walk(
    games: int, refits: int, seed: np.random.SeedSequence, schemes: Sequence[str] = tuple(SCHEMES)
) -> Repeat:
    """Draw one archive, fit and refit, and hold the intervals against the truth.

    Situations count as often as they are met in play.
    """
    rng = np.random.default_rng(seed)
    table = tabled(walk(games, rng))
    met = np.bincount(table.cell, minlength=len(table.at)) / len(table.cell)
    estimator = Estimator(table.at)
    game = np.repeat(np.arange(games), PLAYS)
    point = estimator.fit(*table.counts(np.ones(len(game))))
    again = {
        name: np.array(
            [estimator.refit(*table.counts(SCHEMES[name](rng, game))) for _ in range(refits)]
        )
        for name in schemes
    }
    return held(point, again, truth(table.at), met)
