"""Chances to win before a kickoff, many at a time.

Scores at several moments, both tries and either side's kick ask for dozens of kickoffs a snap.
They are first written into a book and then valued together with everything else.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pointsleft_models.fitting.condense import condense
from pointsleft_models.laws.kickoff import RETURN_SECONDS
from pointsleft_models.laws.lattice import SPOTS
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.states import States, spread_column

Array = np.ndarray

#: Points that stand for the law of starts after a kickoff.
START_POINTS = 4


@dataclass(frozen=True, slots=True)
class Kickoff:
    """A kickoff about to be taken, from our view.

    Attributes
    ----------
    lead
        Our points ahead.
    seconds, half
        Left in the half, and which.
    receives
        Whether we receive it.
    own_timeouts, other_timeouts
        Time-outs left.
    second_half
        +1 where we receive the second-half kickoff, -1 where not, 0 unknown or past.
    spread
        Points by which we were favoured before the game; ``None`` unknown.
    free_kick
        A free kick after a safety.
    """

    lead: int
    seconds: int
    half: int
    receives: bool
    own_timeouts: int
    other_timeouts: int
    second_half: int
    spread: float | None = None
    free_kick: bool = False


class KickoffBook:
    """Kickoffs to be valued together.

    Whoever needs a kickoff has it noted, keeps the number of its line, and looks the line up in
    ``values`` once the book is closed. A chance that is known already has a line too.
    """

    def __init__(self, starts: dict[bool, tuple[Array, Array]], fits: int) -> None:
        self._starts = starts
        self._fits = fits
        self._lines: dict[Kickoff, int] = {}
        self._known: dict[float, int] = {}
        self._values: Array | None = None

    def line(self, kickoff: Kickoff) -> int:
        """Line of our chance to win before a kickoff."""
        return self._lines.setdefault(kickoff, len(self._lines))

    def known(self, chance: float) -> int:
        """Line of a chance that is known; counted from the end."""
        return self._known.setdefault(chance, -1 - len(self._known))

    @property
    def values(self) -> Array:
        """(fits, lines) chances to win of a closed book."""
        assert self._values is not None, "the book is still open"
        return self._values

    def states(self) -> States:
        """States to be valued, START_POINTS a kickoff, from the receiver's view."""
        lines = list(self._lines)
        spots = [self._starts[k.free_kick][0] for k in lines]
        n = len(lines)

        def column(values: list[float] | list[int]) -> Array:
            return np.repeat(np.array(values), START_POINTS)

        sign = [1 if k.receives else -1 for k in lines]
        ours = [(k.own_timeouts, k.other_timeouts) for k in lines]
        turned = [(a, b) if s > 0 else (b, a) for (a, b), s in zip(ours, sign, strict=True)]
        spot = np.concatenate(spots) if spots else np.zeros(0, dtype=int)
        return States(
            down=np.ones(n * START_POINTS, dtype=int),
            distance=np.minimum(10, spot),
            yards_to_goal=spot,
            half=column([k.half for k in lines]),
            half_seconds=column([max(k.seconds - RETURN_SECONDS, 1) for k in lines]),
            lead=column([k.lead * s for k, s in zip(lines, sign, strict=True)]),
            own_timeouts=column([a for a, _ in turned]),
            opponent_timeouts=column([b for _, b in turned]),
            receives=column([k.second_half * s for k, s in zip(lines, sign, strict=True)]),
            home=np.zeros(n * START_POINTS),
            spread=column([spread_column(k.spread) * s for k, s in zip(lines, sign, strict=True)]),
        )

    def close(self, raw: Array) -> None:
        """Take the values (fits, n) of :meth:`states`."""
        shape = len(self._lines), START_POINTS
        weights = np.array([self._starts[k.free_kick][1] for k in self._lines]).reshape(shape)
        value = (raw.reshape(self._fits, *shape) * weights).sum(-1)
        receives = np.array([k.receives for k in self._lines], dtype=bool)
        known = np.broadcast_to(
            np.array(list(self._known)[::-1], dtype=float), (self._fits, len(self._known))
        )
        self._values = np.concatenate([np.where(receives, value, 1 - value), known], axis=1)


def condensed_starts(points: ExpectedPoints) -> dict[bool, tuple[Array, Array]]:
    """Spots (yards to goal) and weights that stand for starts; key: after a free kick."""
    out = {}
    lines = np.arange(1, SPOTS + 1)
    for free_kick in (False, True):
        law = points.kickoff.starts(points.rules, free_kick=free_kick)
        few = condense(lines, law.probability / law.probability.sum(), START_POINTS)
        out[free_kick] = (
            np.array([100 - round(line) for line, _ in few]),
            np.array([weight for _, weight in few]),
        )
    return out
