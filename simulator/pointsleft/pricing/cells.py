"""Values of the lattice for one snap: computed once, shared by its options."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation
from pointsleft_models.laws.clock import STRAIGHT
from pointsleft_models.laws.lattice import OutcomeLaw
from pointsleft_models.laws.setting import UNHURRIED, Setting, setting_of
from pointsleft_models.values.field import Asked, Field
from pointsleft_models.values.following import Team
from pointsleft_models.values.overtime import overtime_phase
from pointsleft_models.values.states import States, state_of

from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.result import Currency

Array = np.ndarray

#: Seconds of a play while the clock is far from the end of the half: one class serves all.
ORDINARY_SECONDS = 6


@dataclass
class SnapValues:
    """What every outcome of one snap is worth, in both currencies.

    Attributes
    ----------
    worth
        Models under the rules of the game.
    situation, setting, team
        The snap.
    currencies
        Those that are defined: points in regulation, wins where clock and score are known.
    floor
        Value of the penalty where the offense may take it instead of the result, by currency
        (fits,); empty without a free play.
    """

    worth: Worth
    situation: Situation
    setting: Setting
    team: Team
    currencies: tuple[Currency, ...]
    floor: dict[Currency, Array] = field(default_factory=dict)
    _fields: dict[tuple[int, bool], Field] = field(default_factory=dict)

    def seconds_class(self, seconds: float) -> int:
        """Class of the clock of a play: its seconds late in a half, else one for all."""
        if self.setting.half_seconds > STRAIGHT:
            return ORDINARY_SECONDS
        return max(1, round(seconds))

    def cells(self, currency: Currency, seconds: float, *, refits: bool = False) -> Array:
        """(fits, CELLS) value of every cell after a play of so many seconds."""
        key = self.seconds_class(seconds), refits
        if key not in self._fields:
            self.value_plays((seconds,), refits=refits)
        found = self._fields[key]
        values = found.points if currency == "points" else found.wins
        assert values is not None
        return values

    def value_plays(self, plays: Iterable[float], *, refits: bool = False) -> None:
        """Value the lattice after plays of so many seconds together, ahead of their use."""
        value_together([(self, plays)], refits=refits)

    def _lacking(self, plays: Iterable[float], refits: bool) -> tuple[int, ...]:
        """Classes of plays that are not valued yet."""
        classes = {self.seconds_class(seconds) for seconds in plays}
        return tuple(sorted(c for c in classes if (c, refits) not in self._fields))

    def _keep(self, classes: Iterable[int], fields: Iterable[Field], refits: bool) -> None:
        self._fields.update({(c, refits): f for c, f in zip(classes, fields, strict=True)})

    def _overtime(self, refits: bool) -> Field:
        phase = overtime_phase(self.situation)
        return Field(None, self.worth.overtime.cells(self.setting, phase, refits))

    def option_cells(self, currency: Currency, seconds: float, *, refits: bool = False) -> Array:
        """As :meth:`cells`; with a free play each outcome is worth the better of it and the
        penalty, by wins where they are known."""
        values = self.cells(currency, seconds, refits=refits)
        if not self.floor:
            return values
        judge: Currency = "wins" if "wins" in self.currencies else "points"
        point = self.cells(judge, seconds)[0]
        take = self.floor[judge][0] > point
        floor = self.floor[currency] if refits else self.floor[currency][:1]
        return np.where(take, floor[:, None], values)

    def value(
        self, law: OutcomeLaw, currency: Currency, seconds: float, *, refits: bool = False
    ) -> Array:
        """(fits,) exact value of a law of a play that takes so many seconds."""
        cells = self.option_cells(currency, seconds, refits=refits)
        return law.value(cells)

    def exact(self, model: OptionModel, currency: Currency) -> float:
        """Exact value of an option under the point fit."""
        return model.value(self.option_cells(currency, model.seconds)[0])

    def before(self, currency: Currency) -> float:
        """Value of the situation itself."""
        return float(self.value_of(self.situation, currency)[0])

    def gross_points(self) -> float | None:
        """Expected points before the snap without the price of the kickoff; not in overtime."""
        if "points" not in self.currencies:
            return None
        at = state_of(self.situation, seconds=self.setting.half_seconds)
        return float(self.worth.points.gross_points(at)[0])

    def before_all(self, currency: Currency) -> Array:
        """(1 + refits,) value of the situation under every fit."""
        return self.value_of(self.situation, currency, refits=True)

    def value_of(self, situation: Situation, currency: Currency, *, refits: bool = False) -> Array:
        """(fits,) value of another situation of the same game."""
        at = state_of(situation, seconds=self.setting.half_seconds)
        if situation.overtime:
            phase = overtime_phase(situation)
            return self.worth.overtime.wins(at, phase, refits)[:, 0]
        found = self._states_value(at, currency, refits)
        return found[:, 0] if refits else found

    def _states_value(self, at: States, currency: Currency, refits: bool) -> Array:
        if currency == "points":
            points = self.worth.points
            return points.points_all(at) if refits else points.points(at)
        return self.worth.wins.wins_all(at) if refits else self.worth.wins.wins(at)


def value_together(
    wanted: Sequence[tuple[SnapValues, Iterable[float]]], *, refits: bool = False
) -> None:
    """Value the lattices of many snaps of one game in one go, after plays of so many seconds.

    Parameters
    ----------
    wanted
        Values of each snap and the seconds of its plays; all under the same models.
    """
    asked: list[tuple[SnapValues, Asked]] = []
    for values, plays in wanted:
        new = values._lacking(plays, refits)
        if not new:
            continue
        if values.situation.overtime:
            values._keep(new, [values._overtime(refits)] * len(new), refits)
            continue
        currencies = values.currencies
        asked.append(
            (
                values,
                Asked(
                    values.setting, values.team, new, "points" in currencies, "wins" in currencies
                ),
            )
        )
    if asked:
        valuation = asked[0][0].worth.valuation
        found = valuation.fields([a for _, a in asked], refits=refits)
        for (values, own), fields in zip(asked, found, strict=True):
            values._keep([int(c) for c in own.plays], fields, refits)


def snap_values(worth: Worth, situation: Situation, *, gun: bool, box: int | None) -> SnapValues:
    """The values of one snap, worked out as they are asked for."""
    setting = setting_of(situation, gun=gun, box=box)
    if situation.half_seconds is None:
        setting = _middle_of_quarter(setting, situation)
    receives = situation.receives_second_half
    team = Team(
        situation.own_timeouts,
        situation.opponent_timeouts,
        0 if receives is None or situation.half != 1 else (1 if receives else -1),
        situation.spread,
    )
    currencies: list[Currency] = []
    if situation.has_points:
        currencies.append("points")
    if situation.has_wins:
        currencies.append("wins")
    return SnapValues(worth, situation, setting, team, tuple(currencies))


def _middle_of_quarter(setting: Setting, situation: Situation) -> Setting:
    seconds = UNHURRIED + 450 if situation.period in (1, 3) else 450
    return replace(setting, half_seconds=seconds)
