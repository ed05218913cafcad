"""What came of a run of games, as arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Playthroughs:
    """One entry a game; team 0 is the offense of the start.

    Attributes
    ----------
    margin
        Points of team 0 minus those of team 1 at the end of the run.
    total
        Points of both.
    next_score
        Class of the next score of the half in which the run started, from team 0
        (``pointsleft_models.values.next_score.CLASSES``).
    next_score_seconds
        Seconds left in that half when it came; -1 where none did.
    overtime
        Whether overtime was played.
    snaps
        Snaps played, flagged ones among them, kickoffs and tries not.
    strength
        Points a game by which team 0 was the better side.
    log
        Columns of every snap (see ``engine.LOG``), empty unless asked for.
    """

    margin: Array
    total: Array
    next_score: Array
    next_score_seconds: Array
    overtime: Array
    snaps: Array
    strength: Array
    log: dict[str, Array]

    def __len__(self) -> int:
        return len(self.margin)

    @property
    def wins(self) -> Array:
        """(n,) 1 for a win of team 0, a half for a tie, 0 for a loss."""
        return 0.5 * (1 + np.sign(self.margin))

    def win_probability(self) -> tuple[float, float]:
        """Share of games won, ties a half, and its standard error."""
        return mean_error(self.wins)

    def next_chances(self) -> Array:
        """(7,) shares of the classes of the next score."""
        return np.bincount(self.next_score, minlength=7) / len(self)

    def points(self, values: Array) -> tuple[float, float]:
        """Expected points and standard error, the classes worth ``values`` (7,)."""
        return mean_error(values[self.next_score])


def mean_error(values: Array) -> tuple[float, float]:
    """Mean and its standard error."""
    return float(values.mean()), float(values.std(ddof=1) / np.sqrt(len(values)))


@dataclass(frozen=True, slots=True)
class Difference:
    """One alternative minus another over the same luck.

    ``correlation`` says how much the common draws helped: the variance of the difference is
    1 - correlation times that of independent runs.
    """

    mean: float
    error: float
    correlation: float
    games: int


def difference(first: Array, second: Array) -> Difference:
    """Mean of paired differences of two runs from one seed (wins, points, ...)."""
    gap = first - second
    mean, error = mean_error(gap)
    spread = float(first.std() * second.std())
    together = float(np.cov(first, second, ddof=0)[0, 1]) / spread if spread > 0 else 1.0
    return Difference(mean, error, together, len(gap))


def joined(parts: Sequence[Playthroughs]) -> Playthroughs:
    """Several runs as one; games are numbered on in the log."""
    values = {
        f.name: np.concatenate([getattr(p, f.name) for p in parts])
        for f in fields(Playthroughs)
        if f.name != "log"
    }
    log: dict[str, Array] = {}
    if parts and parts[0].log:
        offsets = np.cumsum([0, *(len(p) for p in parts[:-1])])
        for name in parts[0].log:
            log[name] = np.concatenate(
                [
                    p.log[name] + (at if name == "game" else 0)
                    for p, at in zip(parts, offsets, strict=True)
                ]
            )
    return Playthroughs(**values, log=log)
