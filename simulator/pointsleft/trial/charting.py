"""Charting a season of decisions with noise, and pricing it as the tool does."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pointsleft.log.record import PLACEMENTS, TIMINGS, WINDOWS
from pointsleft.pricing.availability import best_shares
from pointsleft.pricing.judgement_table import judged
from pointsleft.trial import parts as p
from pointsleft.trial.deck import Deck
from pointsleft.trial.drives import Decisions

Array = np.ndarray

#: Worth of an option that is not there: never the best.
NOT_THERE = -99.0

_LAST = len(WINDOWS) - 1
_UNSEEN = len(WINDOWS)


@dataclass(frozen=True, slots=True)
class Noise:
    """How a charter errs.

    Attributes
    ----------
    slip
        Chance that a window word moves one step; so often over, each time either way.
    rounds
        How often that happens.
    missed, unseen
        Chance that an option not thrown is not logged, or its window does not show.
    timing
        Chance that hitches are one off, and that placement or timing of the ball is judged as
        its neighbour.
    own_charter
        Every quarterback has a charter of his own, whose slips go towards open with a chance
        drawn between .1 and .9.
    hindsight
        Chance that the window of the thrown option is moved one word by how it ended: open where
        it was caught, closed where it was not.
    by_lot
        Words of windows and judgements of the ball are drawn by lot, as often as they occur.
    """

    name: str
    slip: float = 0.0
    rounds: int = 1
    missed: float = 0.0
    unseen: float = 0.0
    timing: float = 0.0
    own_charter: bool = False
    hindsight: float = 0.0
    by_lot: bool = False


NOISES = (
    Noise("exact words"),
    Noise("careful", 0.10, missed=0.03, unseen=0.02, timing=0.05),
    Noise("as in the demo class", 0.20, missed=0.05, unseen=0.04, timing=0.10),
    Noise("hasty", 0.40, missed=0.10, unseen=0.06, timing=0.20),
    Noise("poor", 0.70, missed=0.15, unseen=0.08, timing=0.30),
    Noise("very poor", 0.70, rounds=3, missed=0.20, unseen=0.10, timing=0.40),
    Noise("all words by lot", by_lot=True, missed=0.20, unseen=0.10, timing=0.40),
    Noise("demo class, each his own charter", 0.20, missed=0.05, unseen=0.04, timing=0.10,
          own_charter=True),
    Noise("demo class, with hindsight", 0.20, missed=0.05, unseen=0.04, timing=0.10,
          hindsight=0.30),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Charted:
    """What the tool makes of charted decisions, points; arrays over the decisions."""

    left: Array
    delivered: Array
    words: Array


def chart(found: Decisions, deck: Deck, noise: Noise, rng: np.random.Generator) -> Charted:
    """Chart decisions and price them.

    ``words`` (decisions, options) are the window words, ``len(WINDOWS)`` for one not seen.
    """
    look, rows = found.look, np.arange(len(found))
    there, throw = deck.there[look], deck.kind[look] == p.THROW
    mine = np.zeros(there.shape, bool)
    mine[rows, found.chosen] = True
    leniency = _leniency(found, noise, rng)
    word = _words(deck.word[look], noise, leniency, rng)
    word = _hindsight(word, mine, found, noise, rng)
    word = np.where(~mine & (rng.random(word.shape) < noise.unseen), _UNSEEN, word)
    off = rng.random(word.shape) < noise.timing
    hitch = np.where(off, 1 + rng.choice([-1, 1], word.shape), 1)
    logged = there & (mine | (rng.random(word.shape) >= noise.missed))
    logged = _two_at_least(logged, there)
    value = deck.price[look[:, None], np.arange(word.shape[1]), hitch, word]
    scrambled = mine & (deck.kind[look] == p.SCRAMBLE)
    value = np.where(scrambled, deck.taken[look], value)
    value = np.where(logged, value, NOT_THERE)
    chances = np.where(mine, 1.0, np.where(logged, _in_read(deck, look, logged, throw), 0.0))
    shares = best_shares(value, chances, [None] * word.shape[1])
    own = value[rows, found.chosen]
    left = (shares * value).sum(1) - own
    return Charted(left, _delivered(found, deck, word[rows, found.chosen], noise, rng), word)


def _leniency(found: Decisions, noise: Noise, rng: np.random.Generator) -> Array:
    if not noise.own_charter:
        return np.full(len(found), 0.5)
    players = int(found.player.max()) + 1
    return rng.uniform(0.1, 0.9, players)[found.player]


def _words(true: Array, noise: Noise, leniency: Array, rng: np.random.Generator) -> Array:
    word = true.copy()
    if noise.by_lot:
        return rng.permutation(word.ravel()).reshape(word.shape)
    for _ in range(noise.rounds):
        move = np.where(rng.random(word.shape) < leniency[:, None], -1, 1)
        word = word + move * (rng.random(word.shape) < noise.slip)
        word = np.clip(word, 0, _LAST)
    return word


def _hindsight(
    word: Array, mine: Array, found: Decisions, noise: Noise, rng: np.random.Generator
) -> Array:
    if not noise.hindsight:
        return word
    move = np.where(found.branch == p.KEPT, -1, 1)[:, None]
    moved = np.clip(word + move, 0, _LAST)
    thrown = (found.grade >= 0)[:, None]
    return np.where(mine & thrown & (rng.random(word.shape) < noise.hindsight), moved, word)


def _two_at_least(logged: Array, there: Array) -> Array:
    """A decision needs another option: the first that was left out comes back."""
    few = logged.sum(1) < 2
    back = (there & ~logged)[few].argmax(1)
    out = logged.copy()
    out[np.flatnonzero(few), back] |= there[np.flatnonzero(few), back]
    return out


def _in_read(deck: Deck, look: Array, logged: Array, throw: Array) -> Array:
    """Usual chances by place in the read, places closed up over options left out."""
    place = deck.place[look]
    placed = logged & (place > 0)
    rank = ((place[:, None, :] < place[:, :, None]) & placed[:, None, :]).sum(2)
    codes = ("in_read.first", "in_read.second", "in_read.third", "in_read.later")
    usual = np.array([judged(c).value for c in codes])
    return np.where(throw & (place > 0), usual[np.minimum(rank, 3)], deck.read[look])


def _delivered(
    found: Decisions, deck: Deck, word: Array, noise: Noise, rng: np.random.Generator
) -> Array:
    thrown = found.grade >= 0
    placement, timing = np.divmod(np.maximum(found.grade, 0), len(TIMINGS))
    placement = _neighbour(placement, len(PLACEMENTS), noise.timing, rng)
    timing = _neighbour(timing, len(TIMINGS), noise.timing, rng)
    grade = placement * len(TIMINGS) + timing
    if noise.by_lot:
        grade[thrown] = rng.permutation(grade[thrown])
    carried = deck.carried[found.look, found.chosen, word, grade]
    sacked = (found.branch == p.SACKED) & (deck.kind[found.look, found.chosen] == p.THROW)
    caught = deck.sack_carried[found.look, found.chosen, word]
    return np.where(thrown, carried, np.where(sacked, caught, 0.0))


def _neighbour(at: Array, many: int, chance: float, rng: np.random.Generator) -> Array:
    move = rng.choice([-1, 1], at.shape)
    move = np.where(at == 0, 1, np.where(at == many - 1, -1, move))
    return at + move * (rng.random(at.shape) < chance)
