"""Accept or decline a penalty, and the free play: both situations priced exactly."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation

from pointsleft.log.follow import State, follow
from pointsleft.log.record import Flag, Snap
from pointsleft.log.words import describe_result, describe_situation
from pointsleft.pricing.actual import result_cell
from pointsleft.pricing.beforehand import spread_told
from pointsleft.pricing.cells import SnapValues
from pointsleft.pricing.flags import is_free_play
from pointsleft.pricing.ledger import verdict
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.result import Currency, Verdict
from pointsleft.pricing.snap import prepare

Array = np.ndarray

#: Seconds that a play takes; a dead-ball foul takes none.
PLAY_SECONDS = 6


class FlagError(ValueError):
    """A flag that leaves nothing to choose, or whose two situations cannot be told."""


@dataclass(frozen=True, slots=True)
class FlagChoice:
    """Accepting, or declining.

    Attributes
    ----------
    label
        The situation that follows, in words.
    values
        By currency, from the side that chooses.
    shares
        By currency, the share of the refits in which this is the better choice.
    """

    action: str
    label: str
    values: Mapping[Currency, float]
    shares: Mapping[Currency, float]


@dataclass(frozen=True, slots=True)
class FreeOption:
    """One option of a free play, by currency, without the flag and with it.

    With the flag every outcome is worth the better of it and the penalty, by wins where they are
    known.
    """

    label: str
    without: Mapping[Currency, float]
    with_flag: Mapping[Currency, float]


@dataclass(frozen=True, slots=True)
class FlagChoices:
    """A flag priced.

    Attributes
    ----------
    chooser
        The side that was not at fault: ``offense`` or ``defense``; values are seen from it.
    choices
        Empty where the result of the play is not told.
    best, left, verdicts
        By currency: the better choice, what the other one leaves, how settled that is.
    penalty
        By currency, from the chooser: the penalty alone.
    free_play
        Options of a free play, the best first; empty where it is none.
    """

    situation: str
    rules: str
    foul: str
    chooser: str
    choices: tuple[FlagChoice, ...]
    best: Mapping[Currency, str]
    left: Mapping[Currency, float]
    verdicts: Mapping[Currency, Verdict]
    penalty: Mapping[Currency, float]
    free_play: tuple[FreeOption, ...]
    notes: tuple[str, ...]


def price_flag(worth: Worth, snap: Snap) -> FlagChoices:
    """Price both answers to a flag.

    Parameters
    ----------
    snap
        Situation, flag with its yards, and either what came of the play or (free play) options.

    Raises
    ------
    FlagError
        No flag, an offset one, a dead-ball foul (nothing happened that could be kept), or
        situations that cannot be told; the message says which and what to do.
    """
    situation, flag = snap.situation, snap.happened.flag
    if situation is None or flag is None:
        raise FlagError("there is no flag to accept or decline; say whose foul and how many yards")
    _refuse(flag)
    values, plain, models = prepare(worth, snap)
    taken = _after_penalty(situation, snap, flag)
    view = 1 if flag.side == "defense" else -1
    accepted = {c: _seen(plain.value_of(taken, c, refits=True), c, view) for c in plain.currencies}
    choices, best, left, verdicts = _choices(plain, snap, taken, accepted, view)
    free = _free_play(values, plain, models) if is_free_play(flag) else ()
    if not choices and not free:
        raise FlagError(
            "say what came of the play (--result, --yards), or what could be tried (--options)"
        )
    return FlagChoices(
        situation=describe_situation(situation),
        rules=worth.rules.name,
        foul=f"{flag.yards} yards against the {flag.side}",
        chooser="offense" if view > 0 else "defense",
        choices=choices,
        best=best,
        left=left,
        verdicts=verdicts,
        penalty={c: float(v[0]) for c, v in accepted.items()},
        free_play=free,
        notes=_notes(worth, situation, bool(free)),
    )


def _refuse(flag: Flag) -> None:
    if flag.decision == "offset":
        raise FlagError("offsetting fouls replay the down; there is nothing to choose")
    if flag.when == "dead":
        raise FlagError("a dead-ball foul stops the play; there is no result that could be kept")
    if flag.yards is None:
        raise FlagError("say how many yards are walked off")


def _after_penalty(situation: Situation, snap: Snap, flag: Flag) -> Situation:
    """The next snap once the penalty is accepted."""
    foul = flag.foul or ("offside" if is_free_play(flag) else None)
    accepted = replace(flag, decision="accepted", foul=foul)
    after = follow(situation, replace(snap.happened, flag=accepted))
    if len(after.states) > 1:
        raise FlagError(
            f"{flag.yards} yards against the {flag.side} may bring a first down or not; name the "
            "foul, e.g. holding or offside"
        )
    if not after.states:
        raise FlagError(f"what follows the penalty cannot be told: {after.why}")
    return _at(situation, after.states[0])


def _at(situation: Situation, state: State) -> Situation:
    down, distance, to_goal = state
    seconds = situation.seconds
    # a half ends with no time left only after the untimed down of an accepted foul
    left = None if seconds is None else max(seconds - PLAY_SECONDS, 1)
    return situation.with_(
        down=down, distance=min(distance, to_goal), yards_to_goal=to_goal, seconds=left
    )


def _choices(
    plain: SnapValues, snap: Snap, taken: Situation, accepted: Mapping[Currency, Array], view: int
) -> tuple[
    tuple[FlagChoice, ...], dict[Currency, str], dict[Currency, float], dict[Currency, Verdict]
]:
    """Accepting and declining, where the result of the play is told."""
    assert snap.situation is not None
    kept = replace(snap.happened, flag=None)
    cell = result_cell(snap.situation, kept)
    if cell is None:
        return (), {}, {}, {}
    declined = {
        c: _seen(plain.cells(c, PLAY_SECONDS, refits=True)[:, cell], c, view)
        for c in plain.currencies
    }
    best: dict[Currency, str] = {}
    left: dict[Currency, float] = {}
    verdicts: dict[Currency, Verdict] = {}
    share: dict[Currency, float] = {}
    for c in plain.currencies:
        gap = accepted[c] - declined[c]
        best[c] = "accept" if gap[0] > 0 else "decline"
        left[c] = abs(float(gap[0]))
        refits = gap[1:] if len(gap) > 1 else gap
        share[c] = float((refits > 0).mean())
        verdicts[c] = verdict(share[c] if best[c] == "accept" else 1 - share[c])
    rows = (
        FlagChoice("accept", describe_situation(taken), _first(accepted), share),
        FlagChoice(
            "decline", _result_words(snap, kept_as=replace(snap, happened=kept)),
            _first(declined), {c: 1 - s for c, s in share.items()},
        ),
    )  # fmt: skip
    judge: Currency = "wins" if "wins" in best else "points"
    ordered = tuple(sorted(rows, key=lambda r: r.action != best[judge]))
    return ordered, best, left, verdicts


def _result_words(snap: Snap, kept_as: Snap) -> str:
    """The result and, where the possession goes on, the next snap."""
    words = describe_result(kept_as)
    assert snap.situation is not None
    after = follow(snap.situation, kept_as.happened)
    if len(after.states) != 1:
        return words
    following = describe_situation(_at(snap.situation, after.states[0]))
    return f"{words}: {following}"


def _seen(values: Array, currency: Currency, view: int) -> Array:
    if view > 0:
        return values
    return 1 - values if currency == "wins" else -values


def _first(values: Mapping[Currency, Array]) -> dict[Currency, float]:
    return {c: float(v[0]) for c, v in values.items()}


def _free_play(
    values: SnapValues, plain: SnapValues, models: Sequence[OptionModel]
) -> tuple[FreeOption, ...]:
    rows = [
        FreeOption(
            m.label,
            {c: m.value(plain.cells(c, m.seconds)[0]) for c in plain.currencies},
            {c: values.exact(m, c) for c in values.currencies},
        )
        for m in models
    ]
    judge: Currency = "wins" if "wins" in plain.currencies else "points"
    return tuple(sorted(rows, key=lambda r: -r.with_flag[judge]))


def _notes(worth: Worth, situation: Situation, free: bool) -> tuple[str, ...]:
    notes = ["Both situations are priced by the regressions, nothing is drawn."]
    if told := spread_told(worth.models, situation.spread):
        notes.append(f"{told[0].upper()}{told[1:]}.")
    if free:
        notes.append(
            "An offsetting foul, a flag that was imagined or the clock can cost what a shot wins."
        )
    if situation.half_seconds is not None and situation.half_seconds <= PLAY_SECONDS:
        notes.append(
            "The half may end on this play; an accepted foul of the defense brings one more down."
        )
    return tuple(notes)
