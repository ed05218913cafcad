"""What is measured of a player, one decision at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from pointsleft.players.seen import Money, charged


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure.

    Attributes
    ----------
    name
        ``left``, ``taken`` (share of the available value), ``best`` (the best option was taken),
        and the other entries of the ledger.
    better
        +1 where more is better for him, -1 where less is, 0 where it is not his.
    response
        Figure of one decision, ``None`` where it has none.
    weight
        How much the decision counts: 1, or the value that was available on it.
    refits
        Deviations of the response under the refits of the models, or ``None``.
    difficulty
        Whether the stake and the offer of a snap are allowed for.
    share
        Whether the figure is a share (0 to 1) and not an amount.
    """

    name: str
    better: int
    response: Callable[[Money], float | None]
    weight: Callable[[Money], float]
    refits: Callable[[Money], np.ndarray] | None
    difficulty: bool
    share: bool = False

    def within(self, value: float) -> float:
        """A figure held to what is possible: the normal law of a share may reach further."""
        return min(max(value, 0.0), 1.0) if self.share else value


#: Less than this was to be had (points, or chance of winning): there was nothing to take.
NOTHING = 1e-6


def _whole(_: Money) -> float:
    return 1.0


def _share_taken(money: Money) -> float | None:
    if money.available < NOTHING:
        return None
    return 1 - charged(money, "left") / money.available


def _his(money: Money) -> float:
    return money.blame.get("left", {}).get("quarterback", 0.0)


def _entry(name: str, better: int, *, difficulty: bool) -> Measure:
    return Measure(name, better, lambda m: charged(m, name), _whole, None, difficulty)


MEASURES: Mapping[str, Measure] = {
    m.name: m
    for m in (
        Measure(
            "left", -1, lambda m: charged(m, "left"), _whole,
            lambda m: np.array(m.refits) * _his(m), True,
        ),
        Measure(
            "taken", 1, _share_taken, lambda m: m.available,
            lambda m: np.array(m.refits) * (-_his(m) / m.available), True, share=True,
        ),
        Measure("best", 1, lambda m: float(m.took_best), _whole, None, True, share=True),
        _entry("offered", 0, difficulty=False),
        _entry("delivered", 1, difficulty=False),
        _entry("breaks", 0, difficulty=False),
    )
}  # fmt: skip
