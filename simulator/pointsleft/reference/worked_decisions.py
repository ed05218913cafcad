"""Worked numbers of docs/method.md and README.md: decisions, priced."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import numpy as np
from pointsleft_models.laws.lattice import OutcomeLaw

from pointsleft.cli.demo import demo_log
from pointsleft.game.price import price_game
from pointsleft.log import read_log
from pointsleft.log.record import (
    PLACEMENTS,
    Call,
    Defense,
    Flag,
    Happened,
    LoggedOption,
    Read,
    Snap,
)
from pointsleft.pricing.execution import executed_law, grade_table
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.result import Currency, Decision, Interval, Ledger, PricedGame
from pointsleft.pricing.settings import PriceSettings
from pointsleft.pricing.snap import prepare, price_snap
from pointsleft.reference.markdown import table
from pointsleft.reference.worked import models, run_command, situation, worth

VALUE = (
    "value", "--ball", "opp 38", "--down", "3", "--distance", "4", "--quarter", "4",
    "--clock", "5:12", "--us", "20", "--them", "24", "--family", "drop-back", "--shell", "one",
    "--rushers", "5", "--options", "post18.m/n dig12.m/s* flat2.r/l",
)  # fmt: skip


@cache
def demo() -> PricedGame:
    """The demo game, priced as the demo command does."""
    return price_game(read_log(demo_log()), PriceSettings(), models=models())


def dearest() -> Decision:
    """The decision of the demo game that left most points."""
    return max((d for d in demo().decisions if d.points), key=lambda d: _points(d).left)


def _points(decision: Decision) -> Ledger:
    assert decision.points is not None
    return decision.points


def snap_of(situation_: object, options: tuple[LoggedOption, ...], chosen: str, family: str,
            **happened: object) -> Snap:  # fmt: skip
    """A snap as a log would give it."""
    return Snap(
        number="1", clip=None, situation=situation_, tempo=None, play_clock=None,  # type: ignore[arg-type]
        call=Call(family=family, alignment="gun"), defense=Defense(rushers=4), read=Read(),
        happened=Happened(chosen=chosen, **happened), options=options,  # type: ignore[arg-type]
    )  # fmt: skip


def value_command() -> str:
    """The value command and what it prints."""
    return run_command(*VALUE)


def ledger_example() -> str:
    """The ledger of the dearest decision of the demo game, in both currencies."""
    decision = dearest()
    rows = []
    for name, entry, scale, unit in (
        ("points", decision.points, 1.0, ""),
        ("wins", decision.wins, 100.0, "%"),
    ):
        if entry is None:
            continue
        figures = (
            entry.before, entry.offered, -entry.left, entry.delivered, entry.breaks, entry.after
        )  # fmt: skip
        rows.append((name, *(f"{scale * x:+.2f}{unit}" for x in figures)))
    head = ("", "before", "+ offered", "− left", "+ delivered", "+ breaks", "= after")
    points = _points(decision)
    doubt = ""
    if abs(points.if_certain - points.left) > 0.005:
        doubt = (
            f" Left, were every option surely in the read: {points.if_certain:.2f}; allowing for "
            f"the chances that they were: {points.left:.2f}."
        )
    return (
        f"Snap {decision.snap} of the demo game, {decision.situation}: {decision.chosen} was "
        f"chosen, {points.best} was best for points. It ended: {decision.result}.{doubt}\n\n"
        + table(head, rows, 6)
    )


def spreads_example() -> str:
    """The three spreads of the same decision."""
    decision = dearest()
    entry = _points(decision)
    outcome = entry.outcome
    chosen, best = outcome.chosen, outcome.best
    rows = [
        (
            "outcome", "how the choice can end (points, less those before)",
            f"{decision.chosen}: {chosen.p10:+.1f} to {chosen.p90:+.1f}; "
            f"{entry.best}: {best.p10:+.1f} to {best.p90:+.1f} (middle 80%)",
        ),
        (
            "", "the better choice would have ended worse",
            f"{100 * outcome.better_ends_worse:.0f}% drawn independently, "
            f"{100 * outcome.lowest:.0f}% to {100 * outcome.highest:.0f}% however they move "
            "together",
        ),
        ("model", "90% interval of left", _interval(entry.interval_model)),
        (
            "", f"share of {models().refits} refits that put {entry.best} first",
            f"{100 * entry.settled_share:.0f}%, so the verdict is {entry.verdict}",
        ),
        ("judgement", "90% interval of left", _interval(entry.interval_judgement)),
        ("", "decisive judgement", _decisive(entry)),
    ]  # fmt: skip
    return table(("spread", "of what", "here"), rows)


def _interval(interval: Interval) -> str:
    return f"{interval.low:.2f} to {interval.high:.2f} points"


def _decisive(entry: Ledger) -> str:
    if entry.decisive is None:
        return "none within reach"
    d = entry.decisive
    return f"{d.subject}: said {d.said}, turns over at {d.turns_at}, then {d.then_best} is best"


def _dig(placement: str | None) -> tuple[OptionModel, OutcomeLaw]:
    options = (
        LoggedOption("dig", "throw", route="dig", air_yards=12, third="middle", place=1,
                     drop=3, hitches=1, window="step"),
        LoggedOption("flat", "throw", route="flat", air_yards=1, third="right", place=2),
    )  # fmt: skip
    snap = snap_of(situation(yards_to_goal=60), options, "dig", "drop-back", placement=placement,
                   timing="on" if placement else None)  # fmt: skip
    _, _, found = prepare(worth(), snap)
    law = executed_law(found[0], snap)
    return found[0], found[0].law() if law is None else law


def execution_example() -> str:
    """A dig to a window called step, by placement; over all of them it is the plain law."""
    model, plain = _dig(None)
    rows = []
    for placement in PLACEMENTS:
        _, law = _dig(placement)
        share = judged(f"share.{placement}").value
        chances = (law.chance("complete"), law.chance("intercepted"))
        rows.append(
            (f"{placement}, on time", f"{100 * share:.0f}%", *(f"{100 * c:.1f}%" for c in chances))
        )
    unjudged = (plain.chance("complete"), plain.chance("intercepted"))
    rows.append(("not judged", "", *(f"{100 * c:.1f}%" for c in unjudged)))
    shares = grade_table()[0]
    return (
        table(("a dig of 12 air yards, `step`", "how often", "complete", "intercepted"), rows, 3)
        + f"\nOver all {len(shares)} pairs of placement and timing, each as often as it occurs, "
        f"the average is the plain law ({100 * unjudged[0]:.1f}% complete for the {model.id}).\n"
    )  # fmt: skip


def fourth_and_goal() -> str:
    """Fourth and goal at the 2, level early: the textbook's 3/7 and the break-even of the tool."""
    options = (LoggedOption("go", "go"), LoggedOption("kick", "field-goal"))
    snap = snap_of(situation(down=4, distance=2, yards_to_goal=2), options, "kick", "kick")
    decision = price_snap(
        worth(), snap, None, PriceSettings(draws=0, judgement_draws=10), np.random.default_rng(1)
    )
    entry = _points(decision)
    by_id = {value.id: value.value for value in entry.values}
    tie = next(b for b in entry.break_even if b.option == "go")
    assert tie.chance is not None
    assert tie.model_chance is not None
    pinned = _value_after_stop(decision)
    rows = [
        ("textbook: 3 points over 7", f"{100 * 3 / 7:.1f}%"),
        ("break-even of the tool", f"{100 * tie.chance:.1f}%"),
        ("conversion by the law", f"{100 * tie.model_chance:.1f}%"),
        ("worth of going, points", f"{by_id['go']:+.2f}"),
        ("worth of the kick, points", f"{by_id['kick']:+.2f}"),
        ("worth of a stop at the 2, points", f"{pinned:+.2f}"),
    ]
    return table(("fourth and goal at the 2, level in the first quarter", ""), rows, 1)


