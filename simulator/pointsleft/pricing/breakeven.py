"""Where a missed option ties with what was chosen, and what the verdict hangs on."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.optimize import brentq

from pointsleft.pricing.cells import SnapValues
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.result import BreakEven, Currency, DecisiveJudgement

Array = np.ndarray

#: How far a judgement is moved (log odds, or its own scale) in search of a tie.
SEARCH = 5.0

#: A verdict is said to hang on a judgement only within so many half-ranges of it.
MOST_STEPS = 4.0


def break_even(
    values: SnapValues,
    models: Sequence[OptionModel],
    chosen: int,
    currency: Currency,
    target: float,
) -> tuple[BreakEven, ...]:
    """For every option not taken: the chance and the window at which it ties."""
    out = []
    for at, model in enumerate(models):
        if at == chosen:
            continue
        tie = tie_at(values, model, currency, target)
        out.append(
            BreakEven(
                option=model.id,
                chance=None if tie is None else model.chance(tie),
                model_chance=model.chance(),
                window=None if tie is None else model.window_at(tie),
            )
        )
    return tuple(out)


def tie_at(
    values: SnapValues, model: OptionModel, currency: Currency, target: float
) -> float | None:
    """The judgement at which an option is worth ``target``; ``None`` where none is."""
    cells = values.option_cells(currency, model.seconds)[0]
    low, high = _reach(model)

    def gap(x: float) -> float:
        return float(model.values(np.array([x]), cells)[0]) - target

    ends = gap(low), gap(high)
    if ends[0] == ends[1] or ends[0] * ends[1] > 0:  # nothing is judged, or nothing ties them
        return None
    if ends[0] == 0:
        return low
    return float(brentq(gap, low, high, xtol=1e-6))


def _reach(model: OptionModel) -> tuple[float, float]:
    if model.kind in ("scramble", "throw-away"):  # a chance
        return 0.0, 1.0
    return model.judged.value - SEARCH, model.judged.value + SEARCH


def decisive(
    values: SnapValues,
    models: Sequence[OptionModel],
    v: Array,
    best: int,
    currency: Currency,
    there: Array | None = None,
) -> DecisiveJudgement | None:
    """The smallest single change of a judgement that makes another option the best one.

    A change is measured in half-ranges of the judgement's own scale, so a window that may be
    off by a word and a kick that is known well are compared fairly. What was stated without a
    range decides nothing, and neither does an option that was surely not in the read
    (``there`` is false).
    """
    others = [i for i in range(len(models)) if i != best and (there is None or there[i])]
    if not others:
        return None
    found: list[DecisiveJudgement] = []
    second = max(others, key=lambda i: v[i])
    for at, model in enumerate(models):
        if (at != best and at not in others) or model.judged.half_range <= 0:
            continue
        target = float(v[second] if at == best else v[best])
        tie = tie_at(values, model, currency, target)
        if tie is None:
            continue
        steps = abs(tie - model.judged.value) / model.judged.half_range
        found.append(
            DecisiveJudgement(
                subject=model.judged.subject,
                said=model.judged.said or model.say(model.judged.value),
                turns_at=model.say(tie),
                then_best=models[second].id if at == best else model.id,
                steps=steps,
            )
        )
    close = [d for d in found if d.steps <= MOST_STEPS]
    return min(close, key=lambda d: d.steps) if close else None
