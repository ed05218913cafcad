"""The ledger of one snap in one currency, with its spread.

    offered   = M - V(situation)
    left      = M - V(chosen)
    delivered = V(chosen | how executed) - V(chosen)
    breaks    = V(actual) - V(chosen | how executed)

M is the expectation, over which options were in the read, of the best value among them. The four
telescope: offered - left + delivered + breaks = V(actual) - V(situation).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from pointsleft_models.fitting.resample import others

from pointsleft.log.record import BLAME_PARTIES, Snap
from pointsleft.pricing.actual import actual_value, usual_value
from pointsleft.pricing.availability import best_shares, expected_best
from pointsleft.pricing.breakeven import break_even, decisive
from pointsleft.pricing.cells import SnapValues
from pointsleft.pricing.execution import executed_law
from pointsleft.pricing.judgement import judgement_interval
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.outcome import compare
from pointsleft.pricing.result import Currency, Interval, Ledger, OptionValue, Verdict
from pointsleft.pricing.settings import FIRM, HIGH, LOW, SLIGHT, PriceSettings

Array = np.ndarray

ENTRIES = ("offered", "left", "delivered", "breaks")

#: Who is charged with an entry when the log does not say; the others stay unassigned.
DEFAULT_BLAME: Mapping[str, str] = {"offered": "call", "left": "quarterback"}


@dataclass(frozen=True, slots=True)
class _Refit:
    """Values of every option under every refit."""

    values: Array  # (refits, options)


def ledger(
    values: SnapValues,
    plain: SnapValues,
    models: Sequence[OptionModel],
    chosen: int,
    snap: Snap,
    following: Snap | None,
    currency: Currency,
    settings: PriceSettings,
    rng: np.random.Generator,
    checks: int,
) -> Ledger:
    """The ledger of one priced snap.

    Parameters
    ----------
    values
        Values of the snap's outcomes, with the floor of a free play where there is one.
    plain
        The same without that floor.
    chosen
        Index of the chosen option.
    checks
        Number of draws-against-exact checks made in the whole run.
    """
    laws = [m.law() for m in models]
    seconds = [m.seconds for m in models]

    v = np.array([values.exact(m, currency) for m in models])
    chances = np.array([1.0 if i == chosen else m.in_read.value for i, m in enumerate(models)])
    groups = [None if i == chosen else m.group for i, m in enumerate(models)]
    shares = best_shares(v, chances, groups)
    best_value = float(shares @ v)
    there = chances > 0
    best = _first(v, there)
    before = plain.before(currency)
    executed = _executed(values, models[chosen], snap, currency, float(v[chosen]))
    came = actual_value(values, snap, following, currency, seconds[chosen])
    if came is None:
        came = usual_value(values, laws[chosen], snap.happened, currency, seconds[chosen])
    after = executed if came is None else came
    left = best_value - float(v[chosen])
    flag = 0.0
    if values.floor:
        bare = np.array([plain.exact(m, currency) for m in models])
        flag = best_value - float(expected_best(bare, chances, groups))

    again = _refit_values(values, models, currency) if settings.refits else None
    settled, share_best, low_high = _model_spread(
        again, shares, chosen, best, left, len(models), there
    )
    draw_rng, judgement_rng = rng.spawn(2)
    cells = [values.option_cells(currency, s)[0] - before for s in seconds]
    blame = _blame(snap)
    return Ledger(
        best=models[best].id,
        before=before,
        after=after,
        offered=best_value - before,
        left=left,
        delivered=executed - float(v[chosen]),
        breaks=after - executed,
        if_certain=float(v.max() - v[chosen]),
        flag=flag,
        interval_model=low_high,
        interval_judgement=judgement_interval(
            values, models, chosen, currency, settings, judgement_rng
        ),
        crossfit_left=_crossfit(again, chances, groups, chosen, left),
        values=tuple(
            OptionValue(m.id, float(v[i]), _interval(again, i, float(v[i])), share_best[i])
            for i, m in enumerate(models)
        ),
        outcome=compare(
            (cells[chosen], laws[chosen].mixture()[0]),
            (cells[best], laws[best].mixture()[0]),
            settings.draws,
            draw_rng,
            checks,
        ),
        break_even=break_even(values, models, chosen, currency, float(v[chosen])),
        verdict=verdict(settled),
        settled_share=settled,
        decisive=decisive(values, models, v, best, currency, there),
        blame=blame,
        left_by_refit=_left_by_refit(again, shares, chosen),
    )


def _executed(
    values: SnapValues, model: OptionModel, snap: Snap, currency: Currency, ungraded: float
) -> float:
    """Value of the chosen option given how it was executed; its own value where ungraded."""
    law = executed_law(model, snap)
    return ungraded if law is None else float(values.value(law, currency, model.seconds)[0])


def verdict(share: float) -> Verdict:
    """The verdict word for a share of refits."""
    if share >= FIRM:
        return "firm"
    return "slight" if share >= SLIGHT else "unsettled"


def _refit_values(values: SnapValues, models: Sequence[OptionModel], currency: Currency) -> _Refit:
    columns = []
    for model in models:
        law = model.law(refits=True)
        columns.append(values.value(law, currency, model.seconds, refits=True)[1:])
    fits = max(len(c) for c in columns)
    return _Refit(np.stack([np.broadcast_to(c, (fits,)) for c in columns], axis=1))


def _first(v: Array, there: Array) -> int:
    """Index of the option worth most among those that may have been in the read."""
    return int(np.argmax(np.where(there, v, -np.inf)))


def _left_by_refit(again: _Refit | None, shares: Array, chosen: int) -> tuple[float, ...]:
    if again is None:
        return ()
    return tuple(float(x) for x in again.values @ shares - again.values[:, chosen])


def _model_spread(
    again: _Refit | None, shares: Array, chosen: int, best: int, left: float, options: int,
    there: Array,
) -> tuple[float, list[float], Interval]:  # fmt: skip
    """Share of refits that agree, share by option, and interval of left with the best fixed."""
    if again is None or len(again.values) == 0:
        return 1.0, [float(i == best) for i in range(options)], Interval(left, left)
    winners = np.argmax(np.where(there, again.values, -np.inf), axis=1)
    share_best = [float((winners == i).mean()) for i in range(options)]
    low, high = np.quantile(_left_by_refit(again, shares, chosen), [LOW, HIGH])
    return share_best[best], share_best, Interval(float(low), float(high))


def _interval(again: _Refit | None, option: int, value: float) -> Interval:
    if again is None or len(again.values) == 0:
        return Interval(value, value)
    low, high = np.quantile(again.values[:, option], [LOW, HIGH])
    return Interval(float(low), float(high))


def _crossfit(
    again: _Refit | None, chances: Array, groups: Sequence[str | None], chosen: int, left: float
) -> float:
    """Left where some parts of the games choose the best option and another part values it.

    The fits of one cut share no game, so picking the largest of several noisy values adds
    nothing to the average. The mean of the other parts chooses: it is close to a fit on all
    their games.
    """
    if again is None or len(again.values) == 0:
        return left
    count = len(again.values)
    choosing = np.array([again.values[others(r)].mean(0) for r in range(count)])
    picks = best_shares(choosing, np.broadcast_to(chances, choosing.shape), groups)
    return float(((picks * again.values).sum(1) - again.values[:, chosen]).mean())


def _blame(snap: Snap) -> dict[str, dict[str, float]]:
    """Shares by entry; what is left of an entry stays unassigned."""
    out: dict[str, dict[str, float]] = {}
    said = snap.blame or {}
    for entry in ENTRIES:
        if entry in said:
            out[entry] = {p: float(said[entry].get(p, 0.0)) for p in BLAME_PARTIES}
        elif entry in DEFAULT_BLAME:
            out[entry] = {p: float(p == DEFAULT_BLAME[entry]) for p in BLAME_PARTIES}
        else:
            out[entry] = dict.fromkeys(BLAME_PARTIES, 0.0)
    return out
