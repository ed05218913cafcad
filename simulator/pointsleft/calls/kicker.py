"""What is known of this kick beyond its distance: the weather, and the kicker's own record."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from pointsleft_models.fitting.logit import expit
from pointsleft_models.laws.kicking import KickingLaw

from pointsleft.calls.weather import weather_odds
from pointsleft.pricing.judgement_table import judged

#: Shortest and longest kick that a record may hold, yards.
SHORTEST, LONGEST = 18, 70

_LINE = re.compile(r"\s*(\d{1,4})\s*/\s*(\d{1,4})\s*@\s*(\d{2})\s*")

ACCEPTED = "made/tried@yards, e.g. 9/10@33,8/11@44,2/5@52"


class RecordError(ValueError):
    """A kicker's record that cannot be read; the message lists everything wrong with it."""


@dataclass(frozen=True, slots=True)
class Kicks:
    """Kicks of about one distance."""

    made: int
    tried: int
    yards: int


def read_record(text: str) -> tuple[Kicks, ...]:
    """A kicker's record as it is typed.

    >>> read_record("9/10@33, 2/5@52")
    (Kicks(made=9, tried=10, yards=33), Kicks(made=2, tried=5, yards=52))

    Raises
    ------
    RecordError
        With every part that cannot be read.
    """
    found, faults = [], []
    for part in text.split(","):
        match = _LINE.fullmatch(part)
        if match is None:
            faults.append(f"{part.strip()!r} is no {ACCEPTED.split(',')[0]}")
            continue
        kicks = Kicks(*(int(g) for g in match.groups()))
        if kicks.made > kicks.tried or kicks.tried == 0:
            faults.append(f"{part.strip()!r}: made must be at most tried, and tried at least 1")
        elif not SHORTEST <= kicks.yards <= LONGEST:
            faults.append(f"{part.strip()!r}: a kick is {SHORTEST} to {LONGEST} yards long")
        else:
            found.append(kicks)
    if faults:
        raise RecordError("; ".join(faults) + f" (write {ACCEPTED})")
    return tuple(found)


def kicker_odds(law: KickingLaw, record: tuple[Kicks, ...], spread: float | None = None) -> float:
    """Log odds by which a kicker is better than the law, pulled toward none.

    The record is taken as kicks of the fitted law moved by one number of log odds, which before
    any kick is seen is normal around zero with the spread of ``kick.kicker``. The most likely
    number is given: a short record hardly moves it, a long one does.

    Parameters
    ----------
    spread
        Standard deviation between kickers, log odds; the table's where absent.
    """
    if not record:
        return 0.0
    tau = judged("kick.kicker").value if spread is None else spread
    made = np.array([k.made for k in record], dtype=float)
    tried = np.array([k.tried for k in record], dtype=float)
    chance = law.make_chance(np.array([k.yards for k in record]))[0]
    base = np.log(chance / (1 - chance))
    moved = 0.0
    for _ in range(50):  # concave: Newton's steps cannot go astray
        p = expit(base + moved)
        step = ((made - tried * p).sum() - moved / tau**2) / (
            (tried * p * (1 - p)).sum() + 1 / tau**2
        )
        moved += float(np.clip(step, -1.0, 1.0))
        if abs(step) < 1e-9:
            break
    return moved


def kick_odds(
    law: KickingLaw, record: tuple[Kicks, ...], weather: tuple[str, ...]
) -> tuple[float, list[str]]:
    """Log odds by which both move a kick, and what is to be told of it."""
    by_record, by_weather = kicker_odds(law, record), weather_odds(weather)
    notes = []
    if record:
        notes.append(f"The kicker's record moves the log odds of a kick by {by_record:+.2f}.")
    if weather:
        words = ", ".join(weather)
        notes.append(
            f"Weather and place ({words}) move the log odds of a kick by {by_weather:+.2f}."
        )
    return by_record + by_weather, notes
