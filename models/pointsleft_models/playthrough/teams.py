"""How the sides of a game differ, and what a lead says of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pointsleft_models.playthrough.start import Start

Array = np.ndarray

REGULATION = 3600


@dataclass(frozen=True, slots=True)
class Teams:
    """How the teams of a run differ, points a game; as it stands they are equal.

    Attributes
    ----------
    spread
        Standard deviation of the points by which one side is better.
    level
        Standard deviation of the points by which both sides together score more than average
        sides: offenses and defenses differ apart, and so does the weather.
    edge
        Points by which team 0 is better on average (at home).
    equal
        Standard deviation of the margin between equal sides.
    reach, level_reach
        Points that the parts bring about for a point of strength, in the margin and in the total
        (some parts, kicks among them, do not know it); strengths are scaled so that a point is a
        point.
    """

    spread: float = 0.0
    level: float = 0.0
    edge: float = 0.0
    equal: float = 13.0
    reach: float = 1.0
    level_reach: float = 1.0

    def draw(self, rng: np.random.Generator, games: int) -> Array:
        """(2, games) points by which either offense is on the better side."""
        difference, level = rng.standard_normal((2, games))
        better = (self.edge + self.spread * difference) / self.reach
        both = self.level * level / self.level_reach
        return np.stack([both + better, both - better])

    def seen(self, seconds: int, lead: int) -> Teams:
        """The same teams once team 0 leads by ``lead`` after so many seconds.

        A side that leads is the better one more often than not. The margin is taken as a walk
        with drift: after the share t of the game the lead is Normal(t d, t equal^2), and d is
        Normal(edge, spread^2) beforehand.
        """
        if self.spread <= 0:
            return self
        share = min(seconds, REGULATION) / REGULATION
        weight = self.spread**2 / (self.equal**2 + self.spread**2 * share)
        return replace(
            self,
            edge=self.edge + weight * (lead - share * self.edge),
            spread=float(self.equal * np.sqrt(weight)),
        )

    def favoured_by(self, points: float) -> Teams:
        """The sides as a pre-game spread has them, team 0 better by so many points.

        They score as much as they do on average, and nothing of what they differ by is left open.
        """
        return replace(self, edge=points, spread=0.0)

    def sides(self, start: Start, spread: float | None) -> Teams:
        """The sides of a start: as a pre-game spread has them, or without one as the score lets
        them be seen, nobody at home."""
        if spread is not None:
            return self.favoured_by(spread)
        return replace(self, edge=0.0).at(start)

    def at(self, start: Start) -> Teams:
        """The same teams as the score of a start lets them be seen."""
        played = REGULATION - start.seconds if start.half == 2 else REGULATION // 2 - start.seconds
        return self.seen(REGULATION if start.half == 3 else max(played, 0), start.lead)
