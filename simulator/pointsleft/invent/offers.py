"""What the options of a look are truly worth, and what a quarterback makes of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from pointsleft_models.bundle import Worth

from pointsleft.invent.looks import Look
from pointsleft.invent.people import Quarterback
from pointsleft.log.record import WINDOWS
from pointsleft.pricing.cells import SnapValues
from pointsleft.pricing.execution import grade_table
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.snap import prepare
from pointsleft.pricing.throws import ThrowModel
from pointsleft.pricing.windows import openness, word_odds

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Offer:
    """The options of a look under one set of fits.

    Attributes
    ----------
    values
        Values of the snap's outcomes.
    models
        The options, each with its judgement at the truth.
    worth
        (options,) value of each under the truth, points.
    """

    look: Look
    values: SnapValues
    models: tuple[OptionModel, ...]
    worth: Array


def word_of(odds: float) -> str:
    """The window word nearest to how open a receiver is.

    >>> word_of(0.1), word_of(-0.6), word_of(2.5)
    ('even', 'narrow', 'loose')
    """
    return min(WINDOWS, key=lambda w: abs(word_odds(w).value - odds))


def truth(model: OptionModel, odds: float) -> OptionModel:
    """An option with its judgement at the truth instead of at a word."""
    if isinstance(model, ThrowModel):
        at = odds - openness(model.throw.air_yards) + model.flight
    elif model.kind == "scramble":
        at = odds
    else:
        return model
    return replace(model, judged=replace(model.judged, value=at, low=at, high=at))


def offer(worth: Worth, look: Look) -> Offer:
    """Value the options of a look as they truly are."""
    # the word keeps the default of an unsaid window away; the truth then replaces it
    words = [word_of(float(x)) if o.kind == "throw" else None for o, x in zip(
        look.options, look.open, strict=True)]  # fmt: skip
    options = tuple(replace(o, window=w) for o, w in zip(look.options, words, strict=True))
    values, _, models = prepare(worth, replace(look.snap, options=options))
    true = tuple(truth(m, float(x)) for m, x in zip(models, look.open, strict=True))
    found = np.array([values.exact(m, "points") for m in true])
    return Offer(look, values, true, found)


def leaning(air_yards: Sequence[int | None]) -> Array:
    """(options,) yards by which each is thrown short of ten; 0 where nothing is thrown."""
    return np.array([0.0 if a is None else float(min(10 - a, 10)) for a in air_yards])


def choose(found: Offer, quarterback: Quarterback, rng: np.random.Generator) -> int:
    """The option that looks best to him among those in his read."""
    seen = (
        found.worth
        + quarterback.decision_error * rng.standard_normal(len(found.worth))
        + quarterback.lean * leaning([m.air_yards for m in found.models])
    )
    return int(np.argmax(np.where(found.look.read, seen, -np.inf)))


def tilted(accuracy: float) -> Array:
    """(placements * timings,) shares of the judgements of a quarterback's throws."""
    share, move, _ = grade_table()
    tilt = share * np.exp(accuracy * move)
    return tilt / tilt.sum()
