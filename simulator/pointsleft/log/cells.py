"""Undoing what spreadsheets do to cells, where it is certain, and saying so where it is not.

``+40`` becomes 40, ``3-4`` a date, ``12:34`` a time of day or a fraction of a day, ``007``
seven. A formula is never evaluated. On the way out, cells that a spreadsheet would execute get
a leading apostrophe; on the way in it is taken off again, so text survives unchanged.
"""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta

_EXECUTED = re.compile(r"^'*[\s\u00a0\u3000]*[=+\-@\t\r\n＝＋－＠]")
_GUARDED = re.compile(r"^'+[\s\u00a0\u3000]*[=+\-@\t\r\n＝＋－＠]")
_NUMBER = re.compile(r"^-?\d+([.,]\d+)?$")
_FORMULA = re.compile(r"^[\s\u00a0\u3000]*[=＝]")
_ERROR = re.compile(r"^#(REF!|NAME\?|VALUE!|N/A|DIV/0!|NUM!|NULL!|#+)", re.IGNORECASE)

_MONTH = "jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec"
_DATES = re.compile(
    rf"^(\d{{1,2}}[-/. ]({_MONTH})[a-z]*\.?([-/ ]\d{{2,4}})?"
    rf"|({_MONTH})[a-z]*\.?[- /]\d{{1,4}}"
    r"|\d{4}-\d{1,2}-\d{1,2}([ T]00:00(:00(\.0+)?)?)?"
    r"|\d{1,2}[/.]\d{1,2}[/.]\d{2,4})$",
    re.IGNORECASE,
)
_TIME = re.compile(r"^(\d{1,3}):(\d{2})(?::(\d{2})(\.\d+)?)?\s*([ap])?\.?m?\.?$", re.IGNORECASE)
_FRACTION = re.compile(r"^0?[.,]\d{3,}$")

#: Stands before the text of a cell that held a formula; no typed text begins with it.
FORMULA = "\x00"

#: Longest quarter there is, in minutes; hours beyond it are minutes taken for hours.
LONGEST_QUARTER = 15


class CellError(ValueError):
    """A cell that cannot be read; the message says what would be accepted."""


def is_formula(text: str) -> bool:
    """Whether a cell holds a formula (``=`` first). It is never evaluated."""
    return bool(_FORMULA.match(text))


def is_error(text: str) -> bool:
    """Whether a cell holds a spreadsheet's error mark, such as ``#REF!``."""
    return bool(_ERROR.match(text.strip()))


def is_date(text: str) -> bool:
    """Whether a cell was taken for a date: the text typed is lost.

    >>> is_date("4-Mar"), is_date("2026-03-04"), is_date("3-4"), is_date("own 25")
    (True, True, False, False)
    """
    return bool(_DATES.match(text.strip()))


def guard(text: str) -> str:
    """A cell as it is written: an apostrophe first where a spreadsheet would execute it.

    Plain numbers are left alone.

    >>> guard("=1+1"), guard("-3"), guard("+40"), guard("slant"), guard("'=1")
    ("'=1+1", '-3', "'+40", 'slant', "''=1")
    """
    return text if _NUMBER.match(text) or not _EXECUTED.match(text) else f"'{text}"


def unguard(text: str) -> str:
    """The text of a written cell: the inverse of :func:`guard`.

    >>> unguard("'=1+1"), unguard("''=1"), unguard("'tis")
    ('=1+1', "'=1", "'tis")
    """
    return text[1:] if _GUARDED.match(text) else text


def whole(text: str) -> int:
    """A whole number, however a spreadsheet wrote it (``7``, ``007``, ``7.0``, ``7,0``, ``+7``).

    Raises
    ------
    CellError
        No whole number.
    """
    word = text.strip().replace("−", "-").replace("–", "-")
    match = re.fullmatch(r"([+-]?\d{1,9})(?:[.,]0*)?", word)
    if match is None:
        raise CellError("a whole number")
    return int(match.group(1))


def number(text: str) -> float:
    """A number with a decimal point or comma.

    Raises
    ------
    CellError
        No number.
    """
    word = text.strip().replace("−", "-").replace("–", "-").replace(",", ".")
    if not re.fullmatch(r"[+-]?(\d{1,9}\.?\d*|\.\d+)", word):
        raise CellError("a number")
    return float(word)


