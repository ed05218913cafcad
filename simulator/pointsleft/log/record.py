"""A logged game as frozen values: what the sheets say, after reading and checking.

``None`` always means "the charter did not say". Defaults are not filled in here: they belong
to the valuing, which marks every one it used. What *is* filled in here is what follows from
the log itself (situation carried forward, concept templates, shorthand), and the names of the
fields so filled stand in ``derived``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from pointsleft_models.football.situation import Situation

#: Kinds of option. ``go`` is a fourth-down try with no play named.
OPTION_KINDS = (
    "throw",
    "give",
    "keep",
    "pitch",
    "run",
    "scramble",
    "throw-away",
    "field-goal",
    "punt",
    "go",
)

#: How a snap ended. ``run`` covers hand-off, keep and pitch.
RESULTS = (
    "complete",
    "drop",
    "batted",
    "tipped",
    "broken-up",
    "incomplete",
    "interception",
    "dropped-interception",
    "throw-away",
    "scramble",
    "sack",
    "run",
    "good",
    "no-good",
    "blocked",
    "punt",
    "spike",
    "kneel",
    "no-play",
)

#: How open a receiver is at his deadline, from most to least; ``unseen`` means that this film
#: does not show it.
WINDOWS = ("loose", "step", "even", "narrow", "smothered")
UNSEEN = "unseen"

PLACEMENTS = ("in-stride", "reach", "behind", "high", "low", "wide", "to-defender")
TIMINGS = ("early", "on", "late")
SECURITIES = ("secure", "loose", "careless")
PHASES = ("rhythm", "hitched", "moved", "scramble-drill")
MISSED = ("not-seen", "late", "refused", "bailed-out", "locked-on")
BLAME_PARTIES = ("call", "quarterback", "protection", "receiver", "defense")


@dataclass(frozen=True, slots=True)
class Range:
    """A stated figure with its range: ``low <= value <= high``."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class LoggedOption:
    """One option of a snap.

    Attributes
    ----------
    id
        Unique within the snap, e.g. ``post`` or ``post 2``.
    kind
        One of :data:`OPTION_KINDS`.
    route
        Canonical route name where the word is known, else the charter's own word.
    air_yards
        Yards past the line of scrimmage at which the ball would be caught (may be negative).
    third
        Third of the field from behind the offense: ``left``, ``middle``, ``right``.
    side
        ``field`` or ``boundary`` (wide or short side from the hash), for runs and throws.
    gap
        For runs: ``middle``, ``guard``, ``tackle``, ``end``.
    place
        Place in the read, 1 first.
    group
        Options that share a read group exclude one another as first read.
    drop, hitches
        Steps of the drop (1, 3, 5, 7) and hitches after it, when the ball must be out.
    window
        One of :data:`WINDOWS` or :data:`UNSEEN`, judged at the deadline.
    window_low, window_high
        The least and the most open it may have been, as words.
    in_read
        Chance that the option was in the read, with its range (0 to 1).
    chance
        Chance of success stated outright by the analyst: completion of a throw, conversion of
        ``go``, a kick that is good.
    reaction
        1 for the play as designed, 2 after it broke down.
    """

    id: str
    kind: str
    route: str | None = None
    air_yards: int | None = None
    third: str | None = None
    side: str | None = None
    gap: str | None = None
    place: int | None = None
    group: str | None = None
    drop: int | None = None
    hitches: int | None = None
    window: str | None = None
    window_low: str | None = None
    window_high: str | None = None
    in_read: Range | None = None
    chance: Range | None = None
    reaction: int = 1
    note: str | None = None
    derived: frozenset[str] = frozenset()
    row: int | None = None
    extra: Mapping[str, str] = field(default_factory=dict)  # columns that are not ours


@dataclass(frozen=True, slots=True)
class Call:
    """What was called."""

    personnel: str | None = None
    formation: str | None = None
    alignment: str | None = None  # under | pistol | gun
    motion: str | None = None
    family: str | None = None
    concept: str | None = None
    flipped: bool | None = None
    audible: str | None = None  # by whom


@dataclass(frozen=True, slots=True)
class Defense:
    """What the defense showed and did. ``free_depth`` is in yards behind the line."""

    shell_before: str | None = None
    shell_after: str | None = None
    disguise: bool | None = None
    box: int | None = None
    blockers: int | None = None
    conflict: str | None = None
    rushers: int | None = None
    free_rusher: bool | None = None
    free_side: str | None = None  # left | middle | right
    free_depth: float | None = None
    free_why: str | None = None
    protection: str | None = None
    slide: str | None = None


@dataclass(frozen=True, slots=True)
class Read:
    """What was to be read, and what the rule of the play then says."""

    kind: str | None = None
    key: str | None = None
    key_action: str | None = None  # crash | squeeze | sit | scrape | widen | drop
    rule_says: str | None = None  # id or kind of an option
    hot_required: bool | None = None
    hot_seen_by_quarterback: bool | None = None
    hot_seen_by_receiver: bool | None = None


@dataclass(frozen=True, slots=True)
class Flag:
    """A penalty on the snap. ``side`` is ``offense`` or ``defense``."""

    side: str
    when: str | None = None  # before | dead | live | after
    decision: str | None = None  # accepted | declined | offset
    yards: int | None = None
    loss_of_down: bool | None = None
    foul: str | None = None
    enforced_from: str | None = None  # previous | end (of the play); None: by ``when``


@dataclass(frozen=True, slots=True)
class Happened:
    """What was done and what came of it. ``yards`` is the net gain on the play."""

    chosen: str | None = None  # id of an option
    phase: str | None = None
    platform: str | None = None
    missed_why: str | None = None
    placement: str | None = None
    timing: str | None = None
    security: str | None = None
    result: str | None = None
    yards: int | None = None
    touchdown: bool = False
    fumble: str | None = None  # kept | lost
    ended: str | None = None  # in | out | slide
    end_yards_to_goal: int | None = None  # where the other side takes over, from ITS view
    defense_scored: bool = False
    safety: bool = False
    hit: bool | None = None
    flag: Flag | None = None


@dataclass(frozen=True, slots=True)
class Snap:
    """One row of the log.

    ``situation`` is ``None`` for a try and for a row whose situation is not logged.
    """

    number: str
    clip: str | None
    situation: Situation | None
    tempo: str | None
    play_clock: int | None
    call: Call
    defense: Defense
    read: Read
    happened: Happened
    options: tuple[LoggedOption, ...] = ()
    blame: Mapping[str, Mapping[str, float]] | None = None  # entry -> party -> share
    sure: str | None = None
    note: str | None = None
    us: int | None = None
    them: int | None = None
    derived: frozenset[str] = frozenset()
    row: int | None = None
    extra: Mapping[str, str] = field(default_factory=dict)  # columns that are not ours


@dataclass(frozen=True, slots=True)
class LoggedGame:
    """A whole log."""

    title: str
    level: str
    season: int
    us: str
    them: str
    quarterback: str
    snaps: tuple[Snap, ...]
    opening_kickoff_to: str | None = None  # us | them
    spread: float | None = None  # points by which "us" was favoured
    wind: str | None = None
    film: str | None = None
    frame_rate: float | None = None
    charter: str | None = None
    final_us: int | None = None
    final_them: int | None = None
    every_snap: bool = True  # every snap of our offense is logged
    warnings: tuple[str, ...] = ()
    extra: Mapping[str, str] = field(default_factory=dict)
