"""Calls as data. Every rendering is made from these and nothing else.

Signs and units: everything is seen from the team that calls; points are expected net points,
wins are probabilities between 0 and 1; ``left`` is never negative.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pointsleft.pricing.result import Beside, Currency, Interval, PlayedOut, Verdict


@dataclass(frozen=True, slots=True)
class Settled:
    """How settled the best call is.

    Attributes
    ----------
    share
        Share of the refits that put the same call first.
    gap
        Best less second best.
    interval
        90% interval of the gap over the refits, both calls held fixed.
    """

    best: str
    second: str | None
    verdict: Verdict
    share: float
    gap: float
    interval: Interval


@dataclass(frozen=True, slots=True)
class Follow:
    """One way in which a call can end, and what comes next.

    Attributes
    ----------
    what
        In words, e.g. ``first down`` or ``stopped short``.
    chance
        Of the ways of its call they sum to 1.
    where
        Mean spot and whose ball, in words; empty after a score.
    seconds
        Mean seconds from snap to snap; ``None`` after a score.
    points, wins
        Mean worth of what comes next, the score of the play included.
    """

    what: str
    chance: float
    where: str
    seconds: float | None
    points: float | None
    wins: float | None


@dataclass(frozen=True, slots=True)
class BreakEven:
    """The chance of success at which a call ties with the best of the others.

    ``tie`` is ``None`` where no chance between 0 and 1 ties them. ``high`` and ``low`` are the
    two lines of the arithmetic: what success and failure are worth, each where the ball ends on
    average; the tie is ``(target - low) / (high - low)``.
    """

    currency: Currency
    target: float
    high: float
    low: float
    tie: float | None
    chance: float


@dataclass(frozen=True, slots=True)
class Choice:
    """One call.

    Attributes
    ----------
    kind
        ``go``, ``field goal``, ``punt``; a play named within go has kind ``go`` as well.
    named
        Whether it is a named play and not a pooled call; the verdict is among pooled calls.
    chance
        Of a conversion or a good kick; ``None`` for a punt.
    spread
        Standard deviation of the value over the refits.
    """

    name: str
    kind: str
    named: bool
    chance: float | None
    value: Mapping[Currency, float]
    spread: Mapping[Currency, float]
    interval: Mapping[Currency, Interval]
    follows: tuple[Follow, ...]
    break_even: Mapping[Currency, BreakEven]
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlayedCalls:
    """A fourth down before both witnesses: the exact sum, and every pooled call played out.

    Attributes
    ----------
    now
        The situation, the call left to what teams do.
    calls
        Call -> both values by currency; the same luck for all calls.
    first
        Currency -> the call that is first when played out.
    """

    now: PlayedOut
    calls: Mapping[str, Mapping[Currency, Beside]]
    first: Mapping[Currency, str]
    games: int

    def parted(self) -> dict[Currency, tuple[str, str]]:
        """Currency -> the call that is first when played out and that of the exact sum, where
        they are not the same. Both know the laws alone."""
        exact = {c: max(self.calls, key=lambda n: self.calls[n][c].value) for c in self.first}
        return {c: (one, exact[c]) for c, one in self.first.items() if one != exact[c]}


@dataclass(frozen=True, slots=True)
class FourthDown:
    """One fourth down with every call priced.

    ``settled`` compares the pooled calls. ``now`` is the worth of the situation as teams play it.
    """

    situation: str
    rules: str
    choices: tuple[Choice, ...]
    settled: Mapping[Currency, Settled]
    now: Mapping[Currency, float]
    notes: tuple[str, ...]
    refits: int
    played: PlayedCalls | None = None  # where it was played out as well

    def choice(self, name: str) -> Choice:
        """A call by its name."""
        return next(c for c in self.choices if c.name == name)


@dataclass(frozen=True, slots=True)
class PlayedTry:
    """Both tries played out from the kickoff that follows, the same luck in every branch.

    Attributes
    ----------
    none, one, two, kick, pair
        Chance to win and its standard error: after a try that fails, after one point, after two,
        and of both tries.
    gap, gap_error
        By how much ``ahead`` is ahead, and the standard error of that (paired).
    ahead
        The try that is worth more when played out.
    clear
        Whether it is ahead by more than the luck of the draw.
    """

    none: tuple[float, float]
    one: tuple[float, float]
    two: tuple[float, float]
    kick: tuple[float, float]
    pair: tuple[float, float]
    gap: float
    gap_error: float
    ahead: str
    clear: bool
    games: int


@dataclass(frozen=True, slots=True)
class Try:
    """After a touchdown: kick or two points.

    Attributes
    ----------
    lead
        Points ahead with the six in, before the try.
    none, one, two
        Chance to win after a try that fails, after one point, after two.
    kick, pair
        Chances that the kick is good, and that two points are made.
    tie
        Chance of two points at which both tries tie: ``kick * (one - none) / (two - none)``;
        ``None`` where nothing hangs on the try.
    """

    situation: str
    rules: str
    lead: int
    none: float
    one: float
    two: float
    kick: float
    pair: float
    value_kick: float
    value_pair: float
    tie: float | None
    settled: Settled
    refits: int
    beforehand: str = ""  # what the chances know of a pre-game spread; empty where there is none
    notes: tuple[str, ...] = ()
    played: PlayedTry | None = None  # where it was played out as well

    @property
    def parted(self) -> bool:
        """Whether another try is clearly ahead when played out than by the regression."""
        return (
            self.played is not None and self.played.clear and self.played.ahead != self.settled.best
        )
