"""The lattice of outcomes of one snap, and laws on it.

Every outcome is one of a few hundred cells: who has the ball where, whether the clock then
runs, or a score. A law is a probability for every cell, split into branches (complete,
intercepted, sacked, ...), so its value is an exact sum and a judgement only moves weights.

Spots are yards to goal of the *offense that snapped the ball*, 1 to 99, also where the other
side has taken over.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np

Array = np.ndarray
Spot = TypeVar("Spot", int, np.ndarray)

SPOTS = 99

#: Offense keeps the ball and the clock runs / is stopped; the other side takes over.
RUNNING, STOPPED, OTHER = 0, SPOTS, 2 * SPOTS
TOUCHDOWN, FIELD_GOAL, SAFETY, DEFENSE_TOUCHDOWN = range(3 * SPOTS, 3 * SPOTS + 4)
CELLS = 3 * SPOTS + 4

_SPOTS = np.arange(1, SPOTS + 1)

#: Kinds of branch, in the words of the output.
KINDS = (
    "complete",
    "incomplete",
    "intercepted",
    "fumbled away",
    "sacked",
    "run",
    "scramble",
    "thrown away",
    "good",
    "missed",
    "blocked",
    "punted",
    "regained",
    "penalty",
)


def spot_cell(block: int, yards_to_goal: Spot) -> Spot:
    """Index of a spot in one of the blocks RUNNING, STOPPED, OTHER."""
    return block + yards_to_goal - 1


@dataclass(frozen=True, slots=True)
class OutcomeLaw:
    """A law over the lattice, as a mixture of branches.

    Attributes
    ----------
    kinds
        Name of each branch.
    weights
        (fits, branches), rows sum to 1; ``fits`` is 1 or 1 + refits, the point fit first.
    cells
        (fits, branches, CELLS), each branch sums to 1.
    seconds
        Seconds that the play itself takes, a mean: a class of the clock, not a law.
    """

    kinds: tuple[str, ...]
    weights: Array
    cells: Array
    seconds: float

    @property
    def fits(self) -> int:
        return len(self.weights)

    def mixture(self) -> Array:
        """(fits, CELLS) probability of every cell."""
        return np.matmul(self.weights[:, None, :], self.cells)[:, 0, :]

    def branch_values(self, values: Array) -> Array:
        """(fits, branches) mean of a value of the cells, (CELLS,) or (fits, CELLS)."""
        if values.ndim == 1:
            return self.cells @ values
        return np.einsum("fbc,fc->fb", self.cells, values)

    def value(self, values: Array) -> Array:
        """(fits,) exact mean of a value of the cells."""
        return (self.weights * self.branch_values(values)).sum(-1)

    def chance(self, kind: str) -> float:
        """Chance of a branch under the point fit; 0 where there is none."""
        return float(sum(w for k, w in zip(self.kinds, self.weights[0], strict=True) if k == kind))


def mix(parts: list[tuple[Array | float, OutcomeLaw]]) -> OutcomeLaw:
    """A mixture of laws.

    Parameters
    ----------
    parts
        Weight (a number or (fits,)) and law; weights sum to 1.
    """
    fits = max(max(law.fits, np.size(weight)) for weight, law in parts)
    kinds = tuple(kind for _, law in parts for kind in law.kinds)
    weights = np.concatenate(
        [
            np.broadcast_to(law.weights, (fits, law.weights.shape[1]))
            * np.broadcast_to(np.asarray(weight, dtype=float), (fits,))[:, None]
            for weight, law in parts
        ],
        axis=1,
    )
    cells = np.concatenate(
        [np.broadcast_to(law.cells, (fits, *law.cells.shape[1:])) for _, law in parts], axis=1
    )
    seconds = sum(float(np.atleast_1d(w)[0]) * law.seconds for w, law in parts)
    return OutcomeLaw(kinds, weights, cells, seconds)


def law_of(branches: list[tuple[str, Array, Array]], seconds: float) -> OutcomeLaw:
    """A law from (kind, weight (fits,), cells (fits or 1, CELLS))."""
    fits = max(max(len(np.atleast_1d(w)), len(c)) for _, w, c in branches)
    weights = np.stack([np.broadcast_to(np.atleast_1d(w), (fits,)) for _, w, _ in branches], 1)
    cells = np.stack([np.broadcast_to(c, (fits, CELLS)) for _, _, c in branches], 1)
    return OutcomeLaw(tuple(kind for kind, _, _ in branches), weights, cells, seconds)


def at_cell(cell: int, fits: int = 1) -> Array:
    """(fits, CELLS) with all probability on one cell."""
    out = np.zeros((fits, CELLS))
    out[:, cell] = 1.0
    return out


def gain_cells(law: Array, low: int, yards_to_goal: int, stopped: Array | float) -> Array:
    """Cells of a carrier with a law of net gain.

    Parameters
    ----------
    law
        (fits, n) probability of net gains ``low`` .. ``yards_to_goal`` (the last entry scores).
    stopped
        Share of plays after which the clock is stopped (out of bounds), a number or (fits,).

    Returns
    -------
    Array
        (fits, CELLS). A loss beyond the own goal line is a safety.
    """
    fits = len(law)
    out = np.zeros((fits, CELLS))
    behind = max(yards_to_goal - low - SPOTS, 0)  # losses beyond the own goal line
    if behind:
        out[:, SAFETY] = law[:, :behind].sum(1)
    kept = law[:, behind:-1][:, ::-1]  # from the goal line back
    share = np.reshape(np.asarray(stopped, dtype=float), (-1, 1))
    first = yards_to_goal - low - behind - kept.shape[1]  # spot of the longest gain, from 0
    out[:, RUNNING + first : RUNNING + first + kept.shape[1]] = kept * (1 - share)
    out[:, STOPPED + first : STOPPED + first + kept.shape[1]] = kept * share
    out[:, TOUCHDOWN] = law[:, -1]
    return out


@dataclass(frozen=True, slots=True)
class Laid:
    """Laws of yards of several carriers, laid on the field.

    Attributes
    ----------
    stopped
        (fits, k, SPOTS) chance of being stopped at each spot.
    off
        (fits, k) chance of being stopped before the first spot of the way, behind a goal line.
    past
        (fits, k) chance of never being stopped.
    """

    stopped: Array
    off: Array
    past: Array


def laid_on_field(stop: Array, start: Array, limit: Array, *, toward_goal: bool) -> Laid:
    """Chances of stopping of several carriers as laws on the spots of the field.

    Parameters
    ----------
    stop
        (fits, k, n) chance of stopping at each yard of the way, for whoever gets there.
    start
        (k,) spot (yards to goal, offense's view) of the first yard; it may lie behind a goal line.
    limit
        (k,) yards of the way until he scores, at most n.
    toward_goal
        Whether spots fall on the way, as the offense's do, or rise, as in a return.
    """
    reached = np.ones((*stop.shape[:-1], stop.shape[-1] + 1))
    np.cumprod(1 - stop, axis=-1, out=reached[..., 1:])
    law = reached[..., :-1] * stop
    away = _SPOTS - start[:, None]
    yard = -away if toward_goal else away  # (k, SPOTS)
    carriers = np.arange(len(start))
    inside = (yard >= 0) & (yard < limit[:, None])
    kept = law[:, carriers[:, None], np.where(inside, yard, 0)] * inside
    before = start - SPOTS if toward_goal else 1 - start
    off = 1 - reached[:, carriers, np.maximum(before, 0)]
    return Laid(kept, off, reached[:, carriers, limit])


def carried_cells(laid: Laid, out_of_bounds: Array) -> Array:
    """(fits, k, CELLS) of carriers of the offense.

    Parameters
    ----------
    out_of_bounds
        (fits, k) share of those stopped after which the clock is stopped.
    """
    share = out_of_bounds[..., None]
    out = np.zeros((*laid.past.shape, CELLS))
    out[..., RUNNING : RUNNING + SPOTS] = laid.stopped * (1 - share)
    out[..., STOPPED : STOPPED + SPOTS] = laid.stopped * share
    out[..., SAFETY] = laid.off
    out[..., TOUCHDOWN] = laid.past
    return out


def returned_cells(laid: Laid) -> Array:
    """(fits, k, CELLS) after the other side took the ball and ran it back; a ball that was not
    brought out of the end zone is at the first spot."""
    out = np.zeros((*laid.past.shape, CELLS))
    out[..., OTHER : OTHER + SPOTS] = laid.stopped
    out[..., OTHER] += laid.off
    out[..., DEFENSE_TOUCHDOWN] = laid.past
    return out
