"""Kicks and pooled tries as options: field goal, punt, go."""

from __future__ import annotations

from dataclasses import dataclass

from pointsleft_models.bundle import Worth
from pointsleft_models.football.field import KICK_EXTRA
from pointsleft_models.laws.lattice import OutcomeLaw
from pointsleft_models.laws.setting import Setting
from scipy.optimize import brentq
from scipy.special import logit

from pointsleft.log.record import LoggedOption, Range
from pointsleft.pricing.model import Judged, OptionModel

#: Range of a fitted chance that nobody stated, log odds (judgement).
UNSTATED = 0.25
WIDEST = 5.0


@dataclass(frozen=True, kw_only=True)
class FieldGoalModel(OptionModel):
    """A field goal; its judgement moves the log odds of a make."""

    worth: Worth
    setting: Setting

    def law(self, judgement: float | None = None, *, refits: bool = False) -> OutcomeLaw:
        odds = self.judged.value if judgement is None else judgement
        return self.worth.kicking.field_goal(self.setting, odds=odds, refits=refits)

    def chance(self, judgement: float | None = None) -> float | None:
        return self.law(judgement).chance("good")

    def say(self, judgement: float) -> str:
        return f"good {100 * (self.chance(judgement) or 0):.0f}% of the time"


@dataclass(frozen=True, kw_only=True)
class PuntModel(OptionModel):
    """A punt; nothing about it is judged."""

    worth: Worth
    setting: Setting

    def law(self, judgement: float | None = None, *, refits: bool = False) -> OutcomeLaw:
        return self.worth.kicking.punt(self.setting, refits=refits)


@dataclass(frozen=True, kw_only=True)
class GoModel(OptionModel):
    """A try for the line to gain; its judgement moves the log odds of being stopped."""

    worth: Worth
    setting: Setting
    better = -1

    def law(self, judgement: float | None = None, *, refits: bool = False) -> OutcomeLaw:
        odds = self.judged.value if judgement is None else judgement
        return self.worth.going.law(self.setting, odds=odds, refits=refits)

    def chance(self, judgement: float | None = None) -> float | None:
        odds = self.judged.value if judgement is None else judgement
        return float(self.worth.going.conversion(self.setting, odds=odds)[0])

    def say(self, judgement: float) -> str:
        return f"converts {100 * (self.chance(judgement) or 0):.0f}% of the time"


def field_goal_model(
    worth: Worth, at: Setting, option: LoggedOption, in_read: Judged, label: str
) -> FieldGoalModel:
    """A logged field goal as an option model."""
    yards = at.yards_to_goal + KICK_EXTRA
    base = float(worth.kicking.make_odds(yards)[0])

    def odds(p: float) -> float:
        return float(logit(p)) - base

    main = _main(f"kick of {option.id}", option.chance, odds)
    return FieldGoalModel(
        id=option.id, kind=option.kind, label=label, judged=main, in_read=in_read,
        group=option.group, place=option.place, seconds=5.0, worth=worth, setting=at,
    )  # fmt: skip


def punt_model(
    worth: Worth, at: Setting, option: LoggedOption, in_read: Judged, label: str
) -> PuntModel:
    """A logged punt as an option model."""
    return PuntModel(
        id=option.id, kind=option.kind, label=label,
        judged=Judged(f"punt of {option.id}", "", 0.0, 0.0, 0.0), in_read=in_read,
        group=option.group, place=option.place, seconds=11.0, worth=worth, setting=at,
    )  # fmt: skip


def go_model(
    worth: Worth, at: Setting, option: LoggedOption, in_read: Judged, label: str
) -> GoModel:
    """A logged try with no play named as an option model."""

    def odds(p: float) -> float:
        def gap(x: float) -> float:
            return float(worth.going.conversion(at, odds=x)[0]) - p

        if gap(-WIDEST) <= 0:
            return -WIDEST
        if gap(WIDEST) >= 0:
            return WIDEST
        return float(brentq(gap, -WIDEST, WIDEST))

    main = _main(f"conversion of {option.id}", option.chance, odds)
    return GoModel(
        id=option.id, kind=option.kind, label=label, judged=main, in_read=in_read,
        group=option.group, place=option.place, seconds=6.0, worth=worth, setting=at,
    )  # fmt: skip


def _main(subject: str, stated: Range | None, odds: object) -> Judged:
    if stated is None:
        return Judged(subject, "as the law says", 0.0, -UNSTATED, UNSTATED)
    ends = [
        odds(min(max(p, 0.005), 0.995))  # type: ignore[operator]
        for p in (stated.low, stated.value, stated.high)
    ]
    low, high = sorted((ends[0], ends[2]))
    return Judged(subject, f"{100 * stated.value:.0f}%", ends[1], low, high)
