"""What a quarterback of known skill leaves and delivers in the long run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pointsleft.invent.offers import Offer, choose, tilted
from pointsleft.invent.people import Quarterback
from pointsleft.log.record import PLACEMENTS, TIMINGS, Happened
from pointsleft.pricing.execution import executed_law
from pointsleft.pricing.throws import ThrowModel

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class LongRun:
    """Means of many looks, points a decision.

    Attributes
    ----------
    left
        Best option in his read less the chosen one, at the true windows.
    delivered
        What his accuracy adds to the options he chose (sacks and luck aside).
    """

    left: float
    delivered: float
    looks: int


def long_run(
    offers: Sequence[Offer], quarterback: Quarterback, rng: np.random.Generator
) -> LongRun:
    """Over the same looks for everybody."""
    left, delivered = [], []
    tilt = tilted(quarterback.accuracy) - tilted(0.0)
    for found in offers:
        chosen = choose(found, quarterback, rng)
        best = float(np.where(found.look.read, found.worth, -np.inf).max())
        left.append(best - float(found.worth[chosen]))
        delivered.append(float(tilt @ graded_worth(found, chosen)) if tilt.any() else 0.0)
    return LongRun(float(np.mean(left)), float(np.mean(delivered)), len(offers))


def graded_worth(found: Offer, chosen: int) -> Array:
    """(placements * timings,) worth of the chosen option under every judgement of the ball."""
    model = found.models[chosen]
    if not isinstance(model, ThrowModel):
        return np.full(len(PLACEMENTS) * len(TIMINGS), found.worth[chosen])
    out = []
    for placement in PLACEMENTS:
        for timing in TIMINGS:
            done = Happened(result="incomplete", placement=placement, timing=timing)
            law = executed_law(model, replace(found.look.snap, happened=done))
            assert law is not None
            out.append(float(found.values.value(law, "points", model.seconds)[0]))
    return np.array(out)
