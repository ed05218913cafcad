"""One fourth down: go, field goal and punt priced exactly, with what each leads to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation
from pointsleft_models.laws.lattice import OTHER, RUNNING, SPOTS, STOPPED, TOUCHDOWN, OutcomeLaw
from pointsleft_models.laws.setting import Setting

from pointsleft.calls.follows import follows
from pointsleft.calls.kicker import Kicks, kick_odds
from pointsleft.calls.parts import OPTIONS, law_of, offered
from pointsleft.calls.plays_named import PLAYS, named_model
from pointsleft.calls.result import BreakEven, Choice, FourthDown, Settled
from pointsleft.calls.settling import settle
from pointsleft.calls.weather import PUNTS, punt_yards
from pointsleft.log.words import describe_situation
from pointsleft.pricing.cells import SnapValues, snap_values
from pointsleft.pricing.played_out import spread_of
from pointsleft.pricing.result import Currency, Interval
from pointsleft.pricing.settings import HIGH, LOW

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Inputs:
    """What may be known beyond the situation.

    Attributes
    ----------
    plays
        Words of :data:`~pointsleft.calls.plays_named.PLAYS` to price within going for it.
    conversion
        A chance of converting that is stated outright and replaces the pooled one.
    record
        The kicker's own kicks.
    weather
        Words of :data:`~pointsleft.calls.weather.WEATHER`.
    """

    plays: tuple[str, ...] = ()
    conversion: float | None = None
    record: tuple[Kicks, ...] = ()
    weather: tuple[str, ...] = ()

    @property
    def of_the_day(self) -> bool:
        """Whether anything moves the laws."""
        return self.conversion is not None or bool(self.record or self.weather)


@dataclass(frozen=True, slots=True)
class _Call:
    name: str
    kind: str
    named: bool
    law: OutcomeLaw
    assumed: tuple[str, ...] = ()


def price_fourth_down(
    worth: Worth, situation: Situation, inputs: Inputs | None = None
) -> FourthDown:
    """Price a fourth down.

    Parameters
    ----------
    worth
        Models under the rules of the game.
    situation
        A fourth down; points are left out in overtime, wins where clock or score is not known.

    Raises
    ------
    ValueError
        Not a fourth down.
    """
    if situation.down != 4:
        raise ValueError(f"down {situation.down}: a call is priced on fourth down")
    inputs = inputs or Inputs()
    values = snap_values(worth, situation, gun=True, box=None)
    calls, notes = _calls(worth, situation, values.setting, inputs)
    values.value_plays([c.law.seconds for c in calls], refits=True)
    values.value_plays([c.law.seconds for c in calls])
    by_fit = {
        c: np.stack(_same_length([values.value(call.law, c, call.law.seconds, refits=True)
                                  for call in calls]), 1)
        for c in values.currencies
    }  # fmt: skip
    pooled = [i for i, c in enumerate(calls) if not c.named]
    settled: dict[Currency, Settled] = {
        c: settle([calls[i].name for i in pooled], v[:, pooled]) for c, v in by_fit.items()
    }
    return FourthDown(
        situation=describe_situation(situation),
        rules=worth.rules.name,
        choices=tuple(_choice(i, calls, values, by_fit, pooled) for i in range(len(calls))),
        settled=settled,
        now={c: values.before(c) for c in values.currencies},
        notes=tuple(notes),
        refits=worth.models.refits,
    )


def _same_length(columns: Sequence[Array]) -> list[Array]:
    fits = max(len(c) for c in columns)
    return [np.broadcast_to(c, (fits,)) for c in columns]


def _calls(
    worth: Worth, situation: Situation, at: Setting, inputs: Inputs
) -> tuple[list[_Call], list[str]]:
    """Pooled calls that are open from here, then the named plays."""
    notes = []
    kick, of_the_kick = kick_odds(worth.kicking, inputs.record, inputs.weather)
    open_ = offered(np.array([situation.yards_to_goal]))[0]
    farther = punt_yards(inputs.weather, situation.yards_to_goal)
    calls = []
    for option, there in zip(OPTIONS, open_, strict=True):
        if not there:
            continue
        law = law_of(worth, option, at, refits=True, odds=kick, yards=farther)
        if option == "go" and inputs.conversion is not None:
            law = with_conversion(law, at, inputs.conversion)
            notes.append("The conversion chance of going is the one you stated, in every refit.")
        calls.append(_Call(option, option, False, law))
    if open_[1]:
        notes += of_the_kick
    if farther:
        words = ", ".join(word for word in inputs.weather if word in PUNTS)
        notes.append(
            f"Weather ({words}) gives the other side {farther:+.1f} yards after a punt from the "
            "own half."
        )
    for word in inputs.plays:
        model = named_model(worth, situation, word)
        calls.append(_Call(PLAYS[word], "go", True, model.law(refits=True), model.assumed))
    return calls, notes


def with_conversion(law: OutcomeLaw, at: Setting, chance: float) -> OutcomeLaw:
    """A law with its chance of converting replaced; how it converts or fails stays as it is."""
    cells = law.mixture()
    good = converted_cells(at)
    share = np.where(good, cells, 0.0).sum(1, keepdims=True)
    moved = np.where(good, cells * chance / share, cells * (1 - chance) / (1 - share))
    return OutcomeLaw(("run",), np.ones((len(cells), 1)), moved[:, None, :], law.seconds)


def converted_cells(at: Setting) -> Array:
    """(CELLS,) outcomes in which the offense has a first down or a touchdown."""
    out = np.zeros(3 * SPOTS + 4, dtype=bool)
    first = at.yards_to_goal - np.arange(1, SPOTS + 1) >= at.distance
    out[RUNNING:STOPPED] = out[STOPPED:OTHER] = first
    out[TOUCHDOWN] = True
    return out


def _choice(
    i: int, calls: Sequence[_Call], values: SnapValues, by_fit: dict[Currency, Array],
    pooled: list[int],
) -> Choice:  # fmt: skip
    call, at = calls[i], values.setting
    cells = {c: values.option_cells(c, call.law.seconds)[0] for c in values.currencies}
    good = _success(call.kind, at)
    mixture = call.law.mixture()[0]
    chance = None if good is None else float(mixture[good].sum())
    lasts = values.seconds_class(call.law.seconds)
    clock = values.worth.clock
    team = values.team
    return Choice(
        name=call.name,
        kind=call.kind,
        named=call.named,
        chance=chance,
        value={c: float(v[0, i]) for c, v in by_fit.items()},
        spread={c: spread_of(v[:, i]) for c, v in by_fit.items()},
        interval={c: _interval(v[:, i]) for c, v in by_fit.items()},
        follows=follows(
            call.law, call.kind, at, cells,
            clock.running(
                at, lasts, team.own_timeouts, team.other_timeouts, values.worth.rules,
                first_down=True,
            ),
            clock.stopped(at, lasts),
        ),
        break_even={
            c: tie
            for c, v in by_fit.items()
            if good is not None and chance is not None
            for tie in [_break_even(c, i, v, pooled, calls, mixture, good, cells[c], chance)]
            if tie is not None
        },
        assumed=call.assumed,
    )  # fmt: skip


def _success(kind: str, at: Setting) -> Array | None:
    if kind == "go":
        return converted_cells(at)
    if kind == "field goal":
        good = np.zeros(3 * SPOTS + 4, dtype=bool)
        good[3 * SPOTS + 1] = True
        return good
    return None


def _break_even(
    currency: Currency, i: int, values: Array, pooled: list[int], calls: Sequence[_Call],
    mixture: Array, good: Array, cells: Array, chance: float,
) -> BreakEven | None:  # fmt: skip
    """The two lines: what success and failure are worth, and the best of the other calls."""
    rivals = [j for j in pooled if calls[j].kind != calls[i].kind]
    if not rivals or not 0 < chance < 1:
        return None
    target = float(values[0, rivals].max())
    high = float(mixture[good] @ cells[good]) / chance
    low = float(mixture[~good] @ cells[~good]) / (1 - chance)
    tie = (target - low) / (high - low) if high != low else None
    if tie is not None and not 0 <= tie <= 1:
        tie = None
    return BreakEven(currency, target, high, low, tie, chance)


def _interval(values: Array) -> Interval:
    if len(values) == 1:
        return Interval(float(values[0]), float(values[0]))
    low, high = np.quantile(values[1:], [LOW, HIGH])
    return Interval(float(low), float(high))
