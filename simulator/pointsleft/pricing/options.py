"""From the options of a logged snap to option models."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from pointsleft_models.bundle import Worth
from pointsleft_models.laws.setting import Setting

from pointsleft.log.record import LoggedOption, Snap
from pointsleft.log.words import describe_option
from pointsleft.pricing.carries import carry_model, escape_model
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.kicks import field_goal_model, go_model, punt_model
from pointsleft.pricing.logged_throws import ReadyThrow, ready_throws, throw_model
from pointsleft.pricing.model import Judged, OptionModel

_PLACES = {1: "in_read.first", 2: "in_read.second", 3: "in_read.third"}


def in_read(option: LoggedOption) -> tuple[Judged, str | None]:
    """Chance that an option was in the read, and the code of the default used."""
    subject = f"chance that {option.id} was in the read"
    if option.in_read is not None:
        r = option.in_read
        return Judged(subject, f"{r.value:.0%}", r.value, r.low, r.high), None
    if option.kind in ("give", "keep", "pitch", "run"):
        code = "in_read.run"
    elif option.kind in ("field-goal", "punt", "go"):
        code = "in_read.kick"
    elif option.kind in ("scramble", "throw-away"):
        code = "in_read.escape"
    elif option.place is None:
        code = "in_read.unplaced"
    else:
        code = _PLACES.get(option.place, "in_read.later")
    row = judged(code)
    return Judged(subject, f"{row.value:.0%} (assumed)", row.value, row.low, row.high), code


def option_models(worth: Worth, at: Setting, snap: Snap) -> tuple[OptionModel, ...]:
    """Every option of a snap as a model."""
    return options_together(worth, [(at, snap)])[0]


def options_together(
    worth: Worth, snaps: Sequence[tuple[Setting, Snap]]
) -> list[tuple[OptionModel, ...]]:
    """Every option of every snap as a model; their throws share look-ups."""
    ready = ready_throws(worth, snaps)
    return [
        tuple(_model(worth, at, snap, option, throws) for option in snap.options)
        for (at, snap), throws in zip(snaps, ready, strict=True)
    ]


def _model(
    worth: Worth, at: Setting, snap: Snap, option: LoggedOption, ready: Mapping[str, ReadyThrow]
) -> OptionModel:
    chance, code = in_read(option)
    also = () if code in (None, "in_read.run", "in_read.kick") else (code,)
    label = describe_option(option)
    if option.kind == "throw":
        return throw_model(worth, at, snap, option, chance, label, ready[option.id], also)
    model = _of_kind(worth, at, snap, option, chance, label)
    return replace(model, assumed=(*model.assumed, *also)) if also else model


def _of_kind(
    worth: Worth, at: Setting, snap: Snap, option: LoggedOption, chance: Judged, label: str
) -> OptionModel:
    if option.kind in ("give", "keep", "pitch", "run"):
        return carry_model(worth, at, snap, option, chance, label)
    if option.kind in ("scramble", "throw-away"):
        return escape_model(worth, at, snap, option, chance, label)
    if option.kind == "field-goal":
        return field_goal_model(worth, at, option, chance, label)
    if option.kind == "punt":
        return punt_model(worth, at, option, chance, label)
    return go_model(worth, at, option, chance, label)
