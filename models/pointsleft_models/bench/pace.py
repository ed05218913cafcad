"""Would values be better if the clock of their fit were moved to that of the rules?

The clock stops more often under college rules, so the same seconds hold more plays. The seconds of
every snap of a college season are stretched by several paces, and what professional fits then say
is held against what came; beside it the pace of the rules, from games that are played through with
the same parts under both.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import polars as pl

from pointsleft_models.bench.leave_out import two_classes
from pointsleft_models.bench.paired import Difference, difference, log_losses
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.rules import RuleSet
from pointsleft_models.playthrough.codes import HALF_SECONDS
from pointsleft_models.playthrough.load import load_playthrough
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import kickoff_start
from pointsleft_models.recipes.next_score import labels, next_score_rows, row_states
from pointsleft_models.recipes.wins import win_rows
from pointsleft_models.values.states import States

Array = np.ndarray

#: Seconds of the fit for one of the rules.
PACES = (1.04, 1.08, 1.12, 1.16, 1.2)

SEED = 31


@dataclass(frozen=True, slots=True)
class Paced:
    """What one pace changes: log losses with it less those without, and how far values move.

    Attributes
    ----------
    next_score, wins
        Below nothing the pace helps; intervals count games.
    points_moved, wins_moved
        Mean distance of the values with and without.
    """

    pace: float
    next_score: Difference
    wins: Difference
    points_moved: float
    wins_moved: float


@dataclass(frozen=True, slots=True)
class PaceStudy:
    """All paces on one season.

    Attributes
    ----------
    of_the_rules
        Snaps of a half under the rules of the season over those under the rules of the fits.
    loss_next_score, loss_wins
        Log losses without a pace.
    """

    rows: int
    games: int
    of_the_rules: float
    loss_next_score: float
    loss_wins: float
    paced: list[Paced]


def stretched(at: States, pace: float) -> States:
    """The snaps with so many times the seconds left in the half, at most a whole one."""
    seconds = np.minimum(np.round(at.half_seconds * pace), HALF_SECONDS).astype(int)
    return replace(at, half_seconds=seconds)


def pace_of(rules: RuleSet, of_the_fits: RuleSet, games: int, seed: int = SEED) -> float:
    """Snaps of a first half under rules over those under the rules of the fits, played through by
    the same parts."""
    snaps = []
    for one in (rules, of_the_fits):
        parts = load_playthrough(one)[0]
        done = play_through(parts, kickoff_start(one), games, seed, until="half")
        snaps.append(float(done.snaps.mean()))
    return snaps[0] / snaps[1]


def pace_study(
    plays: pl.DataFrame, models: Models, rules: RuleSet, of_the_fits: RuleSet, games: int
) -> PaceStudy:
    """Hold every pace against a season.

    Parameters
    ----------
    plays
        The season, under ``rules``.
    models
        Fits under other rules.
    games
        Played through for the pace of the rules.
    """
    worth = models.under(rules)
    rows = next_score_rows(plays)
    decided = win_rows(plays).filter(pl.col("result") != 0.5)
    points, wins = _Held(worth, rows), _Held(worth, decided)
    loss_points, loss_wins = points.points(1.0), wins.wins(1.0)
    paced = []
    for pace in PACES:
        next_score, won = points.points(pace), wins.wins(pace)
        rng = np.random.default_rng(SEED)
        paced.append(
            Paced(
                pace,
                difference(next_score[0], loss_points[0], points.games, rng),
                difference(won[0], loss_wins[0], wins.games, rng),
                float(np.abs(next_score[1] - loss_points[1]).mean()),
                float(np.abs(won[1] - loss_wins[1]).mean()),
            )
        )
    return PaceStudy(
        len(rows), rows["game"].n_unique(), pace_of(rules, of_the_fits, games),
        float(loss_points[0].mean()), float(loss_wins[0].mean()), paced,
    )  # fmt: skip


class _Held:
    """Snaps, and what came of them."""

    def __init__(self, worth: Worth, rows: pl.DataFrame) -> None:
        self._worth, self._rows, self._at = worth, rows, row_states(rows)
        self.games = rows["game"].to_numpy()

    def points(self, pace: float) -> tuple[Array, Array]:
        """Log losses of the next score (n,), and expected points (n,)."""
        at = stretched(self._at, pace)
        chances = self._worth.points.next_score.probabilities(at)
        return log_losses(chances, labels(self._rows)), self._worth.points.points(at)

    def wins(self, pace: float) -> tuple[Array, Array]:
        """Log losses of the winner (n,), and chances to win (n,)."""
        chance = self._worth.wins.wins(stretched(self._at, pace))
        won = self._rows["result"].to_numpy().astype(int)
        return log_losses(two_classes(chance), won), chance
