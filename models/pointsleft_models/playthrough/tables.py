"""Fitted parts as plain look-ups: log odds by spot and mood, and yards by quantile.

The engine draws from these tables and the exact chain reads its chances off the same tables, so
the two play the same game.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pointsleft_models.fitting.basis import Term
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS, YardageLaw, from_stops
from pointsleft_models.playthrough import codes

Array = np.ndarray

#: A law of yards is cut into slots of equal chance, the upper tail finer: long gains are rare and
#: worth much.
MAIN_SLOTS = 512
TAIL_FROM = 31 / 32
TAIL_SLOTS = 128
USED_MAIN = int(MAIN_SLOTS * TAIL_FROM)
SLOTS = USED_MAIN + TAIL_SLOTS
TAIL_SCALE = TAIL_SLOTS / (1 - TAIL_FROM)

#: Chance of every slot, and the middle of each.
SLOT_CHANCE = np.concatenate(
    [np.full(USED_MAIN, 1 / MAIN_SLOTS), np.full(TAIL_SLOTS, 1 / TAIL_SCALE)]
)
SLOT_MIDDLE = np.cumsum(SLOT_CHANCE) - SLOT_CHANCE / 2

#: Points a game by which the offense is the better side: a straight line in the log odds of a
#: part, applied by the engine and not tabulated.
STRENGTH = "better"

SPOT_AXES = {
    "down0": np.arange(4),
    "to_go": np.arange(1, codes.LONGEST_TO_GO + 1),
    "yards_to_goal": np.arange(1, codes.SPOTS + 1),
}
MOOD_AXES = {
    "down0": np.arange(4),
    "half0": np.arange(2),
    "score": np.arange(codes.SCORES),
    "clock": codes.CLOCKS,
}


def on_grid(logit: FittedLogit, axes: Mapping[str, Array]) -> Array:
    """Log odds over the product of ``axes``, one array axis for each; teams of equal strength."""
    names = list(axes)
    total = np.zeros(tuple(len(values) for values in axes.values()))
    for term, own in zip(logit.basis.terms, logit.basis.split(logit.coefficients), strict=True):
        if _is_strength(term):
            continue
        total += _placed(term.table(own, axes), [a.variable for a in term.axes], names)
    return total


def _is_strength(term: Term) -> bool:
    return [axis.variable for axis in term.axes] == [STRENGTH]


def strength_slope(logit: FittedLogit) -> float:
    """Log odds a point of strength; 0 where the part does not know it."""
    own = logit.basis.split(logit.coefficients)
    for term, part in zip(logit.basis.terms, own, strict=True):
        if _is_strength(term):
            return float(part[0])
    return 0.0


def _placed(table: Array, variables: list[str], names: list[str]) -> Array:
    """A term's table with its axes in the order of ``names``, broadcastable over all of them."""
    order = sorted(range(len(variables)), key=lambda k: names.index(variables[k]))
    shape = [1] * len(names)
    for k in order:
        shape[names.index(variables[k])] = table.shape[k]
    return table.transpose(order).reshape(shape)


@dataclass(frozen=True, slots=True)
class PairTable:
    """A logit as two look-ups.

    Attributes
    ----------
    spot
        (4 * 20 * 99,) log odds by down, distance, yards to goal.
    mood
        (4 * 2 * scores * clocks,) what down, half, score and clock add.
    strength
        What a point a game of strength adds.
    """

    spot: Array
    mood: Array
    strength: float = 0.0

    def eta(self, spot: Array, mood: Array) -> Array:
        """Log odds at indices of spots and moods, teams of equal strength."""
        return self.spot[spot] + self.mood[mood]


def pair_table(logit: FittedLogit) -> PairTable:
    """The two tables of a logit whose every term lies in the spot or in the mood.

    Raises
    ------
    ValueError
        A term that needs both.
    """
    spot = np.zeros(int(np.prod([len(v) for v in SPOT_AXES.values()])))
    columns = _mood_columns()
    mood = np.zeros(len(columns["clock"]))
    for term, own in zip(logit.basis.terms, logit.basis.split(logit.coefficients), strict=True):
        names = [axis.variable for axis in term.axes]
        if _is_strength(term):
            continue
        if set(names) <= set(SPOT_AXES):
            wide = np.zeros(tuple(len(v) for v in SPOT_AXES.values()))
            spot += (wide + _placed(term.table(own, SPOT_AXES), names, list(SPOT_AXES))).ravel()
        elif set(names) <= set(columns):
            index, weight = term.sparse(columns)
            mood += (own[index] * weight).sum(1)
        else:
            raise ValueError(f"a term over {names} mixes spot and mood; the engine cannot use it")
    return PairTable(spot.astype(np.float32), mood.astype(np.float32), strength_slope(logit))


