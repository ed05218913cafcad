"""How a chosen option ends: execution by the quarterback's skill, the rest by luck."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from pointsleft_models.laws.lattice import (
    DEFENSE_TOUCHDOWN,
    FIELD_GOAL,
    OTHER,
    SAFETY,
    SPOTS,
    STOPPED,
    TOUCHDOWN,
    OutcomeLaw,
)

from pointsleft.invent.offers import Offer, tilted
from pointsleft.invent.people import Quarterback
from pointsleft.log.record import PLACEMENTS, TIMINGS, Happened, Snap
from pointsleft.pricing.execution import executed_law
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.throws import ThrowModel
from pointsleft.pricing.windows import word_odds

Array = np.ndarray

#: Branches of a throw: in rhythm, then hurried.
THROW_BRANCHES = 4

#: Result of a branch that is no throw.
_RESULTS = {
    "sacked": "sack", "run": "run", "scramble": "scramble", "thrown away": "throw-away",
    "good": "good", "missed": "no-good", "blocked": "blocked", "punted": "punt",
    "complete": "complete", "intercepted": "interception",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Played:
    """A snap that has been played.

    Attributes
    ----------
    happened
        As a perfect charter would log it.
    cell
        Where on the lattice of outcomes it ended.
    seconds
        Length of the play.
    hurried
        The throw was hurried, or he was sacked.
    """

    happened: Happened
    cell: int
    seconds: float
    hurried: bool = False


def play_out(
    found: Offer, chosen: int, quarterback: Quarterback, rng: np.random.Generator
) -> Played:
    """Draw how the chosen option ends."""
    model = found.models[chosen]
    if isinstance(model, ThrowModel):
        return _throw(found, model, quarterback, rng)
    return carried(found.look.snap, model.id, model.kind, model.law(), rng)


def carried(
    snap: Snap, option: str, kind: str, law: OutcomeLaw, rng: np.random.Generator
) -> Played:
    """Draw how a run, a kick or a throw-away ends."""
    branch = _branch(law, rng, lambda k: k != "regained")
    return _ended(snap, option, kind, law, branch, rng)


def _branch(law: OutcomeLaw, rng: np.random.Generator, kept: Callable[[str], bool]) -> int:
    weights = law.weights[0] * [kept(k) for k in law.kinds]
    return int(rng.choice(len(weights), p=weights / weights.sum()))


def _throw(
    found: Offer, model: ThrowModel, quarterback: Quarterback, rng: np.random.Generator
) -> Played:
    snap = found.look.snap
    if rng.random() < float(model.clock.sacked[0]):
        branch = _branch(model.sacked, rng, lambda k: True)
        done = _ended(snap, model.id, model.kind, model.sacked, branch, rng, "sacked")
        return replace(done, happened=replace(done.happened, result="sack", hit=True), hurried=True)
    grade = int(rng.choice(len(PLACEMENTS) * len(TIMINGS), p=tilted(quarterback.accuracy)))
    placement, timing = PLACEMENTS[grade // len(TIMINGS)], TIMINGS[grade % len(TIMINGS)]
    known = Happened(result="incomplete", placement=placement, timing=timing)
    law = executed_law(model, replace(snap, happened=known))
    assert law is not None
    weights = law.weights[0].copy()
    weights[2 * THROW_BRANCHES :] = 0.0
    branch = int(rng.choice(len(weights), p=weights / weights.sum()))
    done = _ended(snap, model.id, model.kind, law, branch, rng)
    hurried = branch >= THROW_BRANCHES
    hit = bool(rng.random() < judged("hit.pressed" if hurried else "hit.clean").value)
    happened = replace(done.happened, placement=placement, timing=timing, hit=hit or None)
    if law.kinds[branch] == "incomplete":
        odds = model.judged.value
        happened = replace(happened, result=_missed(placement, odds, rng))
    return replace(done, happened=happened, hurried=hurried)


def _missed(placement: str, odds: float, rng: np.random.Generator) -> str:
    """Word of an incompletion; no figure hangs on it."""
    if placement == "in-stride" and odds > word_odds("even").value:
        return "drop" if rng.random() < 0.6 else "incomplete"
    return "broken-up" if odds < word_odds("narrow").value else "incomplete"


def _ended(
    snap: Snap, option: str, option_kind: str, law: OutcomeLaw, branch: int,
    rng: np.random.Generator, kind: str | None = None,
) -> Played:  # fmt: skip
    """The cell drawn, and what it means in the words of the log."""
    chances = law.cells[0, branch]
    cell = int(rng.choice(len(chances), p=chances / chances.sum()))
    kind = kind or law.kinds[branch]
    assert snap.situation is not None
    spot = snap.situation.yards_to_goal
    fumbled = law.kinds[branch] == "fumbled away"
    if kind == "fumbled away":
        kind = {"throw": "complete", "scramble": "scramble"}.get(option_kind, "run")
    happened = Happened(
        chosen=option,
        result=_RESULTS.get(kind, "incomplete"),
        fumble="lost" if fumbled else None,
        touchdown=cell == TOUCHDOWN,
        defense_scored=cell == DEFENSE_TOUCHDOWN,
        safety=cell == SAFETY,
    )
    if OTHER <= cell < OTHER + SPOTS:
        if kind == "incomplete":  # fourth down: the spot follows from the row
            happened = replace(happened, yards=0)
        else:
            happened = replace(happened, end_yards_to_goal=100 - (cell - OTHER + 1))
    elif cell == TOUCHDOWN:
        happened = replace(happened, yards=spot)
    elif cell == SAFETY:
        happened = replace(happened, yards=spot - 100)
    elif cell < OTHER:
        stopped = cell >= STOPPED
        happened = replace(
            happened,
            yards=spot - (cell - STOPPED if stopped else cell) - 1,
            ended="out" if stopped and kind in ("complete", "run", "scramble") else None,
        )
    assert cell != FIELD_GOAL or happened.result == "good"
    return Played(happened, cell, law.seconds)
