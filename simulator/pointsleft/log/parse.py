"""One cell read by the kind of its column."""

from __future__ import annotations

import re
from collections.abc import Mapping

from pointsleft_models.football.spot import ACCEPTED, SpotError, read_spot

from pointsleft.log import cells, vocabulary
from pointsleft.log.cells import CellError
from pointsleft.log.record import BLAME_PARTIES, UNSEEN, WINDOWS, Range
from pointsleft.log.schema import NO, YES, Column, plain

#: Distance written as words: the goal line is the line to gain.
GOAL = "goal"
_GOAL_WORDS = {"goal", "g", "& goal", "and goal"}

WINDOW_LETTERS = {"l": "loose", "s": "step", "e": "even", "n": "narrow", "x": "smothered",
                  "?": UNSEEN}  # fmt: skip

ENTRIES = ("offered", "left", "delivered", "breaks")
_PARTY_WORDS = {
    "call": "call", "coach": "call", "oc": "call",
    "quarterback": "quarterback", "qb": "quarterback",
    "protection": "protection", "line": "protection", "ol": "protection",
    "receiver": "receiver", "wr": "receiver", "back": "receiver",
    "defense": "defense", "defence": "defense", "d": "defense",
}  # fmt: skip

#: How far shares may be from 1 in all, for rounding on entry.
SHARE_ROUNDING = 0.011


class Ambiguous(CellError):
    """A bare ball position: the number, without whose side."""

    def __init__(self, yard_line: int) -> None:
        self.yard_line = yard_line
        super().__init__(
            f"own {yard_line} or opp {yard_line} (a bare number does not say whose side; "
            "a spreadsheet turns +40 into 40)"
        )


def read_cell(column: Column, text: str) -> tuple[object, str | None]:
    """The value of a cell that is not blank, and a warning where one is due.

    Raises
    ------
    CellError
        It cannot be read; the message says what would be accepted.
    """
    word = text.strip()
    if column.kind != "text" and cells.is_date(word):
        raise CellError(_date_lost(column))
    if column.kind == "text" and column.name not in ("note", "title", "film", "wind"):
        if cells.is_date(word):
            raise CellError(_date_lost(column))
        return word, None
    if column.choices is not None:
        return choice(column.choices, word), None
    if column.open_list is not None:
        return _open_word(column.open_list, word)
    if column.kind == "personnel":
        known = vocabulary.personnel(word)
        return (known, None) if known else (word, f"personnel {word!r} is not known; kept as is")
    if column.kind == "concept":
        return vocabulary.look_up("concept", word) or word, None
    if column.kind == "text":
        return text, None
    return _plain_kinds(column, word), None


def _date_lost(column: Column) -> str:
    return (
        f"{accepted(column)} (a spreadsheet took what was typed for a date and it is lost: "
        "format the column as text and type it again)"
    )


def _plain_kinds(column: Column, word: str) -> object:
    kind = column.kind
    if kind == "int":
        return within(column, cells.whole(word), accepted(column))
    if kind == "number":
        return within(column, cells.number(word), accepted(column))
    if kind == "yesno":
        return yes_no(word)
    if kind == "quarter":
        return quarter(word)
    if kind == "clock":
        return cells.clock(word)
    if kind == "clip":
        return cells.clip(word)
    if kind == "distance":
        return distance(word)
    if kind == "spot":
        return spot(word)
    if kind == "window":
        return window(word)
    if kind == "chance":
        return chance(word)
    if kind == "blame":
        return blame(word)
    return word


def accepted(column: Column) -> str:
    """What a column accepts, in words, from the schema."""
    if column.choices is not None:
        return "one of: " + ", ".join(column.choices)
    if column.kind == "yesno":
        return "yes or no"
    if column.kind == "int":
        return f"a whole number, {column.accepts}" if column.accepts else "a whole number"
    if column.kind == "number":
        return f"a number, {column.accepts}" if column.accepts else "a number"
    return column.accepts or "any text"


