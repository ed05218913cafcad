"""An option as the valuing sees it: a law that one judgement can move.

Every kind of option has one main judgement, a number (how open the receiver is, how likely the
runner is to be stopped, how sure the kick), so break-even, judgement spread and the decisive
judgement are worked out in the same way for all of them.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar

import numpy as np
from pointsleft_models.laws.lattice import OutcomeLaw

Array = np.ndarray

#: Points at which a law whose cells move with its judgement is worked out; between them its
#: value is a smooth curve, drawn through these.
CURVE_POINTS = 7


@dataclass(frozen=True, slots=True)
class Judged:
    """A judged number with its range.

    Attributes
    ----------
    subject
        What is judged, e.g. ``window of post``.
    said
        What the log says, in its words, or that it was assumed.
    """

    subject: str
    said: str
    value: float
    low: float
    high: float

    @property
    def half_range(self) -> float:
        return (self.high - self.low) / 2

    def draws(self, uniform: Array) -> Array:
        """Values (n,) from uniform numbers: triangular, the value at the top."""
        low, top, high = self.low, self.value, self.high
        if high <= low:
            return np.full(uniform.shape, top)
        split = (top - low) / (high - low)
        rising = low + np.sqrt(np.maximum(uniform * (high - low) * (top - low), 0))
        falling = high - np.sqrt(np.maximum((1 - uniform) * (high - low) * (high - top), 0))
        return np.where(uniform < split, rising, falling)


@dataclass(frozen=True, kw_only=True)
class OptionModel(ABC):
    """One option.

    Attributes
    ----------
    judged
        The main judgement, on the scale that :meth:`law` takes.
    in_read
        Chance that the option was in the read.
    seconds
        Seconds that the play takes (a class of the clock).
    on_time, sack
        Chances that the ball is out in rhythm, and of a sack; ``None`` where they do not apply.
    hit
        Hits on the quarterback to expect.
    assumed
        Codes of the judgements that stood in for what the log did not say.
    """

    id: str
    kind: str
    label: str
    judged: Judged
    in_read: Judged
    group: str | None = None
    place: int | None = None
    air_yards: int | None = None
    third: str | None = None
    window: str | None = None
    reaction: int = 1
    seconds: float = 6.0
    on_time: float | None = None
    sack: float | None = None
    hit: float = 0.0
    assumed: tuple[str, ...] = ()

    #: +1 where a larger judgement is a better option, -1 where it is a worse one.
    better: ClassVar[int] = 1

    @abstractmethod
    def law(self, judgement: float | None = None, *, refits: bool = False) -> OutcomeLaw:
        """The law with the judgement at a value (its own when ``None``)."""

    @cached_property
    def outcomes(self) -> Array:
        """(CELLS,) chance of every outcome under the point fit, the judgement at its own value."""
        return self.law().mixture()[0]

    def value(self, cells: Array) -> float:
        """Exact value from the value of every cell (CELLS,), the judgement at its own value."""
        return float(self.outcomes @ cells)

    def values(self, judgements: Array, cells: Array) -> Array:
        """Value (n,) at each of n judgements, from the value of every cell (CELLS,).

        Kinds whose cells move with the judgement are worked out at a few points of its range.
        """
        low, high = float(judgements.min()), float(judgements.max())
        if high - low < 1e-12:
            return np.full(judgements.shape, float(self.law(low).value(cells)[0]))
        grid = np.linspace(low, high, CURVE_POINTS)
        at = np.array([float(self.law(float(x)).value(cells)[0]) for x in grid])
        curve = np.polynomial.Polynomial.fit(grid, at, 4)
        return np.asarray(curve(judgements))

    def chance(self, judgement: float | None = None) -> float | None:
        """Chance of success: of a completion, a conversion, a kick; ``None`` for other kinds."""
        return None

    def say(self, judgement: float) -> str:
        """A judgement in the log's own words."""
        return f"{judgement:+.2f}"

    def window_at(self, judgement: float) -> str | None:
        """The window word nearest to a judgement; ``None`` for kinds without windows."""
        return None
