"""How far two charters agree on what was there, how open it was, what was chosen, whose fault."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pointsleft.log.record import BLAME_PARTIES, UNSEEN, WINDOWS, Snap
from pointsleft.pricing.ledger import DEFAULT_BLAME, ENTRIES
from pointsleft.pricing.windows import word_odds
from pointsleft.voices.kappa import Measure, kappa, table, with_interval, within_options
from pointsleft.voices.options import chosen_of, same_options

Array = np.ndarray

#: Who answers where nobody was named.
NOBODY = "nobody named"
PARTIES = (*BLAME_PARTIES, NOBODY)


@dataclass(frozen=True, slots=True)
class Topic:
    """Agreement on one thing.

    Attributes
    ----------
    what
        ``choice set``, ``window``, ``chosen`` or ``blame``.
    compared
        How many were compared, and what one of them is (``unit``).
    agreed
        Share that is the same in both.
    beyond_chance
        Agreement beyond chance by ``statistic``; no value for the choice set.
    said_by_one
        How many only one of the two says.
    """

    what: str
    unit: str
    compared: int
    agreed: Measure
    beyond_chance: Measure
    statistic: str
    said_by_one: int
    counts: Mapping[str, Mapping[str, int]]


Pair = tuple[Snap, Snap]


def agreement(pairs: Sequence[Pair], draws: int, rng: np.random.Generator) -> tuple[Topic, ...]:
    """Every topic over the matched snaps.

    Intervals come from snaps drawn again with their words together.
    """
    topics = (_choice_set, _windows, _chosen, _blame)
    return tuple(
        topic(pairs, draws, own) for topic, own in zip(topics, rng.spawn(len(topics)), strict=True)
    )


def _choice_set(pairs: Sequence[Pair], draws: int, rng: np.random.Generator) -> Topic:
    """Options that both list, as a share of those that either lists.

    What neither listed cannot be counted, so there is no kappa: chance has no table to work on.
    The share is twice the options of both over the options of the one plus those of the other
    (the proportion of specific agreement, Dice 1945).
    """
    rows = [
        (len(same_options(a.options, b.options)), len(a.options), len(b.options))
        for a, b in pairs if a.options or b.options
    ]  # fmt: skip
    counted = np.array(rows, dtype=float).reshape(len(rows), 3)

    def share(at: Array) -> float | None:
        both, one, two = counted[at].sum(0)
        return float(2 * both / (one + two)) if one + two else None

    both, one, two = (int(x) for x in counted.sum(0))
    return Topic(
        "choice set", "option", one + two - both, with_interval(share, len(rows), draws, rng),
        Measure(None), "none: what neither lists cannot be counted", one + two - 2 * both, {},
    )  # fmt: skip


def window_distances() -> Array:
    """(5, 5) squared distance of two window words on the log-odds scale that prices them."""
    at = np.array([word_odds(w).value for w in WINDOWS])
    return (at[:, None] - at[None, :]) ** 2


def _windows(pairs: Sequence[Pair], draws: int, rng: np.random.Generator) -> Topic:
    snaps: list[list[tuple[int, int]]] = []
    one_said = 0
    for a, b in pairs:
        words = []
        for i, j in same_options(a.options, b.options):
            one, two = (_word(o.window) for o in (a.options[i], b.options[j]))
            if one is not None and two is not None:
                words.append((one, two))
            elif one is not None or two is not None:
                one_said += 1
        if words:
            snaps.append(words)
    statistic = "weighted kappa, squared distance of the words in log odds"
    return _worded(
        "window", "option", snaps, WINDOWS, window_distances(), statistic, one_said, draws, rng
    )


def _word(window: str | None) -> int | None:
    return None if window is None or window == UNSEEN else WINDOWS.index(window)


def _worded(
    what: str, unit: str, snaps: Sequence[Sequence[tuple[int, int]]], words: Sequence[str],
    distances: Array | None, statistic: str, one_said: int, draws: int, rng: np.random.Generator,
) -> Topic:  # fmt: skip
    """A topic of words of one list, several a snap."""
    tables = np.array([table([a for a, _ in s], [b for _, b in s], len(words)) for s in snaps])
    tables = tables.reshape(len(snaps), len(words), len(words))

    def same(at: Array) -> float | None:
        total = tables[at].sum(0)
        return float(np.trace(total) / total.sum()) if total.sum() else None

    def beyond(at: Array) -> float | None:
        return kappa(tables[at].sum(0), distances)

    first, second = rng.spawn(2)
    total = tables.sum(0)
    counts = {
        words[i]: {words[j]: int(total[i, j]) for j in range(len(words)) if total[i, j]}
        for i in range(len(words)) if total[i].any()
    }  # fmt: skip
    return Topic(
        what, unit, int(total.sum()), with_interval(same, len(snaps), draws, first),
        with_interval(beyond, len(snaps), draws, second), statistic, one_said, counts,
    )  # fmt: skip


def _chosen(pairs: Sequence[Pair], draws: int, rng: np.random.Generator) -> Topic:
    agreed, options = [], []
    one_said = 0
    for a, b in pairs:
        picks = chosen_of(a), chosen_of(b)
        if None in picks:
            one_said += picks.count(None) == 1
            continue
        both = same_options(a.options, b.options)
        either = len(a.options) + len(b.options) - len(both)
        if either < 2:
            continue
        agreed.append(float(picks in both))
        options.append(float(either))
    same, many = np.array(agreed), np.array(options)

    def share(at: Array) -> float | None:
        return float(same[at].mean()) if len(at) else None

    def beyond(at: Array) -> float | None:
        return within_options(same[at], many[at])

    first, second = rng.spawn(2)
    return Topic(
        "chosen", "snap", len(same), with_interval(share, len(same), draws, first),
        with_interval(beyond, len(same), draws, second),
        "kappa against drawing lots among the options of each snap", one_said, {},
    )  # fmt: skip


def _blame(pairs: Sequence[Pair], draws: int, rng: np.random.Generator) -> Topic:
    """Whoever answers most for an entry; where neither names anybody nothing is compared."""
    snaps: list[list[tuple[int, int]]] = []
    one_said = 0
    for a, b in pairs:
        words = []
        for entry in ENTRIES:
            said = [(s.blame or {}).get(entry) for s in (a, b)]
            if said == [None, None]:
                continue
            one_said += None in said
            words.append((_answers(entry, said[0]), _answers(entry, said[1])))
        if words:
            snaps.append(words)
    return _worded(
        "blame", "entry", snaps, PARTIES, None, "kappa of whoever answers most", one_said, draws,
        rng,
    )  # fmt: skip


def _answers(entry: str, shares: Mapping[str, float] | None) -> int:
    """Index of whoever answers most; without a word the default, or nobody."""
    if not shares:
        return PARTIES.index(DEFAULT_BLAME.get(entry, NOBODY))
    return PARTIES.index(max(shares, key=lambda p: shares[p]))
