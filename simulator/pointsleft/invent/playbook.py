"""Which concept is called where: a table of weights over the log's own templates."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from pointsleft_models.football.situation import Situation

#: Yards to go from which a third or fourth down is long, and up to which it is short.
LONG, SHORT = 7, 3

#: Yards to goal within which goal-line concepts are called.
GOAL = 9


@dataclass(frozen=True, slots=True)
class Play:
    """A concept as it is called: family and alignment go with it."""

    concept: str
    family: str
    alignment: str


@cache
def _plays() -> dict[str, tuple[tuple[Play, ...], np.ndarray]]:
    text = files(__package__).joinpath("playbook.csv").read_text(encoding="utf-8")
    found: dict[str, list[tuple[Play, float]]] = {}
    for row in csv.DictReader(text.splitlines()):
        play = Play(row["concept"], row["family"], row["alignment"])
        found.setdefault(row["when"], []).append((play, float(row["weight"])))
    return {
        when: (tuple(p for p, _ in rows), np.array([w for _, w in rows]) / sum(w for _, w in rows))
        for when, rows in found.items()
    }


def moment(situation: Situation) -> str:
    """``early``, ``long``, ``short`` or ``goal``: the part of the playbook that is open."""
    if situation.yards_to_goal <= GOAL:
        return "goal"
    if situation.down >= 3 and situation.distance >= LONG:
        return "long"
    if situation.down >= 3 and situation.distance <= SHORT:
        return "short"
    return "early"


def call(situation: Situation, rng: np.random.Generator) -> Play:
    """Draw a concept for a situation."""
    plays, weights = _plays()[moment(situation)]
    return plays[int(rng.choice(len(plays), p=weights))]


def concepts() -> tuple[str, ...]:
    """Every concept of the playbook."""
    return tuple(sorted({p.concept for plays, _ in _plays().values() for p in plays}))
