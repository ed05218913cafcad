"""A comparison of two charters on the terminal."""

from __future__ import annotations

import textwrap

from pointsleft.pricing.result import Currency
from pointsleft.report.numbers import MINUS, amount, bare
from pointsleft.report.safe_text import fit, one_line, pad
from pointsleft.voices.compare import Comparison
from pointsleft.voices.kappa import Measure
from pointsleft.voices.moved import BothWays, MovedSnap

WIDTH = 80

#: How many of the most moved snaps are told.
SHOWN = 6


def summary(found: Comparison, currency: Currency = "points") -> str:
    """Agreement, both totals and the snaps that move most."""
    one, two = found.voices.lead, found.voices.other
    lines = [
        fit(found.title, WIDTH),
        fit(f"{found.quarterback}, charted by {one} and by {two}", WIDTH),
        "",
        *_wrapped(_matched(found)),
        *(line for d in found.differences for line in _wrapped(f"game sheets differ: {d}")),
        "",
        pad("agreement", 12) + pad("compared", 16) + pad("the same", 20) + "beyond chance (kappa)",
    ]
    for topic in found.topics:
        units = f"{topic.compared} {topic.unit}{'s' if topic.compared != 1 else ''}".replace(
            "entrys", "entries"
        )
        lines.append(
            pad(topic.what, 12) + pad(units, 16) + pad(_measure(topic.agreed, percent=True), 20)
            + _measure(topic.beyond_chance)
        )  # fmt: skip
    lines += [
        "", *_wrapped("In brackets 90% intervals from snaps drawn again. Windows: weighted by the "
        "squared distance of the words in log odds. Chosen: against drawing lots among the "
        "options of each snap. The choice set has no kappa: what neither lists cannot be counted."),
    ]  # fmt: skip
    prices = found.prices.get(currency)
    if prices is not None and prices.decisions:
        lines += ["", *_totals(prices, one, two), "", *_moved(prices, one, two)]
    return "\n".join(lines)


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(one_line(text), WIDTH)


def _matched(found: Comparison) -> str:
    one, two = found.voices.lead, found.voices.other
    text = f"{len(found.matched.pairs)} snaps matched"
    for who, alone in ((one, found.only_first), (two, found.only_second)):
        if alone:
            text += f"; only {who} has {len(alone)} ({'; '.join(alone[:3])}"
            text += f"; and {len(alone) - 3} more)" if len(alone) > 3 else ")"
    offset = found.matched.offset
    if offset:
        text += f"; the clip times of {two} run {offset:+.0f} s".replace("-", MINUS)
    return text + "."


def _measure(measure: Measure, *, percent: bool = False) -> str:
    def say(x: float) -> str:
        return f"{100 * x:.0f}%" if percent else f"{x:.2f}".replace("-", MINUS)

    if measure.value is None:
        return "not defined"
    if measure.low is None or measure.high is None:
        return say(measure.value)
    return f"{say(measure.value)} ({say(measure.low)} to {say(measure.high)})"


def _totals(prices: BothWays, one: str, two: str) -> list[str]:
    c = prices.currency
    low, value, high = prices.difference
    text = (
        f"Left on the field over the {prices.decisions} decisions that both price: "
        f"{amount(prices.left_first, c)} by {one}, {amount(prices.left_second, c)} by {two}; "
        f"{two} less {one} {amount(value, c, plus=True)} ({bare(low, c, plus=True)} to "
        f"{bare(high, c, plus=True)}). Best option and verdict are the same on "
        f"{prices.same_verdict} of them."
    )
    return _wrapped(text)


def _moved(prices: BothWays, one: str, two: str) -> list[str]:
    unit = "points" if prices.currency == "points" else "% WP"
    lines = [
        pad(f"Snaps that move most ({unit} left)", 50)
        + pad(fit(one, 9), 9, right=True) + pad(fit(two, 9), 9, right=True)
        + pad("moves", 9, right=True)
    ]  # fmt: skip
    for snap in prices.snaps[:SHOWN]:
        lines += _one(snap, prices.currency)
    return lines


def _one(snap: MovedSnap, currency: Currency) -> list[str]:
    a, b = snap.first, snap.second
    lines = [
        pad(f"{snap.clip or 'snap ' + a.snap}  {snap.situation}", 50)
        + pad(bare(a.left, currency), 9, right=True) + pad(bare(b.left, currency), 9, right=True)
        + pad(bare(snap.moves, currency, plus=True), 9, right=True)
    ]  # fmt: skip
    verdicts = f"best {a.best} ({a.verdict}) / {b.best} ({b.verdict})"
    text = "; ".join([verdicts, *snap.differences])
    return lines + textwrap.wrap(
        one_line(text), WIDTH, initial_indent="   ", subsequent_indent="   "
    )
