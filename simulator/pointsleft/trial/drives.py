"""Many games of many quarterbacks at once, drive by drive on the lattice."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from pointsleft_models.laws.lattice import (
    DEFENSE_TOUCHDOWN,
    FIELD_GOAL,
    OTHER,
    RUNNING,
    SAFETY,
    STOPPED,
    TOUCHDOWN,
)

from pointsleft.invent.film import EXTRA_POINT
from pointsleft.invent.offers import tilted
from pointsleft.invent.opponents import Possessions
from pointsleft.trial import parts as p
from pointsleft.trial.deck import GO, Deck
from pointsleft.trial.lattice import place, points

Array = np.ndarray

#: Possessions of ours in a game (archive: 11 to 12 a team), and where the first one starts.
DRIVES, KICKOFF_SPOT, FREE_KICK_SPOT = 11, 75, 65

#: Plays after which a drive is broken off: a fault, no drive is that long.
MOST_PLAYS = 60

#: Shares of hand-offs by down and yards to go, as in the invented film.
_HAND_OFFS = ((1, 20, 0.50), (2, 3, 0.62), (2, 7, 0.42), (2, 20, 0.28), (3, 1, 0.62),
              (3, 3, 0.28), (3, 20, 0.07), (4, 1, 0.55), (4, 20, 0.15))  # fmt: skip


@dataclass(frozen=True, slots=True)
class Field:
    """Quarterbacks as arrays (players,)."""

    error: Array
    accuracy: Array
    lean: Array

    def __len__(self) -> int:
        return len(self.error)


@dataclass(frozen=True, slots=True)
class Decisions:
    """Every decision of the quarterbacks, arrays over them.

    Attributes
    ----------
    player, game
        Whose, in which of his games.
    look, chosen
        Look of the deck, and the option he chose.
    grade
        Judgement of the ball, -1 where none was thrown.
    cell, branch
        How it ended.
    yards
        Net yards of a play that kept the ball.
    """

    player: Array
    game: Array
    look: Array
    chosen: Array
    grade: Array
    cell: Array
    branch: Array
    yards: Array

    def __len__(self) -> int:
        return len(self.player)


def hand_off_shares() -> Array:
    """(situations,) share of snaps that are handed off."""
    out = []
    for point in points():
        share = next(s for d, most, s in _HAND_OFFS if (d == point.down and point.distance <= most)
                     or (d == point.down and most == 20))  # fmt: skip
        out.append(share)
    return np.array(out)


class World:
    """What every game has in common."""

    def __init__(self, deck: Deck, others: Possessions) -> None:
        self.deck, self.others = deck, others
        self.spot = np.array([q.spot for q in points()])
        self.down = np.array([q.down for q in points()])
        self.distance = np.array([q.distance for q in points()])
        self.hand_offs = hand_off_shares()
        starts = [others.near(s) for s in range(100)]
        self.theirs = np.array([(int(a[0]), len(a)) for a in starts])

    def play(
        self, field: Field, games: int, rng: np.random.Generator, *, record: bool = True
    ) -> tuple[Array, Decisions | None]:
        """Play games of every quarterback.

        Returns
        -------
        tuple
            (players, games) points of his side less those of the other, and his decisions.
        """
        player = np.repeat(np.arange(len(field)), games)
        game = np.tile(np.arange(games), len(field))
        net = np.zeros(len(player))
        start = np.full(len(player), KICKOFF_SPOT)
        kept: list[Decisions] = []
        tilt = np.cumsum([tilted(float(a)) for a in field.accuracy], axis=1)
        for _ in range(DRIVES):
            theirs, scored, found = _drives(self, field, tilt, player, game, start, rng, record)
            kept += found
            net += scored
            first, many = self.theirs[theirs].T
            drawn = first + (rng.random(len(theirs)) * many).astype(int)
            again = theirs == 0  # they scored on our play: the ball is ours again
            net -= np.where(again, 0, self.others.points[drawn])
            start = np.where(again, KICKOFF_SPOT, self.others.next_start[drawn])
        decisions = None
        if record:
            decisions = Decisions(
                **{f.name: np.concatenate([getattr(d, f.name) for d in kept])
                   for f in fields(Decisions)}
            )  # fmt: skip
        return net.reshape(len(field), games), decisions


def _drives(
    world: World, field: Field, tilt: Array, player: Array, game: Array, start: Array,
    rng: np.random.Generator, record: bool,
) -> tuple[Array, Array, list[Decisions]]:  # fmt: skip
    """One drive of every game: where the other side has the ball (0: we again), and points."""
    n = len(player)
    theirs, scored = np.zeros(n, int), np.zeros(n)
    live = np.arange(n)
    at = place(np.ones(n, int), np.minimum(10, start), start, rng)
    kept: list[Decisions] = []
    for _ in range(MOST_PLAYS):
        cell, found = _snap(world, field, tilt, player[live], at, rng, record)
        if record and found is not None:
            rows = live[found.game]
            kept.append(_named(found, player[rows], game[rows]))
        over = _over(world, cell, at, rng)
        ended = live[over[0]]
        theirs[ended], scored[ended] = over[1], over[2]
        on = ~over[0]
        live, at, cell = live[on], at[on], cell[on]
        if not len(live):
            return theirs, scored, kept
        at = _next(world, cell, at, rng)
    raise RuntimeError(f"{len(live)} drives not over after {MOST_PLAYS} plays")


def _named(found: Decisions, player: Array, game: Array) -> Decisions:
    return Decisions(
        player, game, found.look, found.chosen, found.grade, found.cell, found.branch, found.yards
    )


def _snap(
    world: World, field: Field, tilt: Array, player: Array, at: Array, rng: np.random.Generator,
    record: bool,
) -> tuple[Array, Decisions | None]:  # fmt: skip
    """One snap of every live drive: the cells they end in, and the quarterbacks' decisions.

    ``game`` of the decisions holds the row of the snap.
    """
    deck = world.deck
    n = len(at)
    u = rng.random((3, n))
    slot = (u[0] * p.SLOTS).astype(int)
    kicked = (world.down[at] == 4) & (deck.fourth[at] != GO)
    handed = ~kicked & (u[1] < world.hand_offs[at])
    cell = np.where(kicked, deck.kick[at, slot], deck.run[at, slot]).astype(int)
    rows = np.flatnonzero(~kicked & ~handed)
    look = deck.first[at[rows]] + (u[2, rows] * deck.count[at[rows]]).astype(int)
    chosen = _choices(deck, field, player[rows], look, rng)
    grade, branch, ended = _outcomes(deck, tilt, player[rows], look, chosen, rng)
    cell[rows] = np.where(branch == p.MISSED, STOPPED + world.spot[at[rows]] - 1, ended)
    if not record:
        return cell, None
    spot = np.where(cell[rows] >= STOPPED, cell[rows] - STOPPED, cell[rows] - RUNNING) + 1
    gained = np.where(cell[rows] == TOUCHDOWN, world.spot[at[rows]], world.spot[at[rows]] - spot)
    yards = np.where((cell[rows] < OTHER) | (cell[rows] == TOUCHDOWN), gained, 0)
    return cell, Decisions(player[rows], rows, look, chosen, grade, cell[rows], branch, yards)


def _choices(
    deck: Deck, field: Field, player: Array, look: Array, rng: np.random.Generator
) -> Array:
    """What looks best to each among the options in his read."""
    shape = len(look), deck.kind.shape[1]
    read = (rng.random(shape) < deck.read[look]) & deck.there[look]
    none = ~read.any(1)
    read[none, 0] = True
    seen = deck.worth[look] + field.error[player, None] * rng.standard_normal(shape)
    seen += field.lean[player, None] * deck.lean[look]
    return np.where(read, seen, -np.inf).argmax(1)


def _outcomes(
    deck: Deck, tilt: Array, player: Array, look: Array, chosen: Array, rng: np.random.Generator
) -> tuple[Array, Array, Array]:
    """Judgement of the ball, branch and cell of every choice."""
    n = len(look)
    u = rng.random((5, n))
    thrown = deck.kind[look, chosen] == p.THROW
    sacked = thrown & (u[0] < deck.sacked[look, chosen])
    grade = np.minimum((u[1][:, None] > tilt[player]).sum(1), tilt.shape[1] - 1)
    hurried = (u[2] < deck.hurried[look, chosen]).astype(int)
    chances = np.cumsum(deck.ball[look, chosen, hurried, grade], axis=1)
    branch = np.minimum((u[3][:, None] * chances[:, -1:] > chances).sum(1), 3)
    branch = np.where(thrown, branch, p.KEPT)
    branch = np.where(sacked, p.SACKED, branch)
    cell = deck.ends[look, chosen, branch, (u[4] * p.SLOTS).astype(int)].astype(int)
    return np.where(thrown & ~sacked, grade, -1), branch, cell


def _over(
    world: World, cell: Array, at: Array, rng: np.random.Generator
) -> tuple[Array, Array, Array]:
    """Which drives are over; of those, where the other side has the ball, and our points."""
    spot = np.where(cell >= STOPPED, cell - STOPPED, cell - RUNNING) + 1
    short = world.spot[at] - spot < world.distance[at]
    failed = (cell < OTHER) & (world.down[at] == 4) & short
    over = (cell >= OTHER) | failed
    c, s = cell[over], spot[over]
    lost = c - OTHER + 1
    theirs = np.where(c < OTHER, 100 - s, 100 - np.clip(lost, 1, 99))
    theirs = np.where((c == TOUCHDOWN) | (c == FIELD_GOAL), KICKOFF_SPOT, theirs)
    theirs = np.where(c == SAFETY, FREE_KICK_SPOT, theirs)
    theirs = np.where(c == DEFENSE_TOUCHDOWN, 0, theirs)
    good = rng.random(len(c)) < EXTRA_POINT
    scored = np.select(
        [c == TOUCHDOWN, c == FIELD_GOAL, c == SAFETY, c == DEFENSE_TOUCHDOWN],
        [6.0 + good, 3.0, -2.0, -6.0 - good], 0.0,
    )  # fmt: skip
    return over, theirs, scored


def _next(world: World, cell: Array, at: Array, rng: np.random.Generator) -> Array:
    """Situation after a play that kept the ball."""
    spot = np.where(cell >= STOPPED, cell - STOPPED, cell - RUNNING) + 1
    gained = world.spot[at] - spot
    made = gained >= world.distance[at]
    down = np.where(made, 1, world.down[at] + 1)
    distance = np.where(made, np.minimum(10, spot), world.distance[at] - gained)
    return place(down, np.minimum(distance, spot), spot, rng)
