"""Figures as a reader sees them: fixed decimals, a true minus sign, always a unit.

Points are shown with two decimals. Win probability is shown in percent with one decimal and
the unit ``% WP``, so that "points" always means points on the scoreboard.
"""

from __future__ import annotations

from pointsleft.pricing.result import Currency, Interval

#: Units as printed behind a figure.
UNIT: dict[Currency, str] = {"points": "pts", "wins": "% WP"}

#: Names of the two currencies in running text.
NAME: dict[Currency, str] = {"points": "points", "wins": "win probability"}

DECIMALS: dict[Currency, int] = {"points": 2, "wins": 1}

#: Factor from the value in the data to the figure shown.
FACTOR: dict[Currency, float] = {"points": 1.0, "wins": 100.0}

MINUS = "−"


def fixed(value: float, decimals: int, *, plus: bool = False) -> str:
    """A figure with fixed decimals; a figure that rounds to zero carries no sign.

    >>> fixed(-0.004, 2), fixed(-1.5, 2), fixed(1.5, 1, plus=True)
    ('0.00', '−1.50', '+1.5')
    """
    text = f"{abs(value):.{decimals}f}"
    if float(text) == 0:
        return text
    return (MINUS if value < 0 else "+" if plus else "") + text


def bare(value: float, currency: Currency, *, plus: bool = False) -> str:
    """A value without its unit, for a column whose heading carries the unit."""
    return fixed(value * FACTOR[currency], DECIMALS[currency], plus=plus)


def amount(value: float, currency: Currency, *, plus: bool = False) -> str:
    """A value with its unit.

    >>> amount(1.234, "points"), amount(-0.1234, "wins", plus=True)
    ('1.23 pts', '−12.3% WP')
    """
    space = " " if currency == "points" else ""
    return bare(value, currency, plus=plus) + space + UNIT[currency]


def interval(value: Interval, currency: Currency) -> str:
    """Both ends of an interval with one unit: ``0.40 to 2.10 pts``."""
    return f"{bare(value.low, currency)} to {amount(value.high, currency)}"


def percent(share: float) -> str:
    """A share as a whole percentage that says 0 or 100 only where it is exact.

    >>> percent(0.5), percent(0.999), percent(0.001), percent(1.0)
    ('50%', '>99%', '<1%', '100%')
    """
    if share <= 0:
        return "0%"
    if share >= 1:
        return "100%"
    whole = round(share * 100)
    return "<1%" if whole == 0 else ">99%" if whole == 100 else f"{whole}%"


def count(number: int, one: str, many: str | None = None) -> str:
    """A number and the word for it.

    >>> count(1, "decision"), count(2, "decision"), count(0, "miss", "misses")
    ('1 decision', '2 decisions', '0 misses')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"


def decimal(value: float, decimals: int = 1) -> str:
    """A plain figure with fixed decimals."""
    return fixed(value, decimals)
