"""Priced snaps and games as data. Every rendering is made from these and nothing else.

Signs and units: everything is seen from the offense being evaluated; points are expected net
points, wins are probabilities between 0 and 1. ``left`` is never negative.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Verdict = Literal["firm", "slight", "unsettled"]
Currency = Literal["points", "wins"]
CURRENCIES: tuple[Currency, ...] = ("points", "wins")


@dataclass(frozen=True, slots=True)
class Interval:
    """Central 90% interval."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Spread:
    """How one choice can end: a distribution of the value after the snap, less the value before.

    ``values`` rise and go with ``probabilities`` (which sum to 1), at most some 40 pairs
    (outcomes binned for drawing); mean, sd and quantiles are those of the full law.
    """

    mean: float
    sd: float
    p10: float
    p50: float
    p90: float
    values: tuple[float, ...]
    probabilities: tuple[float, ...]
    draws_mean: float | None
    draws: int


@dataclass(frozen=True, slots=True)
class OutcomeComparison:
    """Chosen against best, each drawn on its own.

    ``better_ends_worse`` is the chance, for independent draws, that the better choice would
    have ended worse than the one taken; ``lowest`` and ``highest`` bound it over every way in
    which the two could have moved together.
    """

    chosen: Spread
    best: Spread
    better_ends_worse: float
    lowest: float
    highest: float


@dataclass(frozen=True, slots=True)
class BreakEven:
    """Where the best missed option ties with what was chosen.

    ``chance`` is the completion (or conversion, or kick) chance at the tie, ``model_chance``
    what the law says; ``window`` is the window word whose odds lie nearest to the tie.
    ``None`` where no chance between 0 and 1 ties them.
    """

    option: str
    chance: float | None
    model_chance: float | None
    window: str | None


@dataclass(frozen=True, slots=True)
class DecisiveJudgement:
    """The smallest single change of a judgement that turns the verdict over."""

    subject: str  # e.g. "window of post"
    said: str  # what the log says (or the default)
    turns_at: str  # the nearest value at which another option becomes best
    then_best: str
    steps: float  # size of the change, in steps of that judgement's scale


@dataclass(frozen=True, slots=True)
class OptionValue:
    """One option of a snap, in one currency.

    ``share_best`` is the share of refits that put it first.
    """

    id: str
    value: float
    model: Interval
    share_best: float


@dataclass(frozen=True, slots=True)
class Ledger:
    """The four entries of one snap in one currency, with their spread.

    ``best`` is the option worth most among those that may have been in the read.
    ``offered - left + delivered + breaks = after - before``.
    """

    best: str
    before: float
    after: float
    offered: float
    left: float
    delivered: float
    breaks: float
    if_certain: float  # left, were every option certainly in the read
    flag: float  # the part of offered that a free play added
    interval_model: Interval
    interval_judgement: Interval
    crossfit_left: float  # half of the refits choose the best, the other half value it
    values: tuple[OptionValue, ...]
    outcome: OutcomeComparison
    break_even: tuple[BreakEven, ...]
    verdict: Verdict
    settled_share: float
    decisive: DecisiveJudgement | None
    blame: Mapping[str, Mapping[str, float]]  # entry -> party -> share
    left_by_refit: tuple[float, ...] = ()  # left under every refit, the best option held fixed


@dataclass(frozen=True, slots=True)
class Beside:
    """One value by the regression and by playing out, side by side.

    Attributes
    ----------
    value, spread
        By the regression, and the standard deviation of its refits.
    played, error
        Mean over the games played out, and its standard error.
    apart
        Whether they part by more than their joint spread.
    """

    value: float
    spread: float
    played: float
    error: float
    apart: bool


@dataclass(frozen=True, slots=True)
class PlayedOut:
    """One situation before both witnesses.

    ``when`` says where it stands in the decision: ``before the snap``, or after which option.
    ``sides`` says what both know of a pre-game spread; empty where there is none.
    """

    when: str
    situation: str
    games: int
    points: Beside | None
    wins: Beside | None
    sides: str = ""


@dataclass(frozen=True, slots=True)
class Assumption:
    """Something the log did not say and a documented default supplied."""

    code: str  # a row of the table of judgements
    subject: str  # option id, or "" for the snap
    text: str