def within(column: Column, value: float, expected: str) -> float:
    """The number itself when inside the column's limits."""
    limits = column.limits
    if limits is not None and not limits[0] <= value <= limits[1]:
        raise CellError(expected)
    return value


def choice(choices: Mapping[str, tuple[str, ...]], word: str) -> str:
    """The stored word of a closed list."""
    wanted = plain(word)
    for stored, others in choices.items():
        if wanted == plain(stored) or wanted in map(plain, others):
            return stored
    raise CellError("one of: " + ", ".join(_with_short(w, more) for w, more in choices.items()))


def _with_short(word: str, others: tuple[str, ...]) -> str:
    """A word with the shortest other spelling of it.

    >>> _with_short("sack", ("s", "sacked")), _with_short("spike", ())
    ('sack (s)', 'spike')
    """
    short = min(others, key=len, default=word)
    return f"{word} ({short})" if len(short) < len(word) else word


def _open_word(listing: str, word: str) -> tuple[str, str | None]:
    known = vocabulary.look_up(listing, word)
    if known is not None:
        return known, None
    return word, f"{listing} {word!r} is not known; kept as written"


def yes_no(word: str) -> bool:
    """True or false."""
    if word.lower() in YES:
        return True
    if word.lower() in NO:
        return False
    raise CellError("yes or no")


def quarter(word: str) -> int:
    """The quarter; overtime periods count on from 5."""
    match = re.fullmatch(r"(?:q\s*)?([1-9])(?:\.0*)?(?:st|nd|rd|th)?|ot\s*(\d?)", word.lower())
    if match is None:
        raise CellError("1 to 4; 5 or OT for overtime")
    if match.group(1) is None:
        return 4 + int(match.group(2) or 1)
    return int(match.group(1))


def distance(word: str) -> int | str:
    """Yards to the line to gain, or :data:`GOAL`."""
    if plain(word) in _GOAL_WORDS:
        return GOAL
    yards = cells.whole(word)
    if not 1 <= yards <= 99:
        raise CellError("1 to 99 yards, or goal")
    return yards


def spot(word: str) -> int:
    """Yards to their goal line."""
    cleaned = re.sub(r"^([+\-−–]?\s*\d+)[.,]0*$", r"\1", word)
    if re.fullmatch(r"\d{1,2}", cleaned) and 1 <= int(cleaned) < 50:
        raise Ambiguous(int(cleaned))
    try:
        return read_spot(cleaned)
    except SpotError:
        raise CellError(f"a ball position: {ACCEPTED}") from None


def window(word: str) -> tuple[str, str | None, str | None]:
    """Window, the least open and the most open it may have been.

    >>> window("step..narrow"), window("even (step..narrow)"), window("n")
    (('even', 'narrow', 'step'), ('even', 'narrow', 'step'), ('narrow', None, None))
    """
    text = word.lower().replace("–", "..").replace(" to ", "..")
    match = re.fullmatch(r"([a-z?]+)\s*\(\s*([a-z?]+)\s*(?:\.\.|-)\s*([a-z?]+)\s*\)", text)
    if match:
        middle, ends = match.group(1), match.groups()[1:]
        return _window_range(_window_word(middle), *map(_window_word, ends))
    match = re.fullmatch(r"([a-z?]+)\s*(?:\.\.|-)\s*([a-z?]+)", text)
    if match:
        return _window_range(None, *map(_window_word, match.groups()))
    return _window_word(text), None, None


def _window_word(word: str) -> str:
    stored = WINDOW_LETTERS.get(word, word)
    if stored not in (*WINDOWS, UNSEEN):
        raise CellError(f"one of {', '.join(WINDOWS)}, {UNSEEN}, or a range such as step..narrow")
    return stored


