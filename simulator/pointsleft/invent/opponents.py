"""The other side's possessions, taken from games of the play-through."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from pointsleft_models.football.rules import RuleSet
from pointsleft_models.playthrough.load import load_playthrough
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import kickoff_start

Array = np.ndarray

#: A possession that started within so many yards stands in for one that starts here.
NEAR = 3

#: Seconds of a half in which possessions are no longer taken: they hurry or sit on the ball.
LATE = 300


@dataclass(frozen=True, slots=True)
class Possession:
    """One possession of the other side.

    Attributes
    ----------
    points
        That it scored, a try counted where it was made: 7, 6, 8, 3, 0; negative where we did.
    starts
        Where we have the ball next, yards to goal from our view.
    seconds
        Until our next snap.
    """

    points: int
    starts: int
    seconds: int


@dataclass(frozen=True, slots=True)
class Possessions:
    """Many possessions, sorted by where they started.

    ``start`` and ``next_start`` are yards to goal of whoever has the ball; arrays (n,).
    """

    start: Array
    points: Array
    next_start: Array
    seconds: Array

    def draw(self, start: int, rng: np.random.Generator) -> Possession:
        """One that started near ``start`` (yards to goal of the other side)."""
        at = int(rng.choice(self.near(start)))
        return Possession(int(self.points[at]), int(self.next_start[at]), int(self.seconds[at]))

    def near(self, start: int) -> Array:
        """Indices of those that started within :data:`NEAR` yards, or the nearest ones."""
        low, high = np.searchsorted(self.start, [start - NEAR, start + NEAR + 1])
        if high - low >= 20:
            return np.arange(low, high)
        middle = int(np.searchsorted(self.start, start))
        low = min(max(middle - 10, 0), len(self.start) - 20)
        return np.arange(low, low + 20)


def possessions(rules: RuleSet, games: int, seed: int) -> Possessions:
    """Possessions of games of equal teams that led straight to one of the other team."""
    parts, _ = load_playthrough(rules)
    log = play_through(parts, kickoff_start(rules), games, seed, record=True).log
    order = np.argsort(log["game"], kind="stable")
    rows = {name: column[order] for name, column in log.items()}
    change = np.ones(len(order) + 1, bool)
    same = [rows[n][1:] == rows[n][:-1] for n in ("game", "half", "offense")]
    change[1:-1] = ~np.logical_and.reduce(same)
    scored = rows["points"] != 0
    change[1:] |= scored
    first = np.flatnonzero(change[:-1])
    last = np.flatnonzero(change[1:])
    following = first[1:]
    kept = first[:-1], last[:-1]
    turned = (
        (rows["game"][following] == rows["game"][kept[0]])
        & (rows["half"][following] == rows["half"][kept[0]])
        & (rows["offense"][following] != rows["offense"][kept[0]])
        & (rows["seconds"][following] > LATE)
        & (np.abs(rows["lead"][kept[0]]) <= 16)
    )
    begin, after = kept[0][turned], following[turned]
    # the score when we have the ball again, tries and all
    points = -rows["lead"][after] - rows["lead"][begin]
    start = rows["yards_to_goal"][begin]
    by = np.argsort(start, kind="stable")
    return Possessions(
        start[by], points[by], rows["yards_to_goal"][after][by],
        (rows["seconds"][begin] - rows["seconds"][after])[by],
    )  # fmt: skip