@dataclass(frozen=True, slots=True)
class PricedOption:
    """What was assumed of an option and what it comes to."""

    id: str
    kind: str
    label: str  # in words, e.g. "post, 18 air yards, middle, narrow"
    points: float | None
    wins: float | None
    in_read: float
    chance: float | None  # completion, conversion or kick chance
    on_time: float | None  # chance that the ball is out before the rush
    sack: float | None
    hit: float  # expected hits on the quarterback
    air_yards: int | None
    third: str | None
    place: int | None
    window: str | None
    reaction: int
    assumed: tuple[str, ...]  # codes


@dataclass(frozen=True, slots=True)
class Decision:
    """One priced snap.

    ``facts`` carries the attributes of the situation under their own names (``period``,
    ``seconds``, ``down``, ``distance``, ``yards_to_goal``, ``lead``, ``hash`` ...); a key that
    is absent was not known. ``tags`` maps each dimension of the totals to this snap's group.
    """

    snap: str
    clip: str | None
    situation: str  # in words
    facts: Mapping[str, object]  # the situation as plain values
    chosen: str
    options: tuple[PricedOption, ...]
    points: Ledger | None
    wins: Ledger | None
    right_by_rule: bool | None
    rule_says: str | None
    result: str  # in words
    hit_taken: bool | None
    concept: str | None
    tags: Mapping[str, str]  # dimension -> group, for totals by situation
    assumptions: tuple[Assumption, ...]
    note: str | None
    played_out: tuple[PlayedOut, ...] = ()  # empty where it was not asked for


@dataclass(frozen=True, slots=True)
class UnpricedSnap:
    """A snap with no options: its change of value, with no split."""

    snap: str
    clip: str | None
    situation: str
    result: str
    points_before: float | None
    points_after: float | None
    wins_before: float | None
    wins_after: float | None
    reason: str


@dataclass(frozen=True, slots=True)
class Lines:
    """The lines of a game in one currency: start + priced + unpriced + between = end."""

    start: float
    priced: float
    unpriced: float
    between: float
    end: float


@dataclass(frozen=True, slots=True)
class Total:
    """Ledger totals over a group of decisions in one currency."""

    group: str
    decisions: int
    offered: float
    left: float
    delivered: float
    breaks: float
    crossfit_left: float
    taken: float | None  # share of the available value taken
    best_taken: int  # decisions in which the best option was the chosen one


@dataclass(frozen=True, slots=True)
class CoursePoint:
    """One step of the game's course."""

    snap: str
    clip: str | None
    elapsed: int | None  # seconds of game time gone
    wins: float
    left: float | None  # of a priced decision, in wins


@dataclass(frozen=True, slots=True)
class PricedGame:
    """A priced game: everything a report shows.

    Keys of the open mappings: ``headline`` has ``points_left``, ``wins_left`` (plain sums of
    ``left``) and ``points_taken``, ``wins_taken`` (share of the available value taken, 0 to 1,
    ``None`` where it is not defined); ``hits`` has ``chosen``, ``best`` (expected hits on the
    quarterback of what was chosen and of what was best) and ``taken`` (hits logged); ``totals``
    has a dimension ``concept`` besides the dimensions of ``Decision.tags``.
    """

    title: str
    us: str
    them: str
    quarterback: str
    level: str
    rules: str
    charter: str | None
    headline: Mapping[str, float | int | None]
    counts: Mapping[str, int]
    lines: Mapping[Currency, Lines | None]
    totals: Mapping[Currency, Mapping[str, tuple[Total, ...]]]  # currency -> dimension -> groups
    total_left: Mapping[Currency, Mapping[str, float]]  # currency -> low, value, high (crossfit)
    course: tuple[CoursePoint, ...]
    decisions: tuple[Decision, ...]
    unpriced: tuple[UnpricedSnap, ...]
    assumptions: Mapping[str, int]  # code -> how often
    assumption_texts: Mapping[str, str]
    hits: Mapping[str, float]  # asked for by the choices, by the best options; taken
    models: tuple[Mapping[str, str], ...]  # name, version, hash
    seed: int
    draws: int
    refits: int
    warnings: tuple[str, ...]
    beforehand: str = ""  # what the values know of a pre-game spread; empty where nothing
