"""What the order hangs on: who answers for an entry, the doubtful reads, single judgements."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from pointsleft.log.record import BLAME_PARTIES
from pointsleft.players.design import Play, rows_of
from pointsleft.players.mixed import fit
from pointsleft.players.people import People
from pointsleft.players.result import Blame, Extreme, Moved, Swap
from pointsleft.players.seen import charged
from pointsleft.players.standing import Fitted, standing_of
from pointsleft.pricing.ledger import DEFAULT_BLAME
from pointsleft.pricing.result import Currency

Array = np.ndarray

#: What nobody answers for, and every column of a table of blame.
UNASSIGNED = "unassigned"
PARTIES = (*BLAME_PARTIES, UNASSIGNED)

#: Names of the readings of the doubtful reads.
AS_LOGGED, ALL_IN, NONE_IN = "as logged", "all in the read", "none in the read"


def blame_of(plays: Sequence[Play], people: People) -> Mapping[str, tuple[Blame, ...]]:
    """``left`` and ``delivered`` a decision, by who answers for them, for every player."""
    by_player: dict[int, list[Play]] = defaultdict(list)
    for play in plays:
        by_player[play.player].append(play)
    return {
        people.players[p]: tuple(_blame(his, entry) for entry in ("left", "delivered"))
        for p, his in sorted(by_player.items())
    }


def _blame(plays: Sequence[Play], entry: str) -> Blame:
    """A game that several people charted counts once, as everywhere."""
    sums = dict.fromkeys(PARTIES, 0.0)
    counted = sum(play.share for play in plays)
    said = 0
    usual = DEFAULT_BLAME.get(entry)
    for play in plays:
        amount = play.money.crossfit if entry == "left" else play.money.delivered
        shares = play.money.blame.get(entry, {})
        for party in BLAME_PARTIES:
            sums[party] += play.share * amount * shares.get(party, 0.0)
        sums[UNASSIGNED] += play.share * amount * (1 - sum(shares.values()))
        said += any(abs(shares.get(p, 0.0) - float(p == usual)) > 1e-9 for p in BLAME_PARTIES)
    return Blame(entry, {k: v / counted for k, v in sums.items()}, said)


def extremes(fitted: Fitted, currency: Currency, rng: np.random.Generator) -> tuple[Extreme, ...]:
    """The ranking by ``left``, were every doubtful option in the read, and were none."""
    found = [_extreme(AS_LOGGED, fitted)]
    for name, stream in zip((ALL_IN, NONE_IN), rng.spawn(2), strict=True):
        response = []
        for play in fitted.table.plays:
            money = play.money
            then = money.certain if name == ALL_IN else money.without
            his = money.blame.get("left", {}).get("quarterback", 0.0)
            response.append(charged(money, "left") + his * (then - money.left))
        again = standing_of(fitted.table, currency, stream, response=np.array(response))
        found.append(_extreme(name, again))
    return tuple(found)


def _extreme(name: str, fitted: Fitted) -> Extreme:
    standing = fitted.standing
    return Extreme(
        name=name,
        order=(*standing.order, *standing.apart),
        values={n: e.value for n, e in standing.players.items()},
        first={n: p[0] for n, p in standing.places.items()},
    )


def swaps(fitted: Fitted) -> tuple[Swap, ...]:
    """For every two neighbours in the order: the fewest judgements that swap them.

    A judgement moves the figure of its decision to the end of the charter's own 90% range, the
    dearest first; the last one moves only as far as it takes. The spreads of the model are kept
    as they are, so a figure moves an estimate in proportion.
    """
    order = fitted.standing.order
    return tuple(_swap(fitted, ahead, behind) for ahead, behind in pairwise(order))


def _swap(fitted: Fitted, ahead: str, behind: str) -> Swap:
    people, plays = fitted.table.people, fitted.table.plays
    one, other = people.players.index(ahead), people.players.index(behind)
    influence = _influence(fitted, one, other)
    values = fitted.standing.players
    gap = values[behind].value - values[ahead].value
    moves: list[tuple[float, int, float]] = []
    for at, play in enumerate(plays):
        money = play.money
        if play.player not in (one, other):
            continue
        end = money.judged_high if play.player == one else money.judged_low
        his = money.blame.get("left", {}).get("quarterback", 0.0)
        gained = -influence[at] * his * (end - money.left)
        if gained > 0:
            moves.append((float(gained), at, end))
    moves.sort(key=lambda m: (-m[0], m[1]))
    moved: list[Moved] = []
    short = gap
    for gained, at, end in moves:
        if short <= 0:
            break
        part = min(1.0, short / gained)
        money = plays[at].money
        moved.append(_moved(plays[at], people, money.left + part * (end - money.left)))
        short -= gained * part
    return Swap(
        ahead, behind, gap, tuple(moved) if short <= 1e-12 else (),
    )  # fmt: skip


def _moved(play: Play, people: People, to: float) -> Moved:
    decision = play.decision
    return Moved(
        player=people.players[play.player],
        game=people.title_of(play.log),
        snap=decision.snap,
        clip=decision.clip,
        situation=decision.situation,
        left=play.money.left,
        to=to,
        hangs_on=play.money.hangs_on,
    )


def _influence(fitted: Fitted, one: int, other: int) -> Array:
    """(plays,) what one unit on a decision adds to ``other``'s estimate less ``one``'s."""
    rows = replace(rows_of(fitted.table)[0], uneven=fitted.spreads.ratio)
    posterior = fitted.posterior
    held = {part: posterior.spread(part) for part in (*rows.groups, "game")}
    linear = fit(rows, held={**held, "play": posterior.play_spread}).linear(rows)
    own = posterior.names["player"]
    found: Array = linear[own.start + other] - linear[own.start + one]
    return found
