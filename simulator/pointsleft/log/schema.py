"""The sheets of a log and their columns, in our order: the one truth about the format.

The table itself is ``columns.csv``. The template, the reader, the checker and
``docs/log-reference.md`` are all made from it.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from pointsleft.log import record

SHEETS = ("game", "snaps", "options", "concepts")

#: Sheets without which there is no log.
REQUIRED_SHEETS = ("game", "snaps")

#: Columns of the game sheet, which has one item a row.
GAME_COLUMNS = ("item", "value")

#: Closed lists: the words stored, each with what else may be typed for it.
CHOICES: dict[str, dict[str, tuple[str, ...]]] = {
    "level": {"professional": ("pro",), "college": ()},
    "side": {"us": ("we", "ours"), "them": ("they", "theirs")},
    "logged": {"all": ("yes",), "some": ("no",)},
    "third": {"left": ("l",), "middle": ("m", "center", "centre", "c"), "right": ("r",)},
    "alignment": {"under": ("under centre", "under center", "u"), "pistol": ("p",),
                  "gun": ("shotgun", "g", "s")},
    "family": {
        "drop-back": ("db", "dropback", "drop back", "pass"),
        "quick": ("q", "quick game"),
        "play-action": ("pa", "play action"),
        "rpo": ("run-pass option", "run pass option"),
        "option": ("opt", "option run"),
        "qb-run": ("qb", "qb run", "designed quarterback run", "quarterback run"),
        "hand-off": ("ho", "handoff", "hand off", "run"),
        "screen": ("scr",),
        "sprint-out": ("so", "sprint", "sprint out"),
        "kick": ("k",),
        "try": (),
        "spike": (),
        "kneel": (),
    },
    "kind": {
        "throw": ("t", "pass"),
        "give": ("gv", "hand-off"),
        "keep": ("kp", "pull"),
        "pitch": ("pt",),
        "run": (),
        "scramble": ("scr",),
        "throw-away": ("ta", "throwaway", "throw away"),
        "field-goal": ("fg", "field goal"),
        "punt": (),
        "go": ("gfi", "go for it"),
    },
    "field_side": {"field": ("f", "wide side"), "boundary": ("b", "short side")},
    "gap": {"middle": ("m",), "guard": ("g",), "tackle": ("t",), "end": ("e", "edge")},
    "drop": {"1": ("one",), "3": ("three",), "5": ("five",), "7": ("seven",)},
    "free_why": {
        "by-design": ("design", "by design", "unblocked"),
        "missed-assignment": ("missed", "missed assignment", "bust"),
        "beaten": ("beat",),
        "stunt": ("twist",),
        "held-too-long": ("held", "held too long"),
    },
    "read_kind": {
        "full-field": ("full", "full field"),
        "half-field": ("half", "half field"),
        "key-defender": ("key", "key defender"),
        "option-key": ("option", "option key"),
        "pre-snap": ("pre", "access", "pre snap"),
        "hot": ("sight adjustment",),
    },
    "key_action": dict.fromkeys(("crash", "squeeze", "sit", "scrape", "widen", "drop"), ()),
    "phase": {"rhythm": ("in rhythm",), "hitched": ("hitch",), "moved": (),
              "scramble-drill": ("scramble drill",)},
    "platform": {"set": (), "left": ("moving left",), "right": ("moving right",),
                 "across": ("across the body",), "hit": ("hit while throwing",)},
    "missed": {"not-seen": ("not seen", "unseen"), "late": (), "refused": (),
               "bailed-out": ("bailed out", "bailed"), "locked-on": ("locked on", "locked")},
    "placement": {"in-stride": ("in stride",), "reach": (), "behind": (), "high": (), "low": (),
                  "wide": (), "to-defender": ("to defender", "to the defender")},
    "timing": {"early": (), "on": ("on time",), "late": ()},
    "security": dict.fromkeys(record.SECURITIES, ()),
    "result": {
        "complete": ("c", "comp", "caught"),
        "drop": ("d", "dropped"),
        "batted": ("bat",),
        "tipped": ("tip",),
        "broken-up": ("bu", "broken up"),
        "incomplete": ("i", "inc"),
        "interception": ("int", "picked"),
        "dropped-interception": ("dint", "dropped interception"),
        "throw-away": ("ta", "throw away", "throwaway"),
        "scramble": ("scr",),
        "sack": ("s", "sacked"),
        "run": ("r", "rush"),
        "good": ("g",),
        "no-good": ("ng", "no good", "missed"),
        "blocked": ("blk",),
        "punt": ("p",),
        "spike": (),
        "kneel": (),
        "no-play": ("np", "no play"),
    },
    "fumble": {"kept": ("recovered",), "lost": ()},
    "ended": {"in": ("in bounds",), "out": ("out of bounds", "oob"), "slide": ("slid",)},
    "flag_side": {"offense": ("us", "o", "offence"), "defense": ("them", "d", "defence")},
    "flag_when": {"before": ("before the snap",), "dead": ("dead ball",), "live": (),
                  "after": ("after the play",)},
    "flag_decision": {"accepted": ("acc",), "declined": ("dec",), "offset": ("offsetting",)},
    "flag_from": {"previous": ("previous spot",), "end": ("end of the play",)},
    "sure": {"sure": (), "likely": ("fairly",), "guess": ("unsure",)},
}  # fmt: skip

#: Largest and smallest whole numbers, by sheet and column; outside is a fault.
LIMITS = {
    ("game", "spread"): (-60, 60),
    ("game", "frame rate"): (1, 1000),
    ("game", "final us"): (0, 150),
    ("game", "final them"): (0, 150),
    ("snaps", "play clock"): (0, 40),
    ("snaps", "us"): (0, 150),
    ("snaps", "them"): (0, 150),
    ("snaps", "down"): (1, 4),
    ("snaps", "our timeouts"): (0, 3),
    ("snaps", "their timeouts"): (0, 3),
    ("snaps", "box"): (0, 11),
    ("snaps", "blockers"): (0, 10),
    ("snaps", "rushers"): (0, 11),
    ("snaps", "free depth"): (0, 25),
    ("snaps", "yards"): (-99, 99),
    ("snaps", "flag yards"): (0, 99),
    ("options", "air yards"): (-15, 70),
    ("options", "read"): (1, 9),
    ("options", "hitches"): (0, 4),
    ("options", "reaction"): (1, 3),
    ("concepts", "air yards"): (-15, 70),
    ("concepts", "read"): (1, 9),
    ("concepts", "hitches"): (0, 4),
}

YES = ("yes", "y", "x", "true", "1")
NO = ("no", "n", "false", "0", "-")


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a sheet (one item of the game sheet).

    Attributes
    ----------
    kind
        How its cells are read; ``choice:`` and ``word:`` name a closed or an open list.
    field
        Name of the value in the record.
    accepts, units, default, meaning
        For people.
    core
        Whether a new log carries it from the start; all others may be added by header.
    required
        Whether a blank is a fault.
    """

    sheet: str
    group: str
    name: str
    kind: str
    field: str
    accepts: str
    units: str
    default: str
    core: bool
    required: bool
    meaning: str

    @property
    def choices(self) -> dict[str, tuple[str, ...]] | None:
        """The closed list of this column, if it has one."""
        return CHOICES[self.kind[7:]] if self.kind.startswith("choice:") else None

    @property
    def open_list(self) -> str | None:
        """The open list of this column, if it has one."""
        return self.kind[5:] if self.kind.startswith("word:") else None

    @property
    def limits(self) -> tuple[int, int] | None:
        return LIMITS.get((self.sheet, self.name))


@cache
def _table() -> tuple[Column, ...]:
    text = files(__package__).joinpath("columns.csv").read_text(encoding="utf-8")
    columns = []
    for row in csv.DictReader(text.splitlines()):
        row["name"] = row.pop("column")
        flags = {name: row.pop(name) == "yes" for name in ("core", "required")}
        columns.append(Column(**row, **flags))  # type: ignore[arg-type]
    return tuple(columns)


@cache
def columns(sheet: str) -> tuple[Column, ...]:
    """Columns of a sheet in our order (items of the game sheet)."""
    return tuple(c for c in _table() if c.sheet == sheet)


@cache
def by_name(sheet: str) -> dict[str, Column]:
    """Columns of a sheet by the plain form of their name."""
    return {plain(c.name): c for c in columns(sheet)}


def plain(name: str) -> str:
    """A header as it is compared: small letters, one blank for any blank, dash or underscore.

    >>> plain(" Our_Timeouts "), plain("air-yards")
    ('our timeouts', 'air yards')
    """
    return " ".join(name.replace("_", " ").replace("-", " ").lower().split())
