"""The trade's words: open lists with their synonyms. An unknown word is kept as written."""

from __future__ import annotations

import csv
import re
from functools import cache
from importlib.resources import files

from pointsleft.log.schema import plain

_NUMBERS = {"no": 0, "zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "empty": 0}
_BACKS = re.compile(r"(\w+)\s*(?:running\s+)?(?:backs?|rbs?)\b")
_ENDS = re.compile(r"(\w+)\s*(?:tight\s+ends?|tes?)\b")


@cache
def _lists() -> dict[str, dict[str, str]]:
    text = files(__package__).joinpath("words.csv").read_text(encoding="utf-8")
    lists: dict[str, dict[str, str]] = {}
    for row in csv.DictReader(text.splitlines()):
        known = lists.setdefault(row["list"], {})
        for word in (row["word"], *filter(None, row["synonyms"].split(";"))):
            known.setdefault(plain(word), row["word"])
    return lists


def look_up(listing: str, word: str) -> str | None:
    """The stored word for a typed one, ``None`` when the list does not know it.

    >>> look_up("route", "Shallow Cross"), look_up("shell", "cover 4"), look_up("route", "moon")
    ('drag', 'quarters', None)
    """
    return _lists()[listing].get(plain(word))


def words(listing: str) -> tuple[str, ...]:
    """The stored words of an open list, in order."""
    return tuple(dict.fromkeys(_lists()[listing].values()))


def synonyms(listing: str, word: str) -> tuple[str, ...]:
    """What else may be typed for a stored word."""
    return tuple(t for t, w in _lists()[listing].items() if w == word and t != plain(word))


def listings() -> tuple[str, ...]:
    """Names of the open lists."""
    return tuple(_lists())


def _count(word: str) -> int | None:
    return int(word) if word.isdigit() else _NUMBERS.get(word)


def personnel(text: str) -> str | None:
    """Personnel as backs and tight ends in two digits; ``None`` when the words are not known.

    >>> personnel("11"), personnel("1 back 2 tight ends"), personnel("empty"), personnel("jumbo")
    ('11', '12', '00', None)
    """
    word = plain(text).removesuffix("personnel").removesuffix("p").strip()
    if re.fullmatch(r"[0-3][0-4]", word):
        return word if int(word[0]) + int(word[1]) <= 5 else None
    if word == "empty":
        return "00"
    backs, ends = _BACKS.search(word), _ENDS.search(word)
    if backs is None and ends is None:
        return None
    counts = [0 if found is None else _count(found.group(1)) for found in (backs, ends)]
    if None in counts or sum(c for c in counts if c is not None) > 5:
        return None
    return "".join(str(c) for c in counts)
