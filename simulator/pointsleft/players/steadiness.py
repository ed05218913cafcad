"""How evenly a player decides: within himself, game by game, and over repeats of a concept."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

import numpy as np

from pointsleft.players.design import Play, rows_of
from pointsleft.players.people import People
from pointsleft.players.result import Contrast, Estimate, Repeat, Steadiness
from pointsleft.players.seen import charged
from pointsleft.players.standing import Fitted
from pointsleft.pricing.result import Interval

Array = np.ndarray

#: Fewer decisions than this say nothing of a spread.
LEAST = 5

#: Scale of the half-normal prior of how far players differ in their spread, in log units.
LOG_SPREAD = 0.25

#: Points of the grid over that spread.
POINTS = 60


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


def pull(values: Array, errors: Array, scale: float) -> tuple[Array, Array, Array]:
    """Several normal figures with known errors, pulled toward one another.

    Parameters
    ----------
    values, errors
        (n,) figures and their standard errors.
    scale
        Scale of the half-normal prior of how far the true figures lie apart.

    Returns
    -------
    tuple
        (n,) posterior means, (n,) standard deviations, (n,) share of the own figure.
    """
    spread = np.linspace(0, 3.2 * scale, POINTS)
    precision = 1 / (spread[:, None] ** 2 + errors**2)
    total = precision.sum(1)
    middle = (precision * values).sum(1) / total
    log = (
        -0.5 * (spread / scale) ** 2
        + 0.5 * np.log(precision).sum(1)
        - 0.5 * np.log(total)
        - 0.5 * (precision * (values - middle[:, None]) ** 2).sum(1)
    )
    share = np.exp(log - log.max())
    share /= share.sum()
    own = spread[:, None] ** 2 * precision
    mean = own * values + (1 - own) * middle[:, None]
    variance = own * errors**2 + (1 - own) ** 2 / total[:, None]
    out = share @ mean
    return out, np.sqrt(share @ (variance + (mean - out) ** 2)), share @ own


def _spreads(fitted: Fitted) -> dict[int, Estimate]:
    people = fitted.table.people
    rows, _ = rows_of(fitted.table)
    posterior = fitted.posterior
    rest = rows.y - rows.covariates @ posterior.mean[posterior.names["covariates"]]
    player = rows.groups["player"]
    present = [p for p in range(len(people.players)) if (player == p).sum() >= LEAST]
    raw: dict[int, float] = {}
    errors: dict[int, float] = {}
    for p in present:
        x = rest[player == p]
        own_sd = float(x.std(ddof=1))
        if own_sd > 0:
            raw[p] = own_sd
            # the log of a standard deviation moves by half of (z squared - 1) over n
            z = ((x - x.mean()) / own_sd) ** 2
            errors[p] = float(max(np.sqrt(((z - 1) ** 2).sum()) / (2 * len(x)), 1e-3))
    found = {
        p: Estimate(
            None, float("nan"), Interval(0.0, 0.0), 0.0, int((player == p).sum()),
            people.games_by(p), None,
        )
        for p in range(len(people.players))
    }  # fmt: skip
    if raw:
        at = list(raw)
        mean, sd, own = pull(
            np.log([raw[p] for p in at]), np.array([errors[p] for p in at]), LOG_SPREAD
        )
        middle = float(np.exp(mean.mean()))
    else:
        at, middle = [], posterior.play_spread
    width = float(np.exp(1.645 * LOG_SPREAD))
    for p, estimate in found.items():
        if p in raw:
            i = at.index(p)
            low, high = (float(np.exp(mean[i] + z * sd[i])) for z in (-1.645, 1.645))
            value, share = float(np.exp(mean[i])), float(own[i])
        else:  # hardly seen: the class is all that is known
            low, high, value, share = middle / width, middle * width, middle, 0.0
        found[p] = Estimate(
            raw.get(p), value, Interval(low, high), share, estimate.decisions,
            estimate.games, None,
        )  # fmt: skip
    return found


def _game_means(plays: Sequence[Play], people: People) -> tuple[tuple[str, float, int], ...]:
    by_log: dict[int, list[float]] = defaultdict(list)
    for play in plays:
        by_log[play.log].append(charged(play.money, "left"))
    return tuple(
        (people.games[log].title, float(np.mean(left)), len(left)) for log, left in by_log.items()
    )


def _repeats(plays: Sequence[Play]) -> tuple[Repeat, ...]:
    by_concept: dict[str, list[Play]] = defaultdict(list)
    for play in plays:
        concept = play.decision.groups.get("concept")
        if concept is not None:
            by_concept[concept].append(play)
    found = [
        Repeat(
            concept,
            tuple(p.money.took_best for p in same),
            tuple(p.money.left for p in same),
        )
        for concept, same in by_concept.items()
        if len(same) > 1
    ]
    return tuple(sorted(found, key=lambda r: (-len(r.taken), r.concept)))
