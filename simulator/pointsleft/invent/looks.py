"""What one snap offers: concept, coverage, rush, and how open everybody truly is.

How open a receiver is, is a number on the scale of the window words (log odds of a catch, 0 the
middle of ``even``); the charter's word comes later and loses something.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from pointsleft_models.football.situation import Situation

from pointsleft.invent.people import Opponent
from pointsleft.invent.playbook import Play, call
from pointsleft.log.concepts import template
from pointsleft.log.drafts import finish
from pointsleft.log.record import Call, Defense, Happened, LoggedOption, Read, Snap
from pointsleft.pricing.options import in_read

Array = np.ndarray

#: How open receivers are on average, set so that simulated passes are completed about as often as
#: the league's of 2009 to 2019 (61 to 63.5%).
OPEN_MEAN = -0.2

#: Standard deviation of how open receivers are, and the part of it that one snap's receivers
#: share, log odds (with the words at .53 and 1.40 a quarter of all windows are ``even`` then).
OPEN_SPREAD, OPEN_TOGETHER = 0.85, 0.35

#: Receivers in front of everybody are more open than those behind: up to so many air yards.
UNDERNEATH, UNDERNEATH_OPEN = 3, 0.3

#: Room of a scramble: log odds of being stopped at each yard, mean and standard deviation.
ROOM, ROOM_SPREAD = 0.3, 0.35

#: Rushers and how often; the shells of four and fewer, of five, and of more.
RUSHERS = {3: 0.05, 4: 0.68, 5: 0.21, 6: 0.06}
SHELLS = {
    "three": 0.33, "one": 0.22, "quarters": 0.20, "two": 0.15, "six": 0.05, "two man": 0.05,
}  # fmt: skip
PRESSURE_SHELLS = {"one": 0.55, "three": 0.35, "zero": 0.10}
ALL_OUT_SHELLS = {"zero": 0.65, "one": 0.35}

#: Chance that a rusher comes free, by rushers, and why.
FREE = {3: 0.05, 4: 0.10, 5: 0.17, 6: 0.30}
WHY = {"beaten": 0.6, "missed-assignment": 0.25, "stunt": 0.15}


@dataclass(frozen=True, slots=True)
class Look:
    """One snap before it is played.

    Attributes
    ----------
    snap
        The snap as a perfect charter would log it, nothing chosen yet and no window said.
    open
        (options,) how open each throw is, log odds; room of a scramble; 0 for the others.
    read
        (options,) whether each option was in his read.
    """

    snap: Snap
    open: Array
    read: Array

    @property
    def options(self) -> tuple[LoggedOption, ...]:
        return self.snap.options


def _pick(weights: dict[str, float] | dict[int, float], rng: np.random.Generator) -> object:
    chances = np.array(list(weights.values()))
    return list(weights)[int(rng.choice(len(weights), p=chances / chances.sum()))]


def draw_look(
    situation: Situation,
    rng: np.random.Generator,
    opponent: Opponent | None = None,
    play: Play | None = None,
) -> Look:
    """Draw what a snap offers in a situation."""
    opponent = opponent or Opponent("")
    play = play or call(situation, rng)
    flipped = bool(rng.random() < 0.5)
    options = finish(list(template(play.concept, {}, flipped=flipped)))
    deepest = situation.yards_to_goal + 9
    options = tuple(
        replace(o, air_yards=min(o.air_yards, deepest)) if o.air_yards is not None else o
        for o in options
    )
    snap = Snap(
        number="1", clip=None, situation=situation, tempo=None, play_clock=None,
        call=Call(family=play.family, concept=play.concept, alignment=play.alignment,
                  flipped=flipped),
        defense=_defense(play, opponent, rng), read=Read(), happened=Happened(), options=options,
    )  # fmt: skip
    read = np.array([rng.random() < in_read(o)[0].value for o in options])
    if not read.any():
        read[0] = True
    return Look(snap, _openness(options, opponent, rng), read)


def _defense(play: Play, opponent: Opponent, rng: np.random.Generator) -> Defense:
    rushers = int(str(_pick(RUSHERS, rng)))
    shells = SHELLS if rushers <= 4 else PRESSURE_SHELLS if rushers == 5 else ALL_OUT_SHELLS
    shell = str(_pick(shells, rng))
    free = bool(rng.random() < min(FREE[rushers] * opponent.rush, 0.9))
    side = str(rng.choice(["left", "middle", "right"], p=[0.42, 0.16, 0.42]))
    why = "by-design" if rushers >= 6 else str(_pick(WHY, rng))
    depth = float(rng.integers(0, 6) if why in ("by-design", "missed-assignment") else 0)
    return Defense(
        shell_after=shell,
        rushers=rushers,
        box=int(rng.choice([6, 7, 8], p=[0.5, 0.4, 0.1])) if play.family == "rpo" else None,
        free_rusher=free,
        free_side=side if free else None,
        free_depth=depth if free else None,
        free_why=why if free else None,
    )


def _openness(
    options: tuple[LoggedOption, ...], opponent: Opponent, rng: np.random.Generator
) -> Array:
    n = len(options)
    shared, own = rng.standard_normal(), rng.standard_normal(n)
    drawn = OPEN_SPREAD * (np.sqrt(OPEN_TOGETHER) * shared + np.sqrt(1 - OPEN_TOGETHER) * own)
    out = np.zeros(n)
    for i, option in enumerate(options):
        if option.kind == "throw":
            near = UNDERNEATH_OPEN if (option.air_yards or 0) <= UNDERNEATH else 0.0
            out[i] = OPEN_MEAN + drawn[i] + near - opponent.coverage
        elif option.kind == "scramble":
            out[i] = ROOM + ROOM_SPREAD * own[i]
    return out
