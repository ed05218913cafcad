"""Judgement spread: the analyst's grades are ranges, drawn jointly."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from scipy.special import ndtr

from pointsleft.pricing.availability import expected_best
from pointsleft.pricing.cells import SnapValues
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.result import Currency, Interval
from pointsleft.pricing.settings import HIGH, LOW, PriceSettings

Array = np.ndarray


def judgement_interval(
    values: SnapValues,
    models: Sequence[OptionModel],
    chosen: int,
    currency: Currency,
    settings: PriceSettings,
    rng: np.random.Generator,
) -> Interval:
    """Central interval of ``left`` over joint draws of every judgement of the snap.

    One charter's judgements of one snap err together (``grader.lean``), all of them kindly or
    all of them hard: a receiver more open goes with a runner who is stopped less.
    """
    n, k = settings.judgement_draws, len(models)
    lean = judged("grader.lean").value
    shared = rng.standard_normal((n, 1))
    own = rng.standard_normal((n, 2 * k))
    uniform = ndtr(math.sqrt(lean) * shared + math.sqrt(1 - lean) * own)
    v = np.empty((n, k))
    chances = np.empty((n, k))
    for at, model in enumerate(models):
        cells = values.option_cells(currency, model.seconds)[0]
        kind = uniform[:, at] if model.better > 0 else 1 - uniform[:, at]
        v[:, at] = model.values(model.judged.draws(kind), cells)
        # a charter who sees receivers open also believes that they were read
        chances[:, at] = 1.0 if at == chosen else model.in_read.draws(uniform[:, k + at])
    groups = [None if i == chosen else m.group for i, m in enumerate(models)]
    best = expected_best(v, _capped(chances, groups), groups)
    low, high = np.quantile(best - v[:, chosen], [LOW, HIGH])
    return Interval(float(low), float(high))


def _capped(chances: Array, groups: Sequence[str | None]) -> Array:
    """Chances of a read group scaled down where a draw sums to more than 1."""
    out = chances.copy()
    for name in {g for g in groups if g is not None}:
        member = np.array([g == name for g in groups])
        total = out[:, member].sum(1, keepdims=True)
        out[:, member] /= np.maximum(total, 1.0)
    return out
