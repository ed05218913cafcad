"""What was assumed where the log is silent, as the page lists it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pointsleft.pricing.judgement_table import Judgement, judgements
from pointsleft.pricing.result import PricedGame
from pointsleft.report import figures
from pointsleft.report.numbers import fixed, percent

#: What the codes of the table of judgements are about, by their first part.
TOPICS = {
    "window": "how open a receiver was",
    "in_read": "chance that it was in the read",
    "drop": "when the ball is out",
    "rush": "when the rush arrives",
    "option": "option run",
    "escape": "after the play broke down",
    "clock": "game clock",
    "score": "score",
    "result": "result of the snap",
    "air": "depth of a route",
    "third": "side of a route",
    "route": "route",
    "shell": "coverage",
    "gap": "gap of a run",
    "flight": "flight of the ball",
    "takeover": "where the other side takes over",
}

#: Units of the table that are shown as a percentage.
SHARES = ("chance", "share")


@dataclass(frozen=True, slots=True)
class AssumedRow:
    """One assumption: its mark, what it is of, in words, as a figure, and how often it was used."""

    mark: str
    topic: str
    text: str
    figure: str
    times: int


def assumed_rows(game: PricedGame, marks: Mapping[str, str]) -> tuple[AssumedRow, ...]:
    """The assumptions of a game, most used first."""
    table = judgements()
    return tuple(
        AssumedRow(
            mark=marks[code],
            topic=TOPICS.get(code.partition(".")[0], ""),
            text=game.assumption_texts.get(code, code),
            figure=_figure(table[code]) if code in table else "",
            times=game.assumptions[code],
        )
        for code in figures.assumption_order(game)
    )


def _figure(found: Judgement) -> str:
    """``90% (75% to 100%)``, ``0.45 seconds (0.30 to 0.60)``; nothing for a rule without one."""
    try:
        value, low, high = found.value, found.low, found.high
    except ValueError:
        return ""
    if found.unit in SHARES:
        ends = "" if low == high else f" ({percent(low)} to {percent(high)})"
        return percent(value) + ends
    ends = "" if low == high else f" ({fixed(low, 2)} to {fixed(high, 2)})"
    return f"{fixed(value, 2)} {found.unit}{ends}"
