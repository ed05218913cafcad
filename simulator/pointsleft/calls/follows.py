"""Where the ball ends after a call, and what comes next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
from pointsleft_models.football.spot import write_spot
from pointsleft_models.laws.clock import Elapsed
from pointsleft_models.laws.lattice import (
    DEFENSE_TOUCHDOWN,
    FIELD_GOAL,
    OTHER,
    RUNNING,
    SAFETY,
    SPOTS,
    STOPPED,
    TOUCHDOWN,
    OutcomeLaw,
)
from pointsleft_models.laws.setting import Setting

from pointsleft.calls.result import Follow
from pointsleft.pricing.result import Currency

Array = np.ndarray

#: Ways rarer than this are not told.
RARE = 5e-4

_SCORES = {
    TOUCHDOWN: "touchdown", FIELD_GOAL: "field goal is good", SAFETY: "safety against",
    DEFENSE_TOUCHDOWN: "touchdown against",
}  # fmt: skip


def follows(
    law: OutcomeLaw,
    kind: str,
    at: Setting,
    cells: Mapping[Currency, Array],
    running: tuple[Elapsed, ...],
    stopped: tuple[Elapsed, ...],
) -> tuple[Follow, ...]:
    """The ways in which a call can end, the likeliest first.

    Parameters
    ----------
    kind
        ``go``, ``field goal`` or ``punt``: a ball that is lost has another name after each.
    cells
        (CELLS,) worth of every outcome by currency.
    running, stopped
        Clock laws after a play in bounds and after one that stops the clock.
    """
    found = []
    for what, where, chances in _ways(law, kind, at):
        chance = float(chances.sum())
        if chance < RARE:
            continue
        scored = not where
        seconds = None
        if not scored:
            flowing = (
                float(chances[RUNNING:STOPPED].sum()) / chance if what == "first down" else 0.0
            )
            seconds = flowing * _mean(running) + (1 - flowing) * _mean(stopped)
        worth = {c: float(chances @ v) / chance for c, v in cells.items()}
        found.append(Follow(what, chance, where, seconds, worth.get("points"), worth.get("wins")))
    return tuple(sorted(found, key=lambda f: -f.chance))


def _mean(moments: tuple[Elapsed, ...]) -> float:
    return sum(e.weight * e.seconds for e in moments)


def _ways(law: OutcomeLaw, kind: str, at: Setting) -> Iterator[tuple[str, str, Array]]:
    """Name, where the ball is (empty after a score), and chance (CELLS,) of every outcome."""
    mixture = law.mixture()[0]
    spots = np.arange(1, SPOTS + 1)
    ours = np.zeros(len(mixture), dtype=bool)
    first = at.yards_to_goal - spots >= at.distance
    ours[RUNNING:STOPPED] = ours[STOPPED:OTHER] = first
    spot_of = np.concatenate([spots, spots, spots, np.zeros(4)])
    field = spot_of > 0
    kept = np.where(ours, mixture, 0.0)
    if kept.sum() > 0:
        where = f"1st at {write_spot(_middle(kept, spot_of))}"
        yield "first down" if kind == "go" else "kick regained", where, kept
    theirs = np.where(field & ~ours, mixture, 0.0)
    if kind == "go":
        short, turned = theirs.copy(), theirs.copy()
        short[OTHER : OTHER + SPOTS] = 0.0
        turned[:OTHER] = 0.0
        ways = [("stopped short", short), ("ball lost on the play", turned)]
    elif kind == "field goal":
        ways = [("missed or blocked", theirs)]
    else:
        ways = list(_punted(law, theirs))
    for what, chances in ways:
        if chances.sum() > 0:
            yield what, f"theirs at {write_spot(_middle(chances, spot_of))}", chances
    for cell, what in _SCORES.items():
        alone = np.zeros(len(mixture))
        alone[cell] = mixture[cell]
        yield what, "", alone


def _punted(law: OutcomeLaw, theirs: Array) -> Iterator[tuple[str, Array]]:
    """A punt that is blocked, a touchback, and the rest."""
    blocked = np.zeros_like(theirs)
    for branch, name in enumerate(law.kinds):
        if name == "blocked":
            blocked += law.weights[0, branch] * law.cells[0, branch]
    yield "punt is blocked", np.minimum(blocked, theirs)
    yield "punted away", theirs - np.minimum(blocked, theirs)


def _middle(chances: Array, spot: Array) -> int:
    return int(np.clip(round(float(chances @ spot / chances.sum())), 1, SPOTS))