def _window_range(middle: str | None, one: str, other: str) -> tuple[str, str | None, str | None]:
    if UNSEEN in (middle, one, other):
        raise CellError("a range between two of " + ", ".join(WINDOWS))
    first, last = WINDOWS.index(one), WINDOWS.index(other)
    if middle is None:
        # Between two words the one in the middle; of two in the middle the one nearer to the
        # word written first.
        centre = (first + last) // 2 if first <= last else -((-first - last) // 2)
        middle = WINDOWS[centre]
    most, least = sorted((first, last))
    if not most <= WINDOWS.index(middle) <= least:
        raise CellError("a window inside its own range, such as even (step..narrow)")
    return middle, WINDOWS[least], WINDOWS[most]


_CHANCE = r"(?:\d+[.,]?\d*|[.,]\d+)\s*%?"
_BETWEEN = r"\s*(?:-|–|\bto\b|\.\.)\s*"
_STATED = re.compile(rf"({_CHANCE})\s*\(\s*({_CHANCE}){_BETWEEN}({_CHANCE})\s*\)")
_SPAN = re.compile(rf"({_CHANCE}){_BETWEEN}({_CHANCE})")


def chance(word: str) -> Range:
    """A chance with its range.

    >>> chance(".6 (.4-.8)"), chance("60%"), chance(".4...8").value
    (Range(value=0.6, low=0.4, high=0.8), Range(value=0.6, low=0.6, high=0.6), 0.6)
    """
    expected = "a chance from 0 to 1, such as .6 or 60%, or with its range, .6 (.4-.8)"
    text = re.sub(r"\.\.(?=[.\d])", " to ", word.strip(), count=1)
    percent = "%" in text
    if match := _STATED.fullmatch(text):
        value, low, high = (_share(g, percent) for g in match.groups())
    elif match := _SPAN.fullmatch(text):
        low, high = (_share(g, percent) for g in match.groups())
        value = round((low + high) / 2, 6)
    elif re.fullmatch(_CHANCE, text):
        value = low = high = _share(text, percent)
    else:
        raise CellError(expected)
    if not (0 <= low <= 1 and 0 <= value <= 1 and 0 <= high <= 1):
        raise CellError(expected)
    if not low <= value <= high:
        raise CellError(expected + ", the figure inside its range, the lower end first")
    return Range(value, low, high)


def _share(text: str, percent: bool) -> float:
    figure = float(text.replace("%", "").strip().replace(",", "."))
    return round(figure / 100, 6) if percent else figure


def blame(word: str) -> dict[str, dict[str, float]]:
    """Shares by entry, then by party; shares of an entry sum to 1 (or to 100).

    >>> blame("left: qb 1; breaks: receiver .7 defense .3")["breaks"]
    {'receiver': 0.7, 'defense': 0.3}
    """
    expected = (
        f"shares of {', '.join(BLAME_PARTIES)} that sum to 1, such as quarterback .6 "
        "protection .4, for all entries or after an entry: left: quarterback 1; breaks: "
        "receiver .7 defense .3"
    )
    found: dict[str, dict[str, float]] = {}
    for part in filter(None, (p.strip() for p in word.lower().split(";"))):
        entry, colon, shares = part.partition(":")
        names = (entry.strip(),) if colon else ENTRIES
        if not set(names) <= set(ENTRIES) or any(name in found for name in names):
            raise CellError(expected)
        split = _shares(shares if colon else part, expected)
        found |= {name: dict(split) for name in names}
    if not found:
        raise CellError(expected)
    return found


def _shares(text: str, expected: str) -> dict[str, float]:
    pieces = text.replace("%", "").split()
    if len(pieces) % 2 or not pieces:
        raise CellError(expected)
    split: dict[str, float] = {}
    for party, share in zip(pieces[::2], pieces[1::2], strict=True):
        name = _PARTY_WORDS.get(party)
        if name is None or name in split:
            raise CellError(expected)
        split[name] = cells.number(share)
    total = sum(split.values())
    whole = 100 if total > 2 else 1
    if abs(total / whole - 1) > SHARE_ROUNDING or min(split.values()) < 0:
        raise CellError(expected)
    return {name: share / total for name, share in split.items()}