def _value_after_stop(decision: Decision) -> float:
    """Points, from our view, when the other side takes over at its own 2."""
    at = situation(yards_to_goal=98, seconds=594)
    options = (LoggedOption("give", "give"), LoggedOption("keep", "keep"))
    values, _, _ = prepare(worth(), snap_of(at, options, "give", "option"))
    return -values.before("points")


def free_play() -> str:
    """The same deep shot with and without the flag."""
    here = situation(down=2, distance=8, yards_to_goal=60)
    options = (
        LoggedOption("go", "throw", route="go", air_yards=35, third="right", place=1,
                     window="even"),
        LoggedOption("hitch", "throw", route="hitch", air_yards=6, third="left", place=2,
                     window="step"),
    )  # fmt: skip
    rows = []
    plain = snap_of(here, options, "go", "drop-back")
    flagged = replace(plain, happened=replace(plain.happened, flag=Flag("defense", "before")))
    currency: Currency = "points"
    for words, snap in (("without a flag", plain), ("after a jump", flagged)):
        values, _, found = prepare(worth(), snap)
        rows.append((words, *(f"{values.exact(model, currency):+.2f}" for model in found)))
    values, _, _ = prepare(worth(), flagged)
    penalty = float(values.floor[currency][0])
    return (
        table(("second and 8 at the own 40", "deep shot, 35 air yards", "hitch"), rows, 2)
        + f"\nThe penalty itself, second and 3 at the own 45, is worth {penalty:+.2f}.\n"
    )


def crossfit_example() -> str:
    """The total of the demo game, plain and cross-fitted."""
    rows = []
    for currency, scale, unit in (("points", 1.0, " points"), ("wins", 100.0, "% WP")):
        total = demo().total_left[currency]  # type: ignore[index]
        rows.append(
            (
                currency, f"{scale * total['plain']:.2f}{unit}",
                f"{scale * total['value']:.2f}{unit}",
                f"{scale * total['low']:.2f} to {scale * total['high']:.2f}{unit}",
            )
        )  # fmt: skip
    return table(("demo game", "plain sum of left", "cross-fitted", "90% interval"), rows, 3)


BLOCKS: dict[str, Callable[[], str]] = {
    "ledger": ledger_example,
    "spreads": spreads_example,
    "execution": execution_example,
    "fourth and goal": fourth_and_goal,
    "free play": free_play,
    "crossfit": crossfit_example,
}
