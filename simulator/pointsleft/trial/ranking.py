"""Rankings by several figures, and how often they put the better of two first."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from pointsleft_models.laws.lattice import TOUCHDOWN

from pointsleft.trial import parts as p
from pointsleft.trial.charting import Charted
from pointsleft.trial.deck import Deck
from pointsleft.trial.drives import Decisions
from pointsleft.trial.rating import passer_rating

Array = np.ndarray

#: Games after which rankings are made.
AFTER = (1, 3, 6, 12)

#: Figures that need no charter, and those that the tool adds.
PLAIN = ("EP added", "passer rating")
CHARTED = ("left", "left and delivered")


def _by_game(found: Decisions, values: Array, shape: tuple[int, int]) -> Array:
    """(players, games) sums of values over the decisions of a game, then run up."""
    flat = found.player * shape[1] + found.game
    total = np.bincount(flat, values, shape[0] * shape[1]).reshape(shape)
    return np.cumsum(total, axis=1)


def plain_figures(found: Decisions, deck: Deck, shape: tuple[int, int]) -> Mapping[str, Array]:
    """(players, games) figures after each game, more is better, charter or no charter."""
    count = _by_game(found, np.ones(len(found)), shape)
    added = deck.after[found.look, found.cell] - deck.before[found.look]
    thrown = (deck.kind[found.look, found.chosen] == p.THROW) & (found.branch != p.SACKED)
    caught = thrown & ((found.branch == p.KEPT) | (found.branch == p.FUMBLED))
    box = (
        thrown, caught, np.where(caught, found.yards, 0),
        caught & (found.cell == TOUCHDOWN), thrown & (found.branch == p.PICKED),
    )  # fmt: skip
    rating = passer_rating(*(_by_game(found, b.astype(float), shape) for b in box))
    return {"EP added": _by_game(found, added, shape) / count, "passer rating": rating}


def charted_figures(
    found: Decisions, charted: Charted, shape: tuple[int, int]
) -> Mapping[str, Array]:
    """The same of what a charter saw."""
    count = _by_game(found, np.ones(len(found)), shape)
    left = _by_game(found, charted.left, shape)
    delivered = _by_game(found, charted.delivered, shape)
    return {"left": -left / count, "left and delivered": (delivered - left) / count}


def better_first(figure: Array, truth: Array) -> float:
    """Share of pairs of which the better has the larger figure; a tie counts half."""
    one, two = np.triu_indices(len(truth), 1)
    gap = np.sign(figure[one] - figure[two]) * np.sign(truth[one] - truth[two])
    return float((1 + gap).mean() / 2)
