"""The options of one look as numbers that a thousand games can share.

An option is taken apart into what the pricing room puts together: chances of the rush, log odds of
a catch and of an interception, the worth of each branch. Then every window word, every judgement
of the ball and every outcome of it is arithmetic on arrays. ``tests`` hold the result against the
pricing room, option by option.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.fitting.logit import expit
from pointsleft_models.laws.lattice import CELLS, OutcomeLaw

from pointsleft.invent.looks import Look
from pointsleft.invent.offers import word_of
from pointsleft.log.record import WINDOWS
from pointsleft.pricing.execution import grade_table
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.options import in_read
from pointsleft.pricing.protection import protection
from pointsleft.pricing.snap import prepare
from pointsleft.pricing.throws import ThrowModel
from pointsleft.pricing.windows import openness, word_odds

Array = np.ndarray

#: Options kept of a look, branches of an outcome, and slots of the table each is drawn from.
OPTIONS, BRANCHES, SLOTS = 4, 5, 256

#: Branches: kept (caught, run, scrambled, thrown away), fumbled away, intercepted, incomplete,
#: sacked.
KEPT, FUMBLED, PICKED, MISSED, SACKED = range(BRANCHES)

#: Kinds of option as the box score knows them.
THROW, RUN, SCRAMBLE, AWAY = range(4)
_KINDS = {"throw": THROW, "scramble": SCRAMBLE, "throw-away": AWAY}

#: A charter's words: the five windows, then one that was not seen.
WORDS = len(WINDOWS) + 1


@dataclass(frozen=True, slots=True)
class Parts:
    """Options of one look under one set of fits; arrays over the options.

    Attributes
    ----------
    clock
        (options, 3 hitches, 3) in rhythm, hurried, sacked: with a hitch less, as it was, one more.
    catch, pick
        (options, 2) log odds in rhythm and hurried.
    lost
        (options,) chance that a catch is fumbled away.
    branches
        (options, 4) worth of a throw caught, fumbled, intercepted, incomplete.
    sack
        (options,) worth of a sack.
    base
        (options,) what is added to how open he is.
    plain, taken
        (options,) worth of what is no throw: not chosen, and chosen.
    free
        Whether a rusher came free.
    before
        Worth of the situation; ``cells`` (CELLS,) worth of every outcome.
    """

    clock: Array
    catch: Array
    pick: Array
    lost: Array
    branches: Array
    sack: Array
    base: Array
    plain: Array
    taken: Array
    free: bool
    before: float
    cells: Array


def parts_of(worth: Worth, look: Look, *, tables: bool = False) -> tuple[Parts, Array]:
    """Take a look apart.

    Parameters
    ----------
    tables
        Also the tables (options, BRANCHES, SLOTS) of cells that outcomes are drawn from.
    """
    options = look.options[:OPTIONS]
    words = [word_of(float(x)) for x in look.open]
    snap = replace(
        look.snap,
        options=tuple(
            replace(o, window=w if o.kind == "throw" else None)
            for o, w in zip(options, words, strict=False)
        ),
    )
    values, _, models = prepare(worth, snap)
    cells = values.cells("points", 6.0)[0]
    n = len(models)
    out = Parts(
        np.zeros((n, 3, 3)), np.zeros((n, 2)), np.zeros((n, 2)), np.zeros(n), np.zeros((n, 4)),
        np.zeros(n), np.zeros(n), np.zeros(n), np.zeros(n),
        any(m.rush.free for m in models if isinstance(m, ThrowModel)), values.before("points"),
        cells,
    )  # fmt: skip
    drawn = np.zeros((n, BRANCHES, SLOTS), np.int16)
    for i, model in enumerate(models):
        if isinstance(model, ThrowModel):
            _throw(out, i, worth, model, cells)
            laws = [(0, 0), (1, 1), (2, 2), (3, 3)]
            if tables:
                for branch, at in laws:
                    drawn[i, branch] = slots(model.clean.cells[0, at])
                drawn[i, SACKED] = slots(_mixed(model.sacked))
            continue
        out.plain[i] = values.exact(model, "points")
        picked = replace(snap, happened=replace(snap.happened, chosen=model.id))
        taken = model
        if model.kind == "scramble":
            taken = next(m for m in prepare(worth, picked)[2] if m.id == model.id)
        out.taken[i] = values.exact(taken, "points")
        if tables:
            # nature: a scramble that is taken has the room that this look gives it
            law = taken.law(float(look.open[i])) if model.kind == "scramble" else model.law()
            out.plain[i] = float(law.value(cells)[0])
            drawn[i] = slots(_mixed(law))
    return out, drawn


def _throw(out: Parts, i: int, worth: Worth, model: ThrowModel, cells: Array) -> None:
    hitch = judged("drop.hitch").value
    for k, more in enumerate((-hitch, 0.0, hitch)):
        clock = protection(
            worth.library, model.out_mean + more, model.rush, model.depth, refits=False
        )
        out.clock[i, k] = [float(x[0]) for x in (clock.on_time, clock.hurried, clock.sacked)]
    for k, piece in enumerate((model.clean, model.pressed)):
        out.catch[i, k], out.pick[i, k] = float(piece.catch[0]), float(piece.pick[0])
    out.lost[i] = float(model.clean.lost[0])
    out.branches[i] = model.clean.cells[0] @ cells
    out.sack[i] = float(model.sacked.value(cells)[0])
    out.base[i] = model.flight - openness(model.throw.air_yards)


def _mixed(law: OutcomeLaw) -> Array:
    return law.mixture()[0]


def slots(chances: Array) -> Array:
    """(SLOTS,) cells at the middle of equal shares of a law over the cells."""
    rising = np.cumsum(chances) / chances.sum()
    at = (np.arange(SLOTS) + 0.5) / SLOTS
    return np.minimum(np.searchsorted(rising, at), CELLS - 1).astype(np.int16)


def kinds_of(look: Look) -> list[int]:
    """Kind of each option."""
    return [_KINDS.get(o.kind, RUN) for o in look.options[:OPTIONS]]


def read_chances(look: Look) -> list[float]:
    """Usual chance that each option is in the read."""
    return [in_read(o)[0].value for o in look.options[:OPTIONS]]


def word_levels() -> Array:
    """(WORDS,) what each word says on the log-odds scale."""
    named = [word_odds(w).value for w in WINDOWS]
    return np.array([*named, judged("window.unseen").value])


def weights(catch: Array, pick: Array, lost: Array, odds: Array) -> Array:
    """(..., 4) chances of the branches of a throw with the odds moved."""
    caught = expit(catch + odds)
    picked = expit(pick - judged("window.pick").value * odds)
    return _weights(caught, picked, lost)


def _weights(caught: Array, picked: Array, lost: Array) -> Array:
    return np.stack(
        [caught * (1 - lost), caught * lost, (1 - caught) * picked, (1 - caught) * (1 - picked)], -1
    )


def graded(catch: Array, pick: Array, lost: Array, odds: Array) -> Array:
    """(..., 21, 4) the same for every judgement of the ball.

    Over the judgements as they occur the average is that of the plain law.
    """
    share, move, pick_move = grade_table()
    caught = _balanced(catch + odds, share, move)
    missed = share * (1 - caught)
    # moves of an interception average over the passes that are not caught
    picked = _balanced(
        pick - judged("window.pick").value * odds,
        missed / missed.sum(-1, keepdims=True),
        pick_move,
    )
    return _weights(caught, picked, np.asarray(lost)[..., None])


def _balanced(eta: Array, share: Array, move: Array) -> Array:
    """(..., 21) chances moved by judgement whose average is ``expit(eta)``, by bisection."""
    target = expit(eta)
    low, high = np.full(eta.shape, -12.0), np.full(eta.shape, 12.0)
    for _ in range(45):
        middle = (low + high) / 2
        mean = (share * expit((eta + middle)[..., None] + move)).sum(-1)
        low, high = np.where(mean < target, middle, low), np.where(mean < target, high, middle)
    return expit((eta + (low + high) / 2)[..., None] + move)
