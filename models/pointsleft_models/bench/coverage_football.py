"""Do the intervals hold the truth of a game that looks like football?

The simulator, fitted to the archive, is taken as the truth: a league of equal teams plays an
archive, the shipped estimator is fitted to its snaps and refitted as the shipped fits are, and
its chances to win, ends and all, are held against what playing the situations out says. What the
estimator leaves out of football, and what its bases smooth away, is in its error here; that real
teams differ is not.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from pointsleft_models.bench.covered import Repeat, held
from pointsleft_models.bench.known_league import Known
from pointsleft_models.bench.ours import worth_under_fit_rules
from pointsleft_models.bench.schemes import SCHEMES
from pointsleft_models.bench.simulated_league import simulated_league
from pointsleft_models.bundle import Worth
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import LogitSolver
from pointsleft_models.fitting.resample import resample_games
from pointsleft_models.football.rules import rule_set
from pointsleft_models.playthrough.load import load_playthrough
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.recipes.next_score import (
    REFIT_TOLERANCE,
    fit_kickoff_clock,
    next_score_rows,
    question_design,
)
from pointsleft_models.recipes.next_score_basis import next_score_bases
from pointsleft_models.recipes.plan import FIT_SEASON
from pointsleft_models.recipes.win_basis import win_basis
from pointsleft_models.recipes.wins import win_design, win_rows
from pointsleft_models.values.next_score import NextScore
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.wins import WinProbability

if TYPE_CHECKING:
    import polars as pl

Array = np.ndarray

#: The scheme that is shipped, and the published ones.
TRIED = ("fifths", "rows", "games", "games, then plays", "35% as many games")

#: What is held against its truth under the shipped scheme, and of how many refits the second is.
WINS, POINTS = "wins", "points of the next score"
FEWER_REFITS = 40
FEWER = f"wins, by the first {FEWER_REFITS} of the refits"

#: Steps of the fits that take new curvature: they start nearby.
FRESH = 3


@cache
def league_parts() -> Parts:
    """The parts that are the truth: the shipped play-through under the rules of the fits."""
    return load_playthrough(rule_set("professional", FIT_SEASON))[0]


@dataclass
class _Logit:
    """One fitted question: what it takes to fit it again."""

    solver: LogitSolver
    success: Array
    row: Array
    point: Array

    def again(self, weights: Array, *, full: bool) -> Array:
        """Coefficients under weights of the plays."""
        w = weights[self.row]
        return _again(self.solver, w, w * self.success, self.point, full)


def _again(solver: LogitSolver, trials: Array, yes: Array, point: Array, full: bool) -> Array:
    """A refit: one step of the solver, or all the way as the shipped ones go (``full``)."""
    if full:
        return solver.fit(trials, yes, point, tolerance=REFIT_TOLERANCE, fresh=0).coefficients
    return solver.one_step(trials, yes, point)


class Estimator:
    """The shipped estimator on one archive, from the shipped coefficients on.

    Parameters
    ----------
    plays
        As :func:`simulated_league` gives them.
    shipped
        Its laws of kickoffs and of the last play are the league's own and stay.
    """

    def __init__(self, plays: pl.DataFrame, shipped: Worth) -> None:
        numbered = plays.with_row_index("at").with_columns(game="at")
        self._bases, self._shipped = next_score_bases(), shipped
        rows, start = next_score_rows(numbered), shipped.models.next_score
        self._questions = {
            q: self._question(rows, q, start.questions[q].coefficients) for q in self._bases
        }
        points = replace(
            shipped.points,
            next_score=self._next_score({}),
            clock=fit_kickoff_clock(plays),
        )
        self.points: ExpectedPoints = points
        self._wins = win_rows(plays)
        self._basis = win_basis()
        result = self._wins["result"].to_numpy()
        solver = self._win_solver(self._wins, points)
        fit = solver.fit(np.ones(len(result)), result, shipped.models.win_fit.coefficients)
        self._win = _Logit(
            solver, result, np.arange(len(result)), self._basis.ordered(fit.coefficients)
        )

    def _question(self, rows: pl.DataFrame, question: str, start: Array) -> _Logit:
        basis = self._bases[question]
        design, success, row = question_design(rows, question, basis)
        solver = LogitSolver(design, basis.penalty(), basis.orders(), np.random.default_rng(0))
        fit = solver.fit(np.ones(len(success)), success, start, fresh=FRESH)
        return _Logit(solver, success, row, basis.ordered(fit.coefficients))

    def _next_score(self, refits: Mapping[str, list[Array]]) -> NextScore:
        return NextScore(
            {
                q: FittedLogit(
                    basis,
                    self._questions[q].point,
                    np.array(refits.get(q, [])).reshape(-1, basis.size),
                )
                for q, basis in self._bases.items()
            }
        )

    def _win_solver(self, rows: pl.DataFrame, points: ExpectedPoints) -> LogitSolver:
        basis = self._basis
        return LogitSolver(
            win_design(rows, points), basis.penalty(), basis.orders(), np.random.default_rng(0)
        )

    def refitted(self, weights: list[Array], *, full: bool = False) -> WinProbability:
        """The chance to win with one refit for each weights (plays,) of the plays: one step of
        the solver each, or all the way (``full``)."""
        again = {
            q: [self._bases[q].ordered(one.again(w, full=full)) for w in weights]
            for q, one in self._questions.items()
        }
        points = replace(self.points, next_score=self._next_score(again))
        wins = [self._win_again(points.only(1 + r), w, full) for r, w in enumerate(weights)]
        fit = FittedLogit(
            self._basis, self._win.point, np.array(wins).reshape(-1, self._basis.size)
        )
        return replace(self._shipped.wins, points=points, fit=fit, favoured=None)

    def _win_again(self, points: ExpectedPoints, weights: Array, full: bool) -> Array:
        in_play = weights > 0
        rows, w = self._wins.filter(in_play), weights[in_play]
        solver = self._win_solver(rows, points)
        solver.curvature = self._win.solver.curvature
        found = _again(solver, w, w * self._win.success[in_play], self._win.point, full)
        return self._basis.ordered(found)


@cache
def _shipped() -> Worth:
    return worth_under_fit_rules()


def one_league(known: Known, games: int, refits: int, seed: np.random.SeedSequence) -> Repeat:
    """Play one archive, fit and refit under every scheme, and hold the intervals against the
    truth."""
    estimator, game, rng = _on_one_archive(games, seed)
    draws = ((name, [SCHEMES[name](rng, game) for _ in range(refits)]) for name in TRIED)
    return _held(known, estimator, draws)


def one_as_shipped(known: Known, games: int, refits: int, seed: np.random.SeedSequence) -> Repeat:
    """The same with the resamples of the shipped fits, whole cuts drawn as those draw them: wins
    by all refits and by the first of them, and the points of the next score."""
    estimator, game, rng = _on_one_archive(games, seed)
    resamples = resample_games(game, refits, rng)
    wins = estimator.refitted([resamples.rows(r, game) for r in range(refits)])
    by_wins = wins.wins_all(known.at)
    by_points = wins.points.gross_points_all(known.at)
    again = {WINS: by_wins[1:], FEWER: by_wins[1 : 1 + FEWER_REFITS]}
    one = held(by_wins[0], again, known.wins, known.met, keep=True)
    truth = wins.points.gross_of(known.chances)
    two = held(by_points[0], {POINTS: by_points[1:]}, truth, known.met, keep=True)
    errors = dict.fromkeys(again, one.error) | {POINTS: two.error}
    return Repeat(
        one.error, one.covered | two.covered, one.width | two.width, one.inside | two.inside, errors
    )


def _on_one_archive(
    games: int, seed: np.random.SeedSequence
) -> tuple[Estimator, Array, np.random.Generator]:
    """The estimator on a new archive, the game of every play, and what draws resamples."""
    draw_seed, play_seed = seed.spawn(2)
    plays = simulated_league(league_parts(), games, play_seed.generate_state(4).tolist())
    return (
        Estimator(plays, _shipped()), plays["game"].to_numpy(), np.random.default_rng(draw_seed)
    )  # fmt: skip


def _held(known: Known, estimator: Estimator, draws: Iterable[tuple[str, list[Array]]]) -> Repeat:
    """Refit under the weights of every scheme, one after the other."""
    values = {name: estimator.refitted(weights).wins_all(known.at) for name, weights in draws}
    point = next(iter(values.values()))[0]
    again = {name: value[1:] for name, value in values.items()}
    return held(point, again, known.wins, known.met)
