"""A tiny invented game: decisions, a hand-off, a touchdown with its try, a spike, a punt."""

from __future__ import annotations

from typing import Any

from engine import logged
from pointsleft.game.price import price_game
from pointsleft.log.record import LoggedGame
from pointsleft.pricing.result import PricedGame
from pointsleft.pricing.settings import PriceSettings
from pointsleft_models.bundle import Models

#: No draws; refits, so that totals have something to be crossed with.
SETTINGS = PriceSettings(draws=0, judgement_draws=10)

Row = dict[str, object]

#: What the first rows have in common; a log of some snaps carries nothing from row to row.
START: Row = {"quarter": 1, "us": 0, "them": 0, "our timeouts": 3, "their timeouts": 3}

ROWS: tuple[Row, ...] = (
    START | {"clock": "10:00", "down": 1, "distance": 10, "ball": "own 25", "family": "drop-back",
     "concept": "larks special", "options": "curl11.r/e curl11.l/e* flat1.r/n",
     "result": "complete", "yards": 14, "hit": "no"},
    START | {"clock": "9:20", "down": 1, "distance": 10, "ball": "own 39", "family": "hand-off",
     "options": "give.g*", "result": "run", "yards": 3},
    START | {"clock": "8:40", "down": 2, "distance": 7, "ball": "own 42", "family": "rpo",
     "options": "give.g glance8.l/s*", "result": "incomplete", "hit": "yes"},
    START | {"clock": "8:34", "down": 3, "distance": 7, "ball": "own 42", "family": "drop-back",
     "concept": "larks special", "options": "post24.m/l* flat1.r/l",
     "result": "complete", "yards": 58, "touchdown": "yes"},
    {"family": "try", "result": "good"},
    {"quarter": 2, "clock": "0:40", "us": 7, "them": 3, "down": 1, "distance": 10,
     "ball": "opp 45", "family": "spike", "result": "spike"},
    {"clock": "0:38", "down": 2, "distance": 10, "ball": "opp 45", "family": "drop-back",
     "result": "complete", "yards": 4},
    {"quarter": 4, "clock": "1:10", "us": 7, "them": 10, "down": 1, "distance": 10,
     "ball": "own 30", "family": "drop-back", "options": "go40.r/x* flat1.r/l",
     "result": "interception", "takeover": "own 25"},
)  # fmt: skip

ITEMS: dict[str, Any] = {"snaps logged": "all", "final us": 7, "final them": 13}


def tiny(rows: tuple[Row, ...] = ROWS, **items: object) -> LoggedGame:
    """The tiny game; ``items`` change the game sheet (``None`` drops one)."""
    named = {name.replace("_", " "): value for name, value in items.items()}
    kept = {k: v for k, v in (ITEMS | named).items() if v is not None}
    return logged(*rows, **kept)


def priced(models: Models, game: LoggedGame, settings: PriceSettings = SETTINGS) -> PricedGame:
    return price_game(game, settings, models=models)


def changed(row: int, **cells: object) -> tuple[Row, ...]:
    """The rows with some cells of one changed; ``None`` blanks a cell."""
    named = {name.replace("_", " "): value for name, value in cells.items()}
    return tuple({**r, **named} if at == row else r for at, r in enumerate(ROWS))
