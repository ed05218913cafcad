"""From priced games to a ranking: every measure, in both currencies."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pointsleft.players.design import Play, groups_of_plays, plays_of, table_of
from pointsleft.players.doubts import blame_of, extremes, swaps
from pointsleft.players.groups import DIMENSIONS
from pointsleft.players.measures import MEASURES
from pointsleft.players.people import People, people_of
from pointsleft.players.result import (
    Blame,
    Cell,
    Contrast,
    Dear,
    Extreme,
    Player,
    Ranking,
    Standing,
    Steadiness,
    Swap,
)
from pointsleft.players.rows import TooLittleError
from pointsleft.players.seen import SeenGame, charged
from pointsleft.players.situations import by_situation
from pointsleft.players.standing import DRAWS, Fitted, standing_of
from pointsleft.players.steadiness import steadiness
from pointsleft.pricing.result import CURRENCIES, Currency

#: Measures that are given by situation too.
BY_SITUATION = ("left", "taken")

#: How many of a player's dearest decisions are kept.
DEAREST = 8


def rank(
    games: Sequence[SeenGame],
    *,
    main: Currency = "points",
    seed: int = 1,
    draws: int = DRAWS,
    warnings: Sequence[str] = (),
) -> Ranking:
    """Rank the players of some games.

    Parameters
    ----------
    main
        Currency by which the class is ordered. Points by default: what a decision leaves in
        wins hangs on how close the game was, which is not the player's doing.
    draws
        Joint draws behind every chance.

    Returns
    -------
    Ranking
        The same for the same games and seed, in whatever order the rest of the program ran.

    Raises
    ------
    TooLittleError
        There are fewer decisions than can be fitted.
    """
    from threadpoolctl import threadpool_limits

    # the matrices are small: a second thread costs more than it helps
    with threadpool_limits(1):
        return _rank(games, main, seed, draws, warnings)


def _rank(
    games: Sequence[SeenGame], main: Currency, seed: int, draws: int, warnings: Sequence[str]
) -> Ranking:
    people = people_of(games)
    standings: dict[Currency, dict[str, Standing]] = {}
    cells: dict[Currency, dict[str, dict[str, tuple[Cell, ...]]]] = {}
    steady: dict[Currency, dict[str, Steadiness]] = {}
    blame: dict[Currency, dict[str, tuple[Blame, ...]]] = {}
    doubtful: dict[Currency, tuple[Extreme, ...]] = {}
    swapped: dict[Currency, tuple[Swap, ...]] = {}
    dear: dict[Currency, dict[str, tuple[Dear, ...]]] = {}
    why: list[str] = []
    streams = np.random.default_rng(seed).spawn(len(CURRENCIES))
    for currency, rng in zip(CURRENCIES, streams, strict=True):
        plays = plays_of(people, currency)
        groups = groups_of_plays(plays)
        fitted: dict[str, Fitted] = {}
        for name, stream in zip(MEASURES, rng.spawn(len(MEASURES)), strict=True):
            table = table_of(plays, people, MEASURES[name], groups)
            try:
                fitted[name] = standing_of(table, currency, stream, draws=draws)
            except TooLittleError as error:
                why.append(f"{name} in {currency} is not given: {error}")
        if "left" not in fitted:
            continue
        standings[currency] = {name: f.standing for name, f in fitted.items()}
        found, contrasts = _situations(fitted, rng.spawn(1)[0])
        cells[currency] = found
        steady[currency] = dict(steadiness(fitted["left"], contrasts))
        blame[currency] = dict(blame_of(plays, people))
        doubtful[currency] = extremes(fitted["left"], currency, rng.spawn(1)[0])
        swapped[currency] = swaps(fitted["left"])
        dear[currency] = _dearest(plays, people)
    if not standings:
        raise TooLittleError("; ".join(why))
    if main not in standings:
        main = next(iter(standings))
    return Ranking(
        main=main,
        players=_players(people),
        standings=standings,
        cells=cells,
        steadiness=steady,
        blame=blame,
        extremes=doubtful,
        swaps=swapped,
        dearest=dear,
        charters=people.charters,
        games=len(set(people.game_of)),
        logs=len(people.games),
        decisions=sum(len(g.his) for g in people.games),
        refits=min(g.refits for g in people.games),
        draws=draws,
        seed=seed,
        warnings=tuple(dict.fromkeys([*warnings, *_warnings(people), *why])),
    )


def _situations(
    fitted: dict[str, Fitted], rng: np.random.Generator
) -> tuple[dict[str, dict[str, tuple[Cell, ...]]], list[Contrast]]:
    cells: dict[str, dict[str, tuple[Cell, ...]]] = {}
    contrasts: list[Contrast] = []
    names = [name for name in BY_SITUATION if name in fitted]
    jobs = [(name, dimension) for name in names for dimension in DIMENSIONS]
    for (name, dimension), stream in zip(jobs, rng.spawn(len(jobs)), strict=True):
        found = by_situation(fitted[name], dimension, stream)
        if found is None:
            continue
        cells.setdefault(name, {})[dimension] = found.cells
        if name == "left":
            contrasts += found.contrasts
    return cells, contrasts


def _dearest(plays: Sequence[Play], people: People) -> dict[str, tuple[Dear, ...]]:
    out = {}
    for p, name in enumerate(people.players):
        his = [x for x in plays if x.player == p and charged(x.money, "left") > 0]
        his.sort(key=lambda x: -charged(x.money, "left"))
        out[name] = tuple(_dear(x, people) for x in his[:DEAREST])
    return out


def _dear(play: Play, people: People) -> Dear:
    game, decision, money = people.games[play.log], play.decision, play.money
    return Dear(
        people.title_of(play.log), game.them, game.charter, decision.snap, decision.clip,
        decision.situation,
        decision.chosen, money.best, decision.result, money.left, money.settled,
    )  # fmt: skip


def _players(people: People) -> dict[str, Player]:
    out = {}
    for p, name in enumerate(people.players):
        logs = [g for g, who in zip(people.games, people.player_of, strict=True) if who == p]
        out[name] = Player(
            name=name,
            games=people.games_by(p),
            logs=len(logs),
            decisions=sum(len(g.his) for g in logs),
            charters=people.charters_of(p),
            opponents=tuple(dict.fromkeys(g.them for g in logs)),
            teams=tuple(dict.fromkeys(g.us for g in logs)),
        )
    return out


def _warnings(people: People) -> list[str]:
    """What a reader should know of these logs before he compares anybody."""
    found = []
    levels = sorted({g.level for g in people.games})
    if len(levels) > 1:
        found.append(
            f"games of several levels ({', '.join(levels)}) are ranked together: a point does not "
            "mean the same at each"
        )
    alone = [
        name
        for p, name in enumerate(people.players)
        if len(people.charters) > 1 and len(people.charters_of(p)) == 1 and _only_his(people, p)
    ]
    if alone:
        found.append(
            "charted by somebody who charted nobody else, so that he and his charter cannot be "
            f"told apart: {', '.join(alone)}"
        )
    if any(not g.refits for g in people.games):
        found.append(
            "some games were priced without refits, so how far the models may be off is not in "
            "the intervals"
        )
    if len({g.refits for g in people.games}) > 1:
        found.append(
            "games priced with different numbers of refits: what the models may have wrong is not "
            "in the intervals"
        )
    nothing = [n for n, p in _players(people).items() if not p.decisions]
    if nothing:
        found.append(f"no priced decision, so not ranked: {', '.join(nothing)}")
    return found


def _only_his(people: People, player: int) -> bool:
    """Whether the one who charted him charted no other player."""
    his = {c for c, p in zip(people.charter_of, people.player_of, strict=True) if p == player}
    others = {c for c, p in zip(people.charter_of, people.player_of, strict=True) if p != player}
    return not his & others
