"""The drawings of one decision: the field, the running bar, the two spreads."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup
from pointsleft_models.football.field import hash_offset
from pointsleft_models.football.rules import RuleSet, RuleSetError, rule_set

from pointsleft.pricing.result import Currency, Decision, PricedGame
from pointsleft.report import figures, sentences
from pointsleft.report.drawing.options import draw_options
from pointsleft.report.drawing.placing import Scene
from pointsleft.report.drawing.running import Entry, running_bar
from pointsleft.report.drawing.spread import Choice, two_spreads
from pointsleft.report.numbers import NAME, amount


@dataclass(frozen=True, slots=True)
class Drawings:
    """The figures of a full entry."""

    field: Markup | None
    undrawn: str | None
    running: Markup
    spread: Markup
    spread_words: str
    currency: str
    same: bool


def rules_of(game: PricedGame) -> RuleSet:
    """The game's rule set, for the hash marks; the newest of its level where it is unnamed."""
    level, _, season = game.rules.rpartition(" ")
    try:
        return rule_set(level, int(season))
    except (RuleSetError, ValueError):
        return rule_set("college" if game.level == "college" else "professional")


def _whole(value: object, low: int, high: int) -> int | None:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    return int(value) if low <= value <= high else None


def scene_of(decision: Decision, rules: RuleSet) -> Scene | None:
    """Where the snap was taken, ``None`` where the facts do not say."""
    to_goal = _whole(decision.facts.get("yards_to_goal"), 1, 99)
    if to_goal is None:
        return None
    distance = _whole(decision.facts.get("distance"), 1, 99) or min(10, to_goal)
    mark = decision.facts.get("hash")
    return Scene(
        yards_to_goal=to_goal,
        distance=min(distance, to_goal),
        ball=hash_offset(rules, mark if isinstance(mark, str) else None),
        hash_from_side=rules.hash_from_side_feet / 3,
    )


def drawings(decision: Decision, main: Currency, rules: RuleSet) -> Drawings | None:
    """The figures of a full entry, ``None`` where the decision has no ledger."""
    currency = figures.currency_of(decision, main)
    entry = figures.ledger_of(decision, currency) if currency else None
    if currency is None or entry is None:
        return None
    scene = scene_of(decision, rules)
    picture = None
    if scene is not None:
        values = {
            o.id: "" if (v := figures.worth(o, currency)) is None else amount(v, currency)
            for o in decision.options
        }
        title = f"The options of snap {decision.snap} on the field"
        picture = draw_options(decision.options, decision.chosen, entry.best, scene, values, title)
    changes = [
        Entry("offered", entry.offered),
        Entry("left", -entry.left),
        Entry("delivered", entry.delivered),
        Entry("breaks", entry.breaks),
    ]
    same = decision.chosen == entry.best
    if same:
        rows: tuple[Choice, ...] = (
            Choice(f"chosen and best: {entry.best}", entry.outcome.chosen, True),
        )
    else:
        rows = (
            Choice(f"chosen: {decision.chosen}", entry.outcome.chosen, True),
            Choice(f"best: {entry.best}", entry.outcome.best, False),
        )
    undrawn = ", ".join(picture.undrawn) if picture else ""
    return Drawings(
        field=picture.markup if picture else None,
        undrawn=undrawn or None,
        running=running_bar(
            ("before", entry.before), changes, ("after", entry.after), currency,
            f"From the value before snap {decision.snap} to the value after it",
        ),
        spread=two_spreads(rows, currency, f"How the choices of snap {decision.snap} can end"),
        spread_words="" if same else sentences.ends_worse(entry),
        currency=NAME[currency],
        same=same,
    )  # fmt: skip
