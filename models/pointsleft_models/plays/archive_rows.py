"""One game file of the archive as flat rows: the only place that knows its layout.

A row keeps the line's own text and the figures of its statistic ids, summed over the players
credited. Ids are explained where they are used, in :mod:`~pointsleft_models.plays.archive`.
"""

from __future__ import annotations

import re
from typing import Any

#: Statistic ids whose yards are kept as a column ``y<id>`` (empty: the id is not on the line).
YARD_IDS = (
    10, 11, 12, 13, 14, 15, 16, 19, 20, 25, 26, 27, 28, 29, 30, 31, 32, 33, 34, 35, 36,
    41, 42, 43, 44, 45, 46, 47, 48, 59, 60, 61, 62, 63, 64, 69, 70, 71, 87, 88, 110, 111, 112, 113,
)  # fmt: skip

#: Statistic ids kept as a flag ``f<id>``.
FLAG_IDS = (
    2, 21, 22, 37, 38, 39, 40, 49, 50, 51, 52, 53, 54, 55, 56, 57, 58, 72, 73, 74, 75, 76, 77, 78,
    89, 104, 105, 106, 115,
)  # fmt: skip

BASE = (
    "game", "play", "drive", "period", "clock", "down", "distance", "spot", "offense", "text",
    "note", "timeout_team", "penalty_team", "penalty_yards",
)  # fmt: skip

COLUMNS = (*BASE, *(f"y{i}" for i in YARD_IDS), *(f"f{i}" for i in FLAG_IDS))

_YARD_AT = {stat: len(BASE) + at for at, stat in enumerate(YARD_IDS)}
_FLAG_AT = {stat: len(BASE) + len(YARD_IDS) + at for at, stat in enumerate(FLAG_IDS)}

TIMEOUT, PENALTY = 68, 93


def clock_seconds(text: str) -> int | None:
    """Seconds of a ``mm:ss`` clock; ``None`` for an empty one."""
    minutes, _, seconds = text.partition(":")
    if not seconds.isdigit():
        return None
    return 60 * int(minutes or 0) + int(seconds)


def play_rows(game: str, content: dict[str, Any]) -> list[list[Any]]:
    """Every line of a game in order, in the layout of :data:`COLUMNS`."""
    rows = []
    for drive, about in content["drives"].items():
        if drive == "crntdrv":
            continue
        for number, line in about["plays"].items():
            row: list[Any] = [None] * len(COLUMNS)
            row[: len(BASE)] = (
                game,
                int(number),
                int(drive),
                line["qtr"],
                clock_seconds(line["time"] or ""),
                line["down"],
                line["ydstogo"],
                line["yrdln"],
                line["posteam"],
                line["desc"],
                line["note"],
                None,
                None,
                None,
            )
            for credits in line["players"].values():
                for credit in credits:
                    stat, yards = credit["statId"], credit["yards"]
                    if stat in _YARD_AT:
                        at = _YARD_AT[stat]
                        row[at] = (row[at] or 0) + int(yards or 0)
                    elif stat in _FLAG_AT:
                        row[_FLAG_AT[stat]] = True
                    elif stat == TIMEOUT:
                        row[11] = credit["clubcode"]
                    elif stat == PENALTY and row[12] is None:
                        row[12], row[13] = credit["clubcode"], int(yards or 0)
            rows.append(row)
    rows.sort(key=lambda row: row[1])
    return rows


_BRACKET = re.compile(r"\(([^()]*)\)")


def score_rows(game: str, content: dict[str, Any]) -> list[tuple[str, int, str, str, int, int]]:
    """Every score: game, play number, team, what it was, its points, and points of the try.

    The list of scores is the archive's own and complete where the drives are not: plays after a
    return touchdown can be missing from the drives. The try stands in brackets after a
    touchdown; a defensive two-point return is a line without a type.
    """
    rows = []
    for number, score in content["scrsummary"].items():
        kind, text = score["type"], score["desc"]
        extra = 0
        if kind == "TD":
            what, points = "touchdown", 6
            brackets = _BRACKET.findall(text)
            attempt = brackets[-1] if brackets else ""
            if "is good" in attempt:
                extra = 1
            elif re.search(r"\b(pass|run)$", attempt):
                extra = 2
        elif kind == "FG":
            what, points = "field goal", 3
        elif kind == "SAF":
            what, points = "safety", 2
        else:
            what, points = "try return", 2
        rows.append((game, int(number), score["team"], what, points, extra))
    rows.sort(key=lambda row: row[1])
    return rows


def final_score(content: dict[str, Any]) -> tuple[str, str, int, int]:
    """Home team, visiting team and their final points."""
    home, away = content["home"], content["away"]
    return home["abbr"], away["abbr"], home["score"]["T"], away["score"]["T"]
