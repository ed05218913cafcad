"""A deck of film: looks laid out for every situation of the lattice, as the world plays them and as
the tool prices them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from pathlib import Path

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.laws.setting import setting_of

from pointsleft.invent.film import CAUTION, GAP_SHARES, GAPS, LONGEST_KICK, NEAREST_PUNT
from pointsleft.invent.looks import Look, draw_look
from pointsleft.invent.offers import leaning, offer, word_of
from pointsleft.invent.playbook import Play
from pointsleft.log.record import WINDOWS
from pointsleft.pricing.progress import Progress
from pointsleft.trial import parts as p
from pointsleft.trial.lattice import Point, points

Array = np.ndarray

#: Looks of each situation by down.
LOOKS = {1: 20, 2: 6, 3: 6, 4: 2}

#: What becomes of a fourth down.
GO, KICK, PUNT = range(3)


@dataclass(frozen=True, slots=True)
class Deck:
    """Arrays over looks (n), their options (k) and the situations of the lattice (s).

    Attributes
    ----------
    first, count
        (s,) where a situation's looks begin, and how many there are.
    run
        (s, SLOTS) cells that a hand-off ends in.
    fourth
        (s,) ``GO``, ``KICK`` or ``PUNT``.
    kick
        (s, SLOTS) cells that the kick or punt ends in.
    kind, there
        (n, k) kind of an option, and whether there is one.
    place
        (n, k) place in the read, 0 for none.
    read
        (n, k) usual chance that it was in the read.
    word, air, lean
        (n, k) the true window word; air yards; yards short of ten.
    open
        (n, k) how open he truly is.
    worth
        (n, k) true worth of an option in the world's points.
    sacked, hurried
        (n, k) chance of a sack, and of a hurried ball among those thrown.
    ball
        (n, k, 2, 21, 4) true chances of a throw's branches, in rhythm and hurried, by judgement
        of the ball.
    ends
        (n, k, BRANCHES, SLOTS) cells that outcomes are drawn from.
    price
        (n, k, 3, WORDS) the tool's worth: hitches one less, right, one more; window words.
    taken
        (n, k) the tool's worth of a scramble that is taken; of others their worth.
    carried
        (n, k, WORDS, 21) what the tool adds for how a throw was executed.
    sack_carried
        (n, k, WORDS) the same for a sack (a free rusher was logged), else 0.
    before, after
        (n,) and (n, CELLS) the tool's worth before the snap and of every outcome.
    """

    first: Array
    count: Array
    run: Array
    fourth: Array
    kick: Array
    kind: Array
    there: Array
    place: Array
    read: Array
    word: Array
    air: Array
    lean: Array
    open: Array
    worth: Array
    sacked: Array
    hurried: Array
    ball: Array
    ends: Array
    price: Array
    taken: Array
    carried: Array
    sack_carried: Array
    before: Array
    after: Array

    def save(self, path: Path) -> None:
        """Plain arrays."""
        path.parent.mkdir(parents=True, exist_ok=True)
        np.savez(path, **{f.name: getattr(self, f.name) for f in fields(Deck)})

    @classmethod
    def load(cls, path: Path) -> Deck:
        with np.load(path, allow_pickle=False) as stored:
            return cls(**{f.name: stored[f.name] for f in fields(cls)})


@dataclass
class _Rows:
    """Lists that become the arrays of a deck."""

    looks: list[dict[str, Array]]
    first: list[int]
    count: list[int]
    run: list[Array]
    fourth: list[int]
    kick: list[Array]


def build(
    world: Worth,
    tool: Worth,
    rng: np.random.Generator,
    looks: dict[int, int] | None = None,
    progress: Progress | None = None,
    stretch: float = 1.0,
) -> Deck:
    """Lay out film for every situation.

    Parameters
    ----------
    world, tool
        The fits that snaps are played with and priced with.
    stretch
        How much more an open receiver is worth in the world than the words of the tool say.
    """
    rows = _Rows([], [], [], [], [], [])
    todo: Iterable[Point] = points()
    if progress is not None:
        todo = progress(todo, len(points()), "laying out film")
    for point in todo:
        _situation(rows, point, world, tool, rng, looks or LOOKS, stretch)
    stacked = {name: np.stack([look[name] for look in rows.looks]) for name in rows.looks[0]}
    return Deck(
        first=np.array(rows.first), count=np.array(rows.count), run=np.stack(rows.run),
        fourth=np.array(rows.fourth), kick=np.stack(rows.kick), **stacked,
    )  # fmt: skip


def _situation(
    rows: _Rows, point: Point, world: Worth, tool: Worth, rng: np.random.Generator,
    looks: dict[int, int], stretch: float,
) -> None:  # fmt: skip
    at = point.situation(world.rules)
    rows.first.append(len(rows.looks))
    setting = setting_of(at, gun=False, box=7)
    law = sum(
        share * world.rushing.run(setting, gap).mixture()[0]
        for share, gap in zip(GAP_SHARES, GAPS, strict=True)
    )
    rows.run.append(p.slots(np.asarray(law)))
    decided, kick = GO, np.zeros(p.SLOTS, np.int16)
    if point.down == 4:
        decided, kick = _fourth(world, point, rng)
    rows.fourth.append(decided)
    rows.kick.append(kick)
    rows.count.append(looks[point.down])
    for _ in range(looks[point.down]):
        rows.looks.append(_look(draw_look(at, rng), world, tool, stretch))


def _fourth(world: Worth, point: Point, rng: np.random.Generator) -> tuple[int, Array]:
    """What a cautious coach does, and how his kick ends."""
    at = point.situation(world.rules)
    look = draw_look(at, rng, play=Play("fourth down", "kick", "gun"))
    found = offer(world, look)
    marked = []
    for worth, model in zip(found.worth, found.models, strict=True):
        far = model.kind == "field-goal" and point.spot > LONGEST_KICK
        near = model.kind == "punt" and point.spot < NEAREST_PUNT
        marked.append(-np.inf if far or near else worth - CAUTION * (model.kind == "go"))
    best = found.models[int(np.argmax(marked))]
    if best.kind == "go":
        return GO, np.zeros(p.SLOTS, np.int16)
    return (KICK if best.kind == "field-goal" else PUNT), p.slots(best.law().mixture()[0])


def _look(look: Look, world: Worth, tool: Worth, stretch: float) -> dict[str, Array]:
    """One look as arrays of ``OPTIONS`` options."""
    true, ends = p.parts_of(world, look, tables=True)
    priced, _ = p.parts_of(tool, look)
    n, k = len(true.lost), p.OPTIONS
    options = look.options[:k]
    throw = np.array([o.kind == "throw" for o in options])
    opened = look.open[:n]
    odds = stretch * opened + true.base
    worth = np.where(throw, thrown_worth(true, odds, 1), true.plain)
    levels = p.word_levels()
    said = levels[None, :] + priced.base[:, None]
    price = np.stack([thrown_worth(priced, said, hitch) for hitch in range(3)], axis=1)
    price = np.where(throw[:, None, None], price, priced.plain[:, None, None])
    carried, sack_carried = _carried(priced, said)
    away = true.clock[:, 1, :2].sum(1)
    with np.errstate(invalid="ignore", divide="ignore"):
        hurried = np.where(away > 0, true.clock[:, 1, 1] / away, 1.0)
    ball = np.stack(
        [p.graded(true.catch[:, i], true.pick[:, i], true.lost, odds) for i in range(2)], axis=1
    )
    found = {
        "kind": np.array(p.kinds_of(look)),
        "there": np.ones(n, bool),
        "place": np.array([o.place or 0 for o in options]),
        "read": np.array(p.read_chances(look)),
        "word": np.array([WINDOWS.index(word_of(float(x))) for x in opened]),
        "air": np.array([o.air_yards or 0 for o in options]),
        "lean": leaning([o.air_yards if o.kind == "throw" else None for o in options]),
        "open": opened,
        "worth": worth,
        "sacked": np.where(throw, true.clock[:, 1, 2], 0.0),
        "hurried": np.where(throw, hurried, 0.0),
        "ball": ball.astype(np.float32),
        "ends": ends,
        "price": price,
        "taken": np.where(throw, 0.0, priced.taken),
        "carried": np.where(throw[:, None, None], carried, 0.0).astype(np.float32),
        "sack_carried": np.where(throw[:, None] & priced.free, sack_carried, 0.0),
    }
    padded = {name: _padded(a, k) for name, a in found.items()}
    return padded | {"before": np.array(priced.before), "after": priced.cells.astype(np.float32)}


def _padded(a: Array, k: int) -> Array:
    return np.concatenate([a, np.zeros((k - len(a), *a.shape[1:]), a.dtype)])


def thrown_worth(parts: p.Parts, odds: Array, hitch: int) -> Array:
    """Worth of the throws at log odds (options,) or (options, words)."""
    more = (slice(None),) + (None,) * (odds.ndim - 1)
    total = parts.clock[:, hitch, 2][more] * parts.sack[more]
    for i in range(2):
        w = p.weights(parts.catch[:, i][more], parts.pick[:, i][more], parts.lost[more], odds)
        branches = parts.branches[(slice(None), *(None,) * (odds.ndim - 1))]
        total = total + parts.clock[:, hitch, i][more] * (w * branches).sum(-1)
    return np.asarray(total)


def _carried(parts: p.Parts, said: Array) -> tuple[Array, Array]:
    """(options, words, 21) and (options, words): executed less plain worth, as in the ledger."""
    plain = thrown_worth(parts, said, 1)
    clock = parts.clock[:, 1]
    total = np.zeros((*said.shape, 21))
    for i in range(2):
        w = p.graded(
            parts.catch[:, i, None], parts.pick[:, i, None],
            np.broadcast_to(parts.lost[:, None], said.shape), said,
        )  # fmt: skip
        total += clock[:, i, None, None] * (w * parts.branches[:, None, None, :]).sum(-1)
    if parts.free:  # that he got it away is part of how it was executed
        away = clock[:, :2].sum(1)
        with np.errstate(invalid="ignore", divide="ignore"):
            total = np.where(
                (away > 0)[:, None, None], total / away[:, None, None], plain[..., None]
            )
    else:
        total += (clock[:, 2] * parts.sack)[:, None, None]
    return total - plain[..., None], parts.sack[:, None] - plain
