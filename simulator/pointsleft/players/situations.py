"""A player by situation: every group of every dimension, pulled toward what is known of both.

In one group of situations a player has few decisions. His figure there is made of four parts: the
middle of the class, what goes with the group's snaps for everybody, what he does everywhere, and
what he does in this group beyond that; the last is pulled toward nothing by how little was seen.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pointsleft.players.design import rows_of, with_cells
from pointsleft.players.groups import ORDER
from pointsleft.players.mixed import fit
from pointsleft.players.people import People
from pointsleft.players.result import Cell, Contrast
from pointsleft.players.standing import Fitted
from pointsleft.pricing.result import Interval
from pointsleft.pricing.settings import HIGH, LOW

Array = np.ndarray

#: A group must hold this many decisions of the class to be told apart, and a dimension at most
#: so many groups; what is rarer stands together.
LEAST, MOST = 8, 14

REST = "all others"

#: Pairs of groups that say how steady a player is: what, dimension, first, second.
CONTRASTS = (
    ("fourth quarter against the first", "quarter", "fourth quarter", "first quarter"),
    ("pressure against none logged", "pressure", "pressure", "no pressure logged"),
)

#: Draws behind each interval.
DRAWS = 1000


@dataclass(frozen=True)
class BySituation:
    """The cells of one dimension, and contrasts within it."""

    cells: tuple[Cell, ...]
    contrasts: tuple[Contrast, ...]


def by_situation(fitted: Fitted, dimension: str, rng: np.random.Generator) -> BySituation | None:
    """The players by the groups of one dimension; ``None`` where it was hardly logged.

    The spreads of players, games, charters and opponents are taken from the fit of all
    decisions; how far players differ in their groups is summed over.
    """
    whole = fitted.table
    within = whole.measure.within
    at = [i for i, g in enumerate(whole.groups[dimension]) if g is not None]
    table, people = whole.part(at), whole.people
    groups = _gathered([g for g in table.groups[dimension] if g is not None])
    kinds = sorted(set(groups), key=lambda g: (g == REST, ORDER.get(g, 99), -groups.count(g), g))
    if len(kinds) < 2 or len(at) < 2 * LEAST:
        return None
    rows, columns = rows_of(table, extra={dimension: groups}, without=(dimension,), unit=whole.unit)
    players, count = len(people.players), len(kinds)
    place = {g: i for i, g in enumerate(kinds)}
    group_at = np.array([place[g] for g in groups])
    cells = np.array([p.player for p in table.plays]) * count + group_at
    rows = replace(rows, uneven=fitted.spreads.ratio)
    posterior = fitted.posterior
    held = {part: posterior.spread(part) for part in rows.groups} | {
        "game": posterior.spread("game"), "play": posterior.play_spread
    }  # fmt: skip
    found = fit(with_cells(rows, cells, players * count), held=held)
    drawn, _ = found.draws(DRAWS, rng)
    beta = found.names["covariates"]
    usual, own, cell = found.usual(), found.names["player"], found.names["cell"]
    wide = Counter(cells.tolist())
    weight = np.bincount(cells, rows.weight, players * count)
    total = np.bincount(cells, rows.weight * rows.y, players * count)
    # a group stands for the snaps of the class in it, with everything that goes with them
    typical = {
        g: np.average(rows.covariates[group_at == i], axis=0, weights=rows.weight[group_at == i])
        for g, i in place.items()
    }
    # two groups held against each other differ in nothing but the group
    alone = {g: columns.at(dimension, g) for g in kinds}
    out: list[Cell] = []
    levels: dict[tuple[int, str], tuple[Array, float, float]] = {}
    for p in range(players):
        for group in kinds:
            one = p * count + place[group]
            if not wide[one]:
                continue
            x, bare = typical[group], alone[group]
            his = drawn[:, own][:, p] + drawn[:, cell][:, one]
            draws = drawn @ usual + drawn[:, beta] @ x + his
            class_value = float(found.mean @ usual + found.mean[beta] @ x)
            beyond = float(found.mean[own][p] + found.mean[cell][one])
            value = class_value + beyond
            raw = float(total[one] / weight[one])
            levels[p, group] = his + drawn[:, beta] @ bare, beyond + found.mean[beta] @ bare, raw
            low, high = np.quantile(draws, [LOW, HIGH])
            out.append(
                Cell(
                    people.players[p], group, wide[one], raw, within(value),
                    Interval(within(float(low)), within(float(high))), within(class_value),
                )
            )  # fmt: skip
    seen = {(p, g): wide[p * count + place[g]] for p in range(players) for g in kinds}
    return BySituation(tuple(out), tuple(_contrasts(dimension, levels, seen, people)))


def _gathered(groups: Sequence[str]) -> list[str]:
    counts = Counter(groups)
    kept = {g for g, n in counts.most_common(MOST) if n >= LEAST}
    return [g if g in kept else REST for g in groups]


def _contrasts(
    dimension: str,
    levels: dict[tuple[int, str], tuple[Array, float, float]],
    seen: dict[tuple[int, str], int],
    people: People,
) -> list[Contrast]:
    found = []
    for what, where, first, second in CONTRASTS:
        if where != dimension:
            continue
        for p, name in enumerate(people.players):
            one, other = levels.get((p, first)), levels.get((p, second))
            if one is None or other is None:
                continue
            draws = one[0] - other[0]
            low, high = np.quantile(draws, [LOW, HIGH])
            found.append(
                Contrast(
                    name, what, (seen[p, first], seen[p, second]), one[2] - other[2],
                    float(one[1] - other[1]), Interval(float(low), float(high)),
                    float((draws > 0).mean()),
                )
            )  # fmt: skip
    return found
