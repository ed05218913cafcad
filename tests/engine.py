"""One snap, from a row as a charter would type it through the whole engine.

A row goes through the log's own reader, then through values, laws and ledger: nothing here
works a figure out by itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from pointsleft.log.faults import render
from pointsleft.log.reader import assemble
from pointsleft.log.record import LoggedGame, Snap
from pointsleft.log.rows import Findings
from pointsleft.log.sheets import RawLog, RawSheet
from pointsleft.pricing.cells import SnapValues
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.result import Currency, Decision
from pointsleft.pricing.settings import PriceSettings
from pointsleft.pricing.snap import prepare, price_snap
from pointsleft_models.bundle import Worth
from pointsleft_models.laws.lattice import OutcomeLaw

GAME = {
    "level": "professional", "season": "2019", "us": "Larks", "them": "Moles",
    "quarterback": "Pim Ostrey", "snaps logged": "some",
}  # fmt: skip

#: An unhurried first and ten at the own 40 with the score level.
USUAL = {
    "quarter": 1, "clock": "8:00", "us": 0, "them": 0, "down": 1, "distance": 10,
    "ball": "own 40", "our timeouts": 3, "their timeouts": 3,
}  # fmt: skip


def logged(*rows: Mapping[str, object], **game: object) -> LoggedGame:
    """Rows of a log read by the log's reader; ``game`` changes items of the game sheet."""
    items = {**GAME, **{name.replace("_", " "): str(value) for name, value in game.items()}}
    columns = list(dict.fromkeys(["snap", *(c for row in rows for c in row)]))
    cells = tuple(
        tuple(_cell({"snap": at, **row}.get(column)) for column in columns)
        for at, row in enumerate(rows, 1)
    )
    findings = Findings()
    log = RawLog(
        (
            RawSheet("game", ("item", "value"), tuple(items.items())),
            RawSheet("snaps", tuple(columns), cells),
        )
    )
    game_read = assemble(log, findings)
    if game_read is None or findings.faults:
        raise ValueError(render(findings.faults, "the rows of a test"))
    return game_read


def snaps(*rows: Mapping[str, object], **game: object) -> tuple[Snap, ...]:
    """The snaps of :func:`logged`."""
    return logged(*rows, **game).snaps


def _cell(value: object) -> str:
    return "" if value is None else str(value)


def snap(*, game: Mapping[str, object] | None = None, **cells: object) -> Snap:
    """One row: the usual situation with some cells changed (``our_timeouts`` for ``our
    timeouts``)."""
    named = {name.replace("_", " "): value for name, value in cells.items()}
    return snaps({**USUAL, **named}, **dict(game or {}))[0]


@dataclass(frozen=True)
class Priced:
    """Every option of a snap with its value in both currencies.

    Attributes
    ----------
    models
        Option models by id.
    points, wins
        Value of every option by id, empty where the currency is not defined.
    values
        Values of the snap's outcomes.
    """

    models: Mapping[str, OptionModel]
    points: Mapping[str, float]
    wins: Mapping[str, float]
    values: SnapValues

    def best(self, currency: Currency = "points") -> str:
        """Id of the option worth most."""
        found = self.points if currency == "points" else self.wins
        return max(found, key=lambda name: found[name])

    def law(self, option: str) -> OutcomeLaw:
        """Outcome law of an option."""
        return self.models[option].law()

    def cell(self, cell: int, currency: Currency = "points", seconds: float = 6.0) -> float:
        """Value of one outcome."""
        return float(self.values.option_cells(currency, seconds)[0, cell])


def options_of(worth: Worth, row: Snap) -> Priced:
    """Every option of a snap, valued."""
    values, _, models = prepare(worth, row)
    by_currency: dict[str, dict[str, float]] = {"points": {}, "wins": {}}
    for currency in values.currencies:
        for model in models:
            worth_of = values.value(model.law(), currency, model.seconds)
            by_currency[currency][model.id] = float(worth_of[0])
    return Priced({m.id: m for m in models}, by_currency["points"], by_currency["wins"], values)


def look(worth: Worth, **cells: Any) -> Priced:
    """:func:`snap` and :func:`options_of` in one."""
    return options_of(worth, snap(**cells))


def decision(
    worth: Worth, row: Snap, following: Snap | None = None, *, refits: bool = False
) -> Decision:
    """A snap priced as in a report, without draws."""
    settings = PriceSettings(draws=0, judgement_draws=20, refits=refits)
    return price_snap(worth, row, following, settings, np.random.default_rng(1))
