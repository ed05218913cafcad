"""The chosen option as it was executed: ball placement, timing, security, escape.

The law given a grade is a component of a mixture: over the grades as they occur it averages to
the ungraded law, so an ungraded snap has ``delivered`` exactly 0. A common shift of the log odds
is solved for so that the average holds.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from pointsleft_models.fitting.logit import expit
from pointsleft_models.laws.lattice import OutcomeLaw, mix
from pointsleft_models.laws.passing import ThrowParts
from scipy.optimize import brentq

from pointsleft.log.record import PLACEMENTS, SECURITIES, TIMINGS, Snap
from pointsleft.pricing.carries import CarryModel
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.throws import ThrowModel, pick_odds

Array = np.ndarray


def executed_law(model: OptionModel, snap: Snap) -> OutcomeLaw | None:
    """The law of the chosen option given how it was executed; ``None`` where ungraded."""
    happened = snap.happened
    if isinstance(model, ThrowModel):
        graded = happened.placement is not None or happened.timing is not None
        # whether he got it away from a free rusher can only be told from a result or a grade
        known = graded or happened.result not in (None, "no-play")
        escaped = model.rush.free and known
        if graded or escaped:
            return _executed_throw(model, snap, graded)
    if isinstance(model, CarryModel) and happened.security is not None:
        return _executed_carry(model, happened.security)
    return None


def _executed_throw(model: ThrowModel, snap: Snap, graded: bool) -> OutcomeLaw:
    """Graded ball; with a free rusher also whether he got it away at all."""
    happened = snap.happened
    odds = model.judged.value
    parts = [
        (_graded(model.clean, odds, snap) if graded else model.clean.law(odds, pick_odds(odds))),
        (
            _graded(model.pressed, odds, snap)
            if graded
            else model.pressed.law(odds, pick_odds(odds))
        ),
    ]
    shares = [float(model.clock.on_time[0]), float(model.clock.hurried[0])]
    sacked = float(model.clock.sacked[0])
    if model.rush.free:  # whether he got it away is then part of the execution
        if happened.result == "sack":
            return model.sacked
        away = sum(shares)
        if away <= 0:
            return model.law()
        return mix([(s / away, law) for s, law in zip(shares, parts, strict=True)])
    return mix([*zip(shares, parts, strict=True), (sacked, model.sacked)])


def _graded(parts: ThrowParts, odds: float, snap: Snap) -> OutcomeLaw:
    """The law of a throw given its placement and timing (an ungraded one of the two averaged)."""
    catch = float(parts.catch[0]) + odds
    pick = float(parts.pick[0]) + float(pick_odds(odds))
    share, move, pick_move = grade_table()
    caught = _balanced(catch, share, move)
    # chance of an interception among passes not caught, its average weighted by how often each
    # grade is not caught
    weight = share * (1 - caught)
    picked = _balanced(pick, weight / weight.sum(), pick_move)
    here = _rows(snap.happened.placement, snap.happened.timing)
    own = share * here
    own = own / own.sum()
    complete = float((own * caught).sum())
    intercepted = float((own * (1 - caught) * picked).sum())
    lost = float(parts.lost[0])
    weights = np.array(
        [[complete * (1 - lost), complete * lost, intercepted, 1 - complete - intercepted]]
    )
    base = parts.law(odds, float(pick_odds(odds)))
    return replace(base, weights=weights)


def grade_table() -> tuple[Array, Array, Array]:
    """Share, move of the catch odds and of the interception odds of every pair of grades.

    Each is (placements * timings,); the shares sum to 1.
    """
    share, move, pick = [], [], []
    for placement in PLACEMENTS:
        for timing in TIMINGS:
            share.append(judged(f"share.{placement}").value * judged(f"share.{timing}").value)
            move.append(judged(f"catch.{placement}").value + judged(f"catch.{timing}").value)
            pick.append(judged(f"pick.{placement}").value + judged(f"pick.{timing}").value)
    shares = np.array(share)
    return shares / shares.sum(), np.array(move), np.array(pick)


def _rows(placement: str | None, timing: str | None) -> Array:
    """1 for the pairs of grades that agree with what was logged."""
    return np.array(
        [float(placement in (None, p) and timing in (None, t)) for p in PLACEMENTS for t in TIMINGS]
    )


def _balanced(eta: float, share: Array, move: Array) -> Array:
    """Chances (grades,) moved by grade whose average over the shares is expit(eta)."""
    target = float(expit(np.array(eta)))

    def gap(common: float) -> float:
        return float((share * expit(eta + common + move)).sum()) - target

    low, high = -12.0, 12.0
    if gap(low) >= 0 or gap(high) <= 0:
        return np.full(len(move), target)
    common = brentq(gap, low, high, xtol=1e-13)
    return expit(eta + common + move)


def _executed_carry(model: CarryModel, security: str) -> OutcomeLaw:
    """A run with the ball carried as it was: the odds of losing it move."""
    share = np.array([judged(f"share.{s}").value for s in SECURITIES])
    share = share / share.sum()
    moves = np.array([judged(f"lost.{s}").value for s in SECURITIES])
    law = model.law()
    lost = law.chance("fumbled away")
    eta = float(np.log(lost / (1 - lost)))
    chance = float(_balanced(eta, share, moves)[SECURITIES.index(security)])
    weights = np.array([[1 - chance, chance]])
    return replace(law, weights=weights)
