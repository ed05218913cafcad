"""How evenly a player decides: within himself, game by game, and over repeats of a concept."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence

import numpy as np

from pointsleft.players.design import Play
from pointsleft.players.people import People
from pointsleft.players.result import Contrast, Estimate, Repeat, Steadiness
from pointsleft.players.seen import charged
from pointsleft.players.standing import Fitted
from pointsleft.pricing.result import Interval
from pointsleft.pricing.settings import HIGH, LOW

Array = np.ndarray


def steadiness(fitted: Fitted, contrasts: Sequence[Contrast]) -> Mapping[str, Steadiness]:
    """Steadiness by player, from a fit of ``left``."""
    people = fitted.table.people
    spreads = _spreads(fitted)
    by_player: dict[int, list[Play]] = defaultdict(list)
    for play in fitted.table.plays:
        by_player[play.player].append(play)
    return {
        people.players[p]: Steadiness(
            spread=spreads[p],
            game_means=_game_means(plays, people),
            contrasts=tuple(c for c in contrasts if c.player == people.players[p]),
            repeats=_repeats(plays),
        )
        for p, plays in sorted(by_player.items())
    }


def _spreads(fitted: Fitted) -> dict[int, Estimate]:
    people, found = fitted.table.people, fitted.spreads
    players = range(len(people.players))
    decisions = Counter(play.player for play in fitted.table.plays)
    return {
        p: Estimate(
            raw=None if np.isnan(found.raw[p]) else float(found.raw[p]),
            value=float(found.value[p]),
            interval=Interval(float(found.low[p]), float(found.high[p])),
            own=float(found.own[p]),
            decisions=decisions[p],
            games=people.games_by(p),
            games_to_halve=None,
        )
        for p in players
    }


def _game_means(plays: Sequence[Play], people: People) -> tuple[tuple[str, float, int], ...]:
    by_log: dict[int, list[float]] = defaultdict(list)
    for play in plays:
        by_log[play.log].append(charged(play.money, "left"))
    return tuple(
        (people.title_of(log), float(np.mean(left)), len(left)) for log, left in by_log.items()
    )


def _repeats(plays: Sequence[Play]) -> tuple[Repeat, ...]:
    """Of a game that several people charted the first log alone: the snap was played once."""
    first: dict[int, int] = {}
    by_concept: dict[str, list[Play]] = defaultdict(list)
    for play in plays:
        concept = play.decision.groups.get("concept")
        if concept is not None and first.setdefault(play.game, play.log) == play.log:
            by_concept[concept].append(play)
    found = [
        Repeat(
            concept,
            tuple(p.money.took_best for p in same),
            tuple(p.money.left for p in same),
            share_interval(sum(p.money.took_best for p in same), len(same)),
        )
        for concept, same in by_concept.items()
        if len(same) > 1
    ]
    return tuple(sorted(found, key=lambda r: (-len(r.taken), r.concept)))


def share_interval(times: int, of: int) -> Interval:
    """90% interval of a share that was counted; Jeffreys' (Brown, Cai & DasGupta 2001).

    >>> share_interval(7, 20)
    Interval(low=0.196..., high=0.533...)
    """
    from scipy.stats import beta

    low = 0.0 if times == 0 else float(beta.ppf(LOW, times + 0.5, of - times + 0.5))
    high = 1.0 if times == of else float(beta.ppf(HIGH, times + 0.5, of - times + 0.5))
    return Interval(low, high)