def _mood_columns() -> dict[str, Array]:
    """Every mood as columns, in the order of :func:`mood_index`, with what follows from it."""
    grids = np.meshgrid(*MOOD_AXES.values(), indexing="ij")
    columns = {name: g.ravel() for name, g in zip(MOOD_AXES, grids, strict=True)}
    columns["press"] = codes.pressing(columns["half0"], columns["clock"], columns["score"])
    return columns


def spot_index(down: Array, distance: Array, yards_to_goal: Array) -> Array:
    """Index into the spot tables; downs from 1."""
    to_go = np.minimum(distance, codes.LONGEST_TO_GO)
    return ((down - 1) * codes.LONGEST_TO_GO + to_go - 1) * codes.SPOTS + yards_to_goal - 1


def mood_index(down: Array, half0: Array, score: Array, clock: Array) -> Array:
    """Index into the mood tables; ``clock`` is an index of ``codes.CLOCKS``."""
    return (((down - 1) * 2 + half0) * codes.SCORES + score) * len(codes.CLOCKS) + clock


def slot(u: Array) -> Array:
    """Slot of every uniform draw."""
    main = u * np.float32(MAIN_SLOTS)
    tail = USED_MAIN + (u - np.float32(TAIL_FROM)) * np.float32(TAIL_SCALE)
    return np.minimum(np.where(u < TAIL_FROM, main, tail).astype(np.int64), SLOTS - 1)


@dataclass(frozen=True, slots=True)
class QuantileTable:
    """Laws of whole numbers by quantile.

    Attributes
    ----------
    values
        (cells * SLOTS,) flat.
    strength
        Log odds by which a point a game of strength moves a uniform draw.
    """

    values: Array
    strength: float = 0.0

    def draw(self, cell: Array, slots: Array) -> Array:
        """The value of each cell's law at each slot."""
        return self.values[cell * SLOTS + slots]

    def law(self, cell: int) -> tuple[Array, Array]:
        """Values and chances of one cell."""
        own = self.values[cell * SLOTS : (cell + 1) * SLOTS]
        values, where = np.unique(own, return_inverse=True)
        return values.astype(np.int64), np.bincount(where, SLOT_CHANCE)

    def __len__(self) -> int:
        return len(self.values) // SLOTS


def quantile_table(law: Array, first: int, strength: float = 0.0) -> QuantileTable:
    """Quantiles of laws (cells, n) over the values ``first``, ``first`` + 1, ..."""
    rising = np.cumsum(law, axis=1)
    rising /= rising[:, -1:]
    kind = np.int8 if first >= -128 and first + law.shape[1] <= 128 else np.int16
    out = np.empty((len(law), SLOTS), dtype=kind)
    for cell in range(len(law)):
        out[cell] = first + np.searchsorted(rising[cell], SLOT_MIDDLE, side="left")
    return QuantileTable(out.ravel(), strength)


def yards_table(fitted: YardageLaw, axes: Mapping[str, Array], limit: int) -> QuantileTable:
    """Quantiles of a law of yards over the product of ``axes`` (cells in their order)."""
    yards = np.arange(fitted.low, limit)
    eta = on_grid(fitted.stop, {**axes, YARDS: yards}).reshape(-1, len(yards))
    law = from_stops(expit(eta))
    slope = strength_slope(fitted.stop)
    moved = _quantile_slope(eta[_typical(axes)], slope) if slope else 0.0
    return quantile_table(law, fitted.low, moved)


#: The snap at which strength is translated into a shift of draws.
TYPICAL = {"down0": 0, "to_go": 10, "yards_to_goal": 60, "script": codes.USUAL}


def _typical(axes: Mapping[str, Array]) -> int:
    """Cell of first and ten in the open field."""
    at = [int(np.abs(values - TYPICAL[name]).argmin()) for name, values in axes.items()]
    return int(np.ravel_multi_index(at, tuple(len(v) for v in axes.values())))


def _quantile_slope(eta: Array, slope: float) -> float:
    """The shift of a draw's log odds that moves mean yards as ``slope`` moves every stop.

    Parameters
    ----------
    eta
        (n,) log odds of stopping of a typical cell.
    """
    yards = np.arange(len(eta) + 1)
    law = from_stops(expit(eta))
    wanted = float((from_stops(expit(eta + slope)) - law) @ yards)
    low = np.cumsum(law) - law
    chance = np.clip(np.stack([low, low + law]), 1e-9, 1 - 1e-9)
    step = 0.01
    # a draw moved up by ``step`` in log odds lies above a point with the chance it had higher up
    shifted = expit(np.log(chance / (1 - chance)) - step)
    gained = float(np.diff(shifted, axis=0)[0] @ yards - law @ yards)
    return wanted / gained * step
