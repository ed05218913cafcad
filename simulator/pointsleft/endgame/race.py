"""Which of several noisy means is the largest: draws until that is clear, or spent.

The draws are looked at several times, and whichever two look best are compared: both would make
a plain interval too sure of itself. So every look and every pair gets an equal part of the error
allowed to the whole race (Bonferroni), and intervals hold for all pairs at all looks together.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

Array = np.ndarray

#: Chance of even one wrong claim in a race.
ALLOWED = 0.05

#: Values of one action over so many continuations; the same look brings all actions the same luck.
Sampler = Callable[[int, int, int], Array]


@dataclass(frozen=True, slots=True)
class Race:
    """The draws of every action, and what they settle.

    Attributes
    ----------
    values
        One array an action; those that stayed longer have more. Draw i of one is paired with
        draw i of another.
    best
        Action with the largest mean.
    looks
        How often the draws were looked at.
    width
        Standard errors on either side that make intervals hold for all pairs at all looks.
    """

    values: tuple[Array, ...]
    best: int
    looks: int
    width: float

    def gap(self, action: int) -> tuple[float, float]:
        """Mean of the paired difference to the best, and its standard error."""
        return paired(self.values[action], self.values[self.best])

    def interval(self, action: int) -> tuple[float, float]:
        """Of that difference, simultaneous over pairs and looks."""
        mean, error = self.gap(action)
        return mean - self.width * error, mean + self.width * error


def paired(first: Array, second: Array) -> tuple[float, float]:
    """Mean of ``first`` - ``second`` over the draws that both have, and its standard error."""
    both = min(len(first), len(second))
    gap = first[:both] - second[:both]
    return float(gap.mean()), float(gap.std(ddof=1) / np.sqrt(both))


def schedule(first: int, budget: int) -> list[int]:
    """Draws in all at every look: twice as many each time, at most ``budget``.

    >>> schedule(20_000, 100_000)
    [20000, 40000, 80000, 100000]
    """
    looks = [min(first, budget)]
    while looks[-1] < budget:
        looks.append(min(2 * looks[-1], budget))
    return looks


def race(sample: Sampler, actions: int, first: int, budget: int, allowed: float = ALLOWED) -> Race:
    """Draw until one action is clearly the best, or the budget is spent.

    Parameters
    ----------
    sample
        ``sample(action, look, n)``: n values of an action; draws of the same look are paired.
    first, budget
        Draws of every action at the first look, and the most that any action gets.
    """
    from scipy.stats import norm

    looks = schedule(first, budget)
    pairs = max(actions * (actions - 1) // 2, 1)
    width = float(norm.isf(allowed / (2 * pairs * len(looks))))
    values: list[Array] = [np.zeros(0) for _ in range(actions)]
    running = list(range(actions))
    best, done = 0, 0
    for look, upto in enumerate(looks):
        for action in running:
            new = sample(action, look, upto - done)
            values[action] = np.concatenate([values[action], new])
        done = upto
        best = max(running, key=lambda a: float(values[a].mean()))
        running = _still_open(values, running, best, width)
        if len(running) == 1:
            break
    return Race(tuple(values), best, look + 1, width)


def _still_open(
    values: Sequence[Array], running: Sequence[int], best: int, width: float
) -> list[int]:
    """The best, and those that are not clearly behind it; identical results are a tie for good."""
    kept = [best]
    for action in running:
        if action == best:
            continue
        mean, error = paired(values[action], values[best])
        same = mean == 0 and error == 0
        if not same and mean + width * error >= 0:
            kept.append(action)
    return sorted(kept)
