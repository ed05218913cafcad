"""Pricing one snap: pure, free of files, and a unit of work of its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation

from pointsleft.log.record import Snap
from pointsleft.log.words import describe_result, describe_situation
from pointsleft.pricing.actual import takeover_unknown
from pointsleft.pricing.cells import SnapValues, snap_values, value_together
from pointsleft.pricing.flags import is_free_play, with_free_play
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.keys import right_by_rule, rule_option
from pointsleft.pricing.ledger import ledger
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.options import options_together
from pointsleft.pricing.result import Assumption, Currency, Decision, Ledger, PricedOption
from pointsleft.pricing.settings import PriceSettings


class Prepared(NamedTuple):
    """What the pricing of a snap starts from: values of its outcomes, with and without a free
    play, and its option models."""

    values: SnapValues
    plain: SnapValues
    models: tuple[OptionModel, ...]


def prepare(worth: Worth, snap: Snap) -> Prepared:
    """One snap made ready."""
    return prepare_together(worth, [snap])[0]


def prepare_together(worth: Worth, snaps: Sequence[Snap]) -> list[Prepared]:
    """Snaps of one game made ready; their outcomes are valued in one go."""
    plain = [logged_values(worth, snap) for snap in snaps]
    models = options_together(
        worth, [(values.setting, snap) for values, snap in zip(plain, snaps, strict=True)]
    )
    ready = [
        Prepared(_with_flag(values, snap), values, own)
        for values, snap, own in zip(plain, snaps, models, strict=True)
    ]
    value_together([(r.values, [model.seconds for model in r.models]) for r in ready])
    return ready


def logged_values(worth: Worth, snap: Snap) -> SnapValues:
    """What the outcomes of a logged snap are worth, a flag left aside."""
    assert snap.situation is not None
    return snap_values(
        worth,
        snap.situation,
        gun=snap.call.alignment in (None, "gun", "pistol"),
        box=snap.defense.box,
    )


def _with_flag(plain: SnapValues, snap: Snap) -> SnapValues:
    """The values with the penalty to fall back on where there was a free play."""
    flag = snap.happened.flag
    return with_free_play(plain, flag) if flag is not None and is_free_play(flag) else plain


def price_snap(
    worth: Worth,
    snap: Snap,
    following: Snap | None,
    settings: PriceSettings,
    rng: np.random.Generator,
    checks: int = 1,
    prepared: Prepared | None = None,
) -> Decision:
    """Price one decision.

    Parameters
    ----------
    worth
        Models under the rules of the game.
    snap
        A snap for which :func:`pointsleft.log.check.is_decision` holds.
    following
        The next row of the log, or ``None``.
    rng
        Draws for this snap alone.
    checks
        Number of draws-against-exact checks in the whole run.
    prepared
        The snap as :func:`prepare_together` made it ready with others; alone when absent.

    Returns
    -------
    Decision
        In both currencies; ``wins`` is ``None`` where clock or score is not known, ``points``
        in overtime.
    """
    values, plain, models = prepared or prepare(worth, snap)
    chosen = next(i for i, m in enumerate(models) if m.id == snap.happened.chosen)
    streams = dict(zip(("points", "wins"), rng.spawn(2), strict=True))
    ledgers: dict[Currency, Ledger] = {
        currency: ledger(
            values, plain, models, chosen, snap, following, currency, settings,
            streams[currency], checks,
        )
        for currency in values.currencies
    }  # fmt: skip
    points, wins = ledgers.get("points"), ledgers.get("wins")
    situation = snap.situation
    assert situation is not None
    return Decision(
        snap=snap.number,
        clip=snap.clip,
        situation=describe_situation(situation),
        facts={**_facts(situation), "gross_points": plain.gross_points()},
        chosen=models[chosen].id,
        options=tuple(_priced(i, m, points, wins) for i, m in enumerate(models)),
        points=points,
        wins=wins,
        right_by_rule=right_by_rule(snap),
        rule_says=rule_option(snap),
        result=describe_result(snap),
        hit_taken=snap.happened.hit,
        concept=snap.call.concept,
        tags=_tags(snap, situation),
        assumptions=_assumptions(snap, models),
        note=snap.note,
    )


def _priced(
    at: int, model: OptionModel, points: Ledger | None, wins: Ledger | None
) -> PricedOption:
    return PricedOption(
        id=model.id,
        kind=model.kind,
        label=model.label,
        points=None if points is None else points.values[at].value,
        wins=None if wins is None else wins.values[at].value,
        in_read=model.in_read.value,
        chance=model.chance(),
        on_time=model.on_time,
        sack=model.sack,
        hit=model.hit,
        air_yards=model.air_yards,
        third=model.third,
        place=model.place,
        window=model.window,
        reaction=model.reaction,
        assumed=model.assumed,
    )


def _facts(situation: Situation) -> Mapping[str, Any]:
    return {
        "period": situation.period,
        "seconds": situation.seconds,
        "down": situation.down,
        "distance": situation.distance,
        "yards_to_goal": situation.yards_to_goal,
        "lead": situation.lead,
        "own_timeouts": situation.own_timeouts,
        "opponent_timeouts": situation.opponent_timeouts,
        "hash": situation.hash,
        "rules": situation.rules.name,
    }


def _tags(snap: Snap, situation: Situation) -> dict[str, str]:
    """Dimension -> group of a decision, for the totals."""
    tags = {
        "down": {1: "first down", 2: "second down", 3: "third down", 4: "fourth down"}[
            situation.down
        ],
        "half": "overtime" if situation.overtime else ("first half", "second half")[
            situation.half - 1
        ],
        "field": _zone(situation),
    }  # fmt: skip
    if snap.call.family is not None:
        tags["play family"] = snap.call.family
    if snap.call.concept is not None:
        tags["concept"] = snap.call.concept
    shell = snap.defense.shell_after or snap.defense.shell_before
    if shell is not None:
        tags["shell"] = shell
    if snap.defense.free_rusher is not None:
        tags["rush"] = "free rusher" if snap.defense.free_rusher else "no free rusher"
    if any(o.kind == "throw" for o in snap.options):
        tags["pressure"] = "pressure" if _pressed(snap) else "no pressure logged"
    if situation.seconds is not None:
        late = situation.two_minute
        tags["clock"] = "last two minutes of a half" if late else "rest of the half"
    return tags


def _pressed(snap: Snap) -> bool:
    """Whether the log speaks of pressure on a throw: a free rusher, a hit, a sack."""
    done = snap.happened
    return bool(
        snap.defense.free_rusher or done.hit or done.platform == "hit" or done.result == "sack"
    )


def _zone(situation: Situation) -> str:
    if situation.backed_up:
        return "own 10 and in"
    if situation.goal_to_go:
        return "goal to go"
    if situation.red_zone:
        return "opponent's 20 and in"
    return "own half" if situation.yards_to_goal > 50 else "opponent's half"


def _assumptions(snap: Snap, models: tuple[OptionModel, ...]) -> tuple[Assumption, ...]:
    out = [
        Assumption(code, model.id, judged(code).what) for model in models for code in model.assumed
    ]
    situation = snap.situation
    assert situation is not None
    for code, missing in (
        ("clock.unknown", situation.seconds is None),
        ("score.unknown", situation.lead is None),
        ("result.unknown", snap.happened.result is None),
        ("takeover.unknown", takeover_unknown(snap.happened)),
    ):
        if missing:
            out.append(Assumption(code, "", judged(code).what))
    return tuple(out)