def clock(text: str) -> int:
    """Seconds left in the quarter.

    A spreadsheet takes ``12:34`` for twelve hours and 34 minutes and may hand it back as
    ``12:34:00``, ``12:34:00 PM`` or ``0.5236``. Such a cell is repaired when it can have come
    from one clock only.

    >>> [clock(c) for c in ("12:34", "12:34:00", "12:34 PM", "0:12:34", "0.523611111", ":09")]
    [754, 754, 754, 754, 754, 9]

    Raises
    ------
    CellError
        Unreadable, or it can have come from more than one clock.
    """
    word = text.strip()
    if re.fullmatch(r":\d{2}", word):
        word = "0" + word
    if _FRACTION.match(word):
        return _clock_of_fraction(number(word))
    match = _TIME.match(word)
    if match is None:
        raise CellError("minutes and seconds left, as 12:34")
    first, second = int(match.group(1)), int(match.group(2))
    third, half_day = match.group(3), (match.group(5) or "").lower()
    if half_day:
        first = first % 12 + (12 if half_day == "p" else 0)
    if third is None:
        minutes, seconds = first, second
    elif first == 0 and int(third) == 0 and second > LONGEST_QUARTER:
        minutes, seconds = 0, second
    elif first == 0 and int(third) == 0 and second > 0:
        raise CellError(
            f"0:{second:02d} or {second}:00 (a spreadsheet made this a time of day; "
            "which of the two it was cannot be told)"
        )
    elif first == 0:
        minutes, seconds = second, int(third)
    elif int(third) == 0:
        minutes, seconds = first, second
    else:
        raise CellError("minutes and seconds left, as 12:34")
    if 60 * minutes + seconds > 60 * LONGEST_QUARTER or seconds > 59:
        raise CellError("a game clock of at most 15:00, as 12:34")
    return 60 * minutes + seconds


def _clock_of_fraction(fraction: float) -> int:
    """A day fraction as clock: hours stood for minutes, or minutes for minutes."""
    as_hours, as_minutes = fraction * 1440, fraction * 86400
    readings = set()
    if abs(as_hours - round(as_hours)) < 0.02 and round(as_hours) <= 60 * LONGEST_QUARTER:
        readings.add(round(as_hours))
    if abs(as_minutes - round(as_minutes)) < 0.5 and round(as_minutes) <= 60 * LONGEST_QUARTER:
        readings.add(round(as_minutes))
    if len(readings) == 1:
        return readings.pop()
    if readings:
        low, high = sorted(readings)
        raise CellError(
            f"{write_clock(low)} or {write_clock(high)} (a spreadsheet made this a fraction of "
            "a day; which of the two it was cannot be told)"
        )
    raise CellError("minutes and seconds left, as 12:34")


def write_clock(seconds: int) -> str:
    """``12:34``."""
    return f"{seconds // 60}:{seconds % 60:02d}"


#: No film of a game is longer than this many hours; a larger figure was minutes.
LONGEST_FILM = 9


def clip(text: str) -> tuple[float, str]:
    """A place on the film: seconds from its start, and the text to show.

    >>> clip("12:34"), clip("1:02:45"), clip("45:10:00")
    ((754.0, '12:34'), (3765.0, '1:02:45'), (2710.0, '45:10'))

    Raises
    ------
    CellError
        Unreadable.
    """
    match = re.fullmatch(r"(?:(\d{1,3}):)?(\d{1,3}):(\d{2})([.,]\d{1,3})?", text.strip())
    if match is None:
        raise CellError("minutes and seconds into the film, as 12:34 or 1:02:45")
    hours: int | None = None if match.group(1) is None else int(match.group(1))
    minutes, seconds, tenths = int(match.group(2)), int(match.group(3)), match.group(4) or ""
    if hours is not None and hours > LONGEST_FILM and seconds == 0 and not tenths:
        minutes, seconds = hours, minutes
        hours = None
    if seconds > 59 or (hours is not None and minutes > 59):
        raise CellError("minutes and seconds into the film, as 12:34 or 1:02:45")
    total = 3600 * (hours or 0) + 60 * minutes + seconds + float("0" + tenths.replace(",", "."))
    head = f"{hours}:{minutes:02d}" if hours is not None else f"{minutes}"
    return total, f"{head}:{seconds:02d}{tenths.replace(',', '.')}"


def text_of(value: object, number_format: str = "") -> str:
    """A workbook's cell as the text a person typed, as far as its format tells.

    >>> text_of(7.0), text_of(0.6, "0%"), text_of(time(12, 34), "h:mm"), text_of(None)
    ('7', '60%', '12:34', '')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        if "%" in number_format:
            return f"{round(100 * value, 6):g}%"
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, time):
        return _time_text(timedelta(hours=value.hour, minutes=value.minute, seconds=value.second,
                                    microseconds=value.microsecond), number_format)  # fmt: skip
    if isinstance(value, timedelta):
        return _time_text(value, number_format)
    if isinstance(value, datetime):
        # A time beyond 24 hours comes back as a moment of the spreadsheet's first days.
        if value.year == 1900 and value.month == 1 and "h" in number_format.lower():
            return _time_text(value - datetime(1899, 12, 31), number_format)
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ")
    if isinstance(value, date):
        return value.isoformat()
    return str(value)


def _time_text(span: timedelta, number_format: str) -> str:
    """Hours and minutes, or all three, as the cell's format shows them."""
    # A fraction of a day comes back some microseconds off.
    total = round(span.total_seconds(), 1)
    minutes, seconds = divmod(total, 60)
    hours, minutes = divmod(int(minutes), 60)
    shape = number_format.lower().replace("[", "").replace("]", "")
    if "h" not in shape and "m" in shape:
        return f"{60 * hours + minutes}:{seconds:02.0f}"
    if "s" not in shape and "h" in shape:
        return f"{hours}:{minutes:02d}"
    tenths = f"{seconds % 1:.1f}"[1:] if seconds % 1 else ""
    return f"{hours}:{minutes:02d}:{int(seconds):02d}{tenths}"
