"""From values to places on the paper."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight map from ``low``..``high`` to ``start``..``end``."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


def step_of(span: float, wanted: int) -> float:
    """A round step (1, 2 or 5 times a power of ten) that cuts a span into about ``wanted``."""
    raw = span / max(1, wanted)
    power = 10.0 ** math.floor(math.log10(raw))
    return next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= raw * (1 - 1e-9))


def ticks(low: float, high: float, wanted: int = 5) -> tuple[float, ...]:
    """Round values inside a span, at least two of them, zero exactly zero.

    >>> ticks(-0.3, 1.1, 4)
    (0.0, 0.5, 1.0)
    """
    while True:
        step = step_of(high - low, wanted)
        first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
        if last > first:
            return tuple(round(i * step, 10) + 0.0 for i in range(first, last + 1))
        wanted += 1


def widen(low: float, high: float, share: float, least: float) -> tuple[float, float]:
    """A span with room at both ends, and at least ``least`` wide."""
    span = max(high - low, least)
    middle = (low + high) / 2
    half = span * (0.5 + share)
    return middle - half, middle + half


def ticks_decimals(values: tuple[float, ...]) -> int:
    """Fewest decimals that tell every tick apart."""
    return next(
        (d for d in range(4) if all(abs(v - round(v, d)) < 1e-9 for v in values)),
        4,
    )
