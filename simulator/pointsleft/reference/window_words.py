"""docs/window-words.md: what becomes of the demo game when the window words stand elsewhere.

The words' distances are judged. Here every figure on their scale is halved and doubled, and every
decision of the demo game is priced again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache

from pointsleft.cli.demo import demo_log
from pointsleft.game.price import price_game
from pointsleft.log import read_log
from pointsleft.pricing.judgement_table import Judgement, judged, judged_otherwise
from pointsleft.pricing.result import Currency, Decision, Ledger, PricedGame
from pointsleft.pricing.settings import PriceSettings
from pointsleft.reference.markdown import table
from pointsleft.reference.worked import models
from pointsleft.reference.worked_decisions import demo

#: Rows of the table of judgements that are distances on the scale of the window words.
ON_SCALE = (
    "window.loose", "window.step", "window.even", "window.narrow", "window.smothered",
    "window.unseen", "window.default", "window.thrown", "window.selection",
    "window.selection.depth",
)  # fmt: skip

#: Multiples of the scale, and what they are called.
SCALES = ((0.5, "halved"), (1.0, "as judged"), (2.0, "doubled"))

#: Verdicts do not depend on draws: few are enough.
SETTINGS = PriceSettings(draws=100, judgement_draws=20)

#: Place of the scale as it is judged.
OWN = 1

CURRENCIES: tuple[Currency, ...] = ("points", "wins")
VERDICTS = ("firm", "slight", "unsettled")


def scaled(scale: float) -> dict[str, Judgement]:
    """Every row on the scale, value and range multiplied."""
    return {code: _times(judged(code), scale) for code in ON_SCALE}


def _times(row: Judgement, scale: float) -> Judgement:
    return replace(
        row, text=repr(scale * row.value), low_text=repr(scale * row.low),
        high_text=repr(scale * row.high),
    )  # fmt: skip


@cache
def priced(scale: float) -> PricedGame:
    """The demo game with the window words at a multiple of their scale."""
    if scale == 1.0:
        return demo()
    with judged_otherwise(scaled(scale)):
        return price_game(read_log(demo_log()), SETTINGS, models=models())


@dataclass(frozen=True, slots=True)
class Moved:
    """One decision in one currency at every scale, in the order of :data:`SCALES`."""

    decision: Decision
    ledgers: tuple[Ledger, ...]

    @property
    def best(self) -> tuple[str, ...]:
        return tuple(ledger.best for ledger in self.ledgers)

    @property
    def verdicts(self) -> tuple[str, ...]:
        return tuple(str(ledger.verdict) for ledger in self.ledgers)


def moved(currency: Currency) -> list[Moved]:
    """Every decision that is priced in a currency."""
    games = [priced(scale) for scale, _ in SCALES]
    out = []
    for decisions in zip(*(game.decisions for game in games), strict=True):
        ledgers = [getattr(decision, currency) for decision in decisions]
        if all(ledger is not None for ledger in ledgers):
            out.append(Moved(decisions[OWN], tuple(ledgers)))
    return out


_HEAD = """# The window words at half and at twice their distance

<!-- Made by `python -m pointsleft.reference`. -->

How far the five words for an open receiver stand apart is judged and not fitted
([judgements.md](judgements.md#the-scale-of-the-window-words) says from what). So it has to be seen
what hangs on it. Below every figure on that scale is halved and doubled: the words with their
ranges, what stands in where no word is given, and how much more open thrown passes are. Everything
else stays, and each decision of the demo game is priced again. A cell says which option is best,
the verdict with its share of the refits, and what was left. Cells in bold have another best option
or another verdict word than the scale as judged.
"""


def window_words_page() -> str:
    """The whole page."""
    parts = [_HEAD, _totals()]
    for currency in CURRENCIES:
        rows = moved(currency)
        parts.append(f"## {currency.capitalize()}\n\n{_summary(rows)}\n{_table(rows, currency)}")
    return "\n".join(parts)


def _totals() -> str:
    """Left over the game at every scale, cross-fitted, with its interval."""
    rows = []
    for scale, name in SCALES:
        cells = []
        for currency in CURRENCIES:
            times, unit = (1, "") if currency == "points" else (100, "%")
            total = priced(scale).total_left[currency]
            value, low, high = (times * total[key] for key in ("value", "low", "high"))
            cells.append(f"{value:.2f}{unit} ({low:.2f} to {high:.2f}{unit})")
        rows.append((name, *cells))
    return table(("scale", "left on the field, points", "left on the field, wins"), rows, 2)


def _summary(rows: list[Moved]) -> str:
    """Verdict words at every scale, and how many decisions changed."""
    cells = []
    for at, (_, name) in enumerate(SCALES):
        counts = Counter(row.verdicts[at] for row in rows)
        best = sum(row.best[at] != row.best[OWN] for row in rows)
        verdict = sum(row.verdicts[at] != row.verdicts[OWN] for row in rows)
        told = (str(counts[word]) for word in VERDICTS)
        cells.append((name, *told, str(best), str(verdict)))
    head = ("scale", *VERDICTS, "another best option", "another verdict word")
    return table(head, cells, 5)


def _table(rows: Iterable[Moved], currency: Currency) -> str:
    head = ("snap", "chosen", *(f"best, verdict, left: {name}" for _, name in SCALES))
    return table(head, [_row(row, currency) for row in rows], 0)


def _row(row: Moved, currency: Currency) -> tuple[str, ...]:
    cells = []
    for ledger in row.ledgers:
        left = f"{ledger.left:.2f}" if currency == "points" else f"{100 * ledger.left:.1f}%"
        told = f"{ledger.best}, {ledger.verdict} {100 * ledger.settled_share:.0f}%, {left}"
        same = ledger.best == row.ledgers[OWN].best and ledger.verdict == row.ledgers[OWN].verdict
        cells.append(told if same else f"**{told}**")
    return (row.decision.snap, row.decision.chosen, *cells)
