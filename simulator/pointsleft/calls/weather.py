"""What may be said of the weather and the place, and what each word moves.

Field goals by a published study. Punts from the own half by the archive, where cold and wind
foretell seasons that were left out; punts from farther up and tries for the line to gain it does
not move by anything that can be told from nothing, so they stay as they are (docs/calls.md).
"""

from __future__ import annotations

from pointsleft.pricing.judgement_table import judged

#: Word -> row of the table of judgements that moves the log odds of a place kick.
WEATHER: dict[str, str] = {
    "cold": "kick.cold",
    "wet": "kick.wet",
    "windy": "kick.wind",
    "high": "kick.high",
    "turf": "kick.turf",
}

#: Word -> row that moves where the other side starts after a punt, yards.
PUNTS: dict[str, str] = {"cold": "punt.cold", "windy": "punt.wind"}

#: Yards to goal beyond which a punt is kicked for distance.
OWN_HALF = 60


def weather_odds(words: tuple[str, ...]) -> float:
    """Log odds by which weather and place move a place kick, beside an average day."""
    return sum(judged(WEATHER[word]).value for word in words)


def punt_yards(words: tuple[str, ...], yards_to_goal: int) -> float:
    """Yards by which the other side starts farther up after a punt, beside an average day."""
    if yards_to_goal <= OWN_HALF:
        return 0.0
    return sum(judged(PUNTS[word]).value for word in words if word in PUNTS)
