"""A class of players by one measure: estimates, who is ahead of whom, how many games more."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pointsleft.players.design import Table, rows_of
from pointsleft.players.mixed import balanced_weight, fit
from pointsleft.players.posterior import Posterior
from pointsleft.players.result import Estimate, Spreads, Standing
from pointsleft.players.rows import LEAST_PLAYS, TooLittleError
from pointsleft.players.spreads import OwnSpreads, own_spreads
from pointsleft.pricing.ledger import verdict
from pointsleft.pricing.result import Currency, Interval
from pointsleft.pricing.settings import HIGH, LOW

Array = np.ndarray

#: Joint draws from the posterior: the error of a chance is then below one percent.
DRAWS = 4000

#: A player seen in fewer games than this stands apart from the order.
PLACED = 2


@dataclass(frozen=True)
class Fitted:
    """A standing, with the posterior and draws it was made from.

    Attributes
    ----------
    draws
        (draws, players) joint draws of each player's level on the usual mix of snaps.
    spreads
        How far each player's single decisions lie apart.
    """

    standing: Standing
    posterior: Posterior
    draws: Array
    table: Table
    spreads: OwnSpreads


def standing_of(
    table: Table,
    currency: Currency,
    rng: np.random.Generator,
    *,
    response: Array | None = None,
    draws: int = DRAWS,
) -> Fitted:
    """Fit one measure.

    Parameters
    ----------
    response
        Figures to use in place of the measure's own, one for each of the table's plays.

    Raises
    ------
    TooLittleError
        There is too little to fit.
    """
    people, measure = table.people, table.measure
    if len(table.plays) < LEAST_PLAYS:
        raise TooLittleError(
            f"{len(table.plays)} plays have a figure for {measure.name}: at least {LEAST_PLAYS} "
            "are needed to fit anything"
        )
    rows, _ = rows_of(table, response=response)
    own_spread = own_spreads(rows)
    rows = replace(rows, uneven=own_spread.ratio)
    posterior = fit(rows)
    own, usual = posterior.names["player"], posterior.usual()
    drawn, _ = posterior.draws(draws, rng)
    middle = drawn @ usual
    levels = middle[:, None] + drawn[:, own]
    seen = _seen(table, rows.y, rows.precision)
    present = [p for p in range(len(people.players)) if seen[p].decisions]
    values = posterior.mean @ usual + posterior.mean[own]
    estimates = {}
    for p in present:
        low, high = np.quantile(levels[:, p], [LOW, HIGH])
        estimates[people.players[p]] = Estimate(
            raw=seen[p].raw,
            value=measure.within(float(values[p])),
            interval=Interval(measure.within(float(low)), measure.within(float(high))),
            own=_own_weight(posterior, seen[p]),
            decisions=seen[p].decisions,
            games=seen[p].games,
            games_to_halve=games_to_halve(posterior, seen[p], p, float(levels[:, p].var())),
        )
    names = [people.players[p] for p in present]
    order, apart = _order(names, estimates, measure.better)
    ahead, places = _chances(levels[:, present], names, measure.better)
    standing = Standing(
        measure=measure.name,
        currency=currency,
        better=measure.better,
        middle=float(posterior.mean @ usual),
        middle_interval=Interval(*(float(x) for x in np.quantile(middle, [LOW, HIGH]))),
        players=estimates,
        order=order,
        apart=apart,
        ahead=ahead,
        places=places,
        settled=_settled(ahead),
        spreads=_spreads(posterior),
    )
    return Fitted(standing, posterior, levels, table, own_spread)


@dataclass(frozen=True, slots=True)
class _Seen:
    raw: float | None
    decisions: int
    games: int
    weight: float  # sum of the weights of his decisions, his own spread allowed for
    charters: Array  # share of each charter in his decisions


def _seen(table: Table, y: Array, weight: Array) -> list[_Seen]:
    kept, people = table.plays, table.people
    player = np.array([p.player for p in kept])
    game, charter = np.array([p.game for p in kept]), np.array([p.charter for p in kept])
    found = []
    for p in range(len(people.players)):
        his = player == p
        if not his.any():
            found.append(_Seen(None, 0, 0, 0.0, np.zeros(len(people.charters))))
            continue
        w = weight[his]
        by_charter = np.bincount(charter[his], w, len(people.charters)) / w.sum()
        found.append(
            _Seen(
                float(np.average(y[his], weights=w)), int(his.sum()),
                len(np.unique(game[his])), float(w.sum()), by_charter,
            )
        )  # fmt: skip
    return found


def _own_weight(posterior: Posterior, seen: _Seen) -> float:
    """Share of his own games in the estimate, over the spreads as far as they are known."""
    return float(
        sum(
            point.share
            * balanced_weight(
                point.spreads["player"], point.spreads["game"], posterior.play_spread,
                seen.games, seen.weight / seen.games,
            )
            for point in posterior.points
        )
    )  # fmt: skip


def games_to_halve(posterior: Posterior, seen: _Seen, player: int, variance: float) -> float | None:
    """Further games like his own that would halve his interval.

    What the models have wrong and what a charter sees differently are not mended by more games
    of his; where they alone are wider than half of the interval now, no number of games does.
    """
    usual, own = posterior.usual(), posterior.names["player"]
    moved = posterior.shift()
    common = 0.0 if moved is None else float((usual @ moved + moved[own][player]).var())
    lean = seen.charters - 1 / max(len(seen.charters), 1)
    game_noise = posterior.play_spread**2 * seen.games / seen.weight
    for point in posterior.points:
        if "charter" in posterior.names:
            seen_so = lean @ point.root[posterior.names["charter"]]
            common += point.share * float(seen_so @ seen_so)
        game_noise += point.share * point.spreads["game"] ** 2
    common = min(common, 0.95 * variance)
    wanted = variance / 4 - common
    if wanted <= 0 or game_noise <= 0:
        return None
    known = 1 / (variance - common)
    return float((1 / wanted - known) * game_noise)


def _order(
    names: Sequence[str], estimates: dict[str, Estimate], better: int
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    sign = better or 1

    def by_estimate(name: str) -> tuple[float, str]:
        return -sign * estimates[name].value, name

    placed = [n for n in names if estimates[n].games >= PLACED]
    if not placed:
        return tuple(sorted(names, key=by_estimate)), ()
    apart = [n for n in names if estimates[n].games < PLACED]
    return tuple(sorted(placed, key=by_estimate)), tuple(sorted(apart, key=by_estimate))


def _chances(
    levels: Array, names: Sequence[str], better: int
) -> tuple[dict[str, dict[str, float]], dict[str, tuple[float, ...]]]:
    """Who is ahead of whom, and the chance of every place; ties of draws do not occur."""
    score = levels * (better or 1)
    more = (score[:, :, None] > score[:, None, :]).mean(0)
    ahead = {
        one: {other: float(more[i, j]) for j, other in enumerate(names) if j != i}
        for i, one in enumerate(names)
    }
    rank = (-score).argsort(axis=1).argsort(axis=1)
    n = len(names)
    places = {
        name: tuple(float(x) for x in np.bincount(rank[:, i], minlength=n) / len(rank))
        for i, name in enumerate(names)
    }
    return ahead, places


def _settled(ahead: dict[str, dict[str, float]]) -> dict[str, int]:
    counts = {"firm": 0, "slight": 0, "unsettled": 0}
    names = list(ahead)
    for i, one in enumerate(names):
        for other in names[i + 1 :]:
            counts[verdict(max(ahead[one][other], ahead[other][one]))] += 1
    return counts


def _spreads(posterior: Posterior) -> Spreads:
    return Spreads(
        players=posterior.spread("player"),
        games=posterior.spread("game"),
        plays=posterior.play_spread,
        charters=posterior.spread("charter") if "charter" in posterior.names else None,
        opponents=posterior.spread("opponent") if "opponent" in posterior.names else None,
    )
