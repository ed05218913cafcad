"""A ranking as data. Every page, table and text is made from these and nothing else.

Units: amounts a decision in points, or in win probability (0 to 1); shares 0 to 1. Intervals are
central 90% intervals. Everything is seen from the player's offense.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pointsleft.pricing.result import Currency, Interval


@dataclass(frozen=True, slots=True)
class Estimate:
    """One measure of one player.

    Attributes
    ----------
    raw
        Plain mean over his decisions (or share over their value); ``None`` without any.
    value, interval
        After shrinkage, on the usual mix of snaps of all logs together, with its 90% interval.
    own
        Share of his own games in the estimate; the rest is the middle of the class.
    decisions, games
        What it rests on.
    games_to_halve
        Further games like his that would halve the interval; ``None`` where no number would,
        since part of the doubt is the same for everybody.
    """

    raw: float | None
    value: float
    interval: Interval
    own: float
    decisions: int
    games: int
    games_to_halve: float | None


@dataclass(frozen=True, slots=True)
class Spreads:
    """How far the parts of the model lie apart: standard deviations of one decision's figure."""

    players: float
    games: float
    plays: float
    charters: float | None
    opponents: float | None


@dataclass(frozen=True, slots=True)
class Standing:
    """A class of players by one measure.

    Attributes
    ----------
    better
        +1 where more is better, -1 where less is, 0 where the figure is not his doing.
    middle
        The middle of the class, with its interval.
    order
        Players by their estimate, the better end first (the larger where it is not his doing);
        players of a single game stand apart from it.
    apart
        Players seen in one game only, by estimate; empty where nobody was seen in more.
    ahead
        Player -> other player -> chance that he is really the better (has the larger figure).
    places
        Player -> chance of each place, best first, over all players.
    settled
        Pairs by verdict word, over all players.
    """

    measure: str
    currency: Currency
    better: int
    middle: float
    middle_interval: Interval
    players: Mapping[str, Estimate]
    order: tuple[str, ...]
    apart: tuple[str, ...]
    ahead: Mapping[str, Mapping[str, float]]
    places: Mapping[str, tuple[float, ...]]
    settled: Mapping[str, int]
    spreads: Spreads


@dataclass(frozen=True, slots=True)
class Cell:
    """One player in one group of situations, after shrinkage; ``class_value`` is the middle of
    the class in that group."""

    player: str
    group: str
    decisions: int
    raw: float
    value: float
    interval: Interval
    class_value: float


@dataclass(frozen=True, slots=True)
class Contrast:
    """How a player differs between two groups: the first less the second, a decision."""

    player: str
    what: str
    decisions: tuple[int, int]
    raw: float | None
    value: float
    interval: Interval
    chance_more: float  # that the first is really larger


@dataclass(frozen=True, slots=True)
class Repeat:
    """Repeats of one concept by one player, in the order of the logs.

    ``interval`` is that of the share in which the best option was taken. A game that several people
    charted counts once, as the first of its logs has it.
    """

    concept: str
    taken: tuple[bool, ...]
    left: tuple[float, ...]
    interval: Interval


@dataclass(frozen=True, slots=True)
class Steadiness:
    """How evenly a player decides, in one currency.

    Attributes
    ----------
    spread
        Standard deviation of ``left`` between his decisions within a game, the difficulty of the
        snaps allowed for: raw, shrunken, interval. After a single game ``own`` is 0: it is what
        the others let expect.
    game_means
        Mean of ``left`` a decision in each game, in the order of the logs.
    """

    spread: Estimate
    game_means: tuple[tuple[str, float, int], ...]
    contrasts: tuple[Contrast, ...]
    repeats: tuple[Repeat, ...]


@dataclass(frozen=True, slots=True)
class Extreme:
    """The ranking by ``left`` under one reading of the doubtful reads."""

    name: str  # as logged | all in the read | none in the read
    order: tuple[str, ...]
    values: Mapping[str, float]
    first: Mapping[str, float]  # chance of being the best of all


@dataclass(frozen=True, slots=True)
class Moved:
    """One decision whose judgement would have to change."""

    player: str
    game: str
    snap: str
    clip: str | None
    situation: str
    left: float
    to: float
    hangs_on: str | None


@dataclass(frozen=True, slots=True)
class Swap:
    """The smallest change of judgement that puts two neighbours the other way round.

    ``moved`` is empty where no change within the charters' own ranges does it.
    """

    ahead: str
    behind: str
    gap: float
    moved: tuple[Moved, ...]


@dataclass(frozen=True, slots=True)
class Blame:
    """An entry split by who answers for it, a decision: party -> amount."""

    entry: str
    shares: Mapping[str, float]
    decisions_said: int  # decisions on which the log says more than the default


@dataclass(frozen=True, slots=True)
class Dear:
    """One of the decisions that left the most."""

    game: str
    them: str
    charter: str | None
    snap: str
    clip: str | None
    situation: str
    chosen: str
    best: str
    result: str
    left: float
    settled: float


@dataclass(frozen=True, slots=True)
class Player:
    """Who he is and what was seen of him."""

    name: str
    games: int
    logs: int
    decisions: int
    charters: tuple[str, ...]
    opponents: tuple[str, ...]
    teams: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ranking:
    """Everything the pages show.

    ``standings``: currency -> measure -> standing; ``left`` is always among the measures, another
    is missing where nothing could be told (execution that was never judged has no ``delivered``).
    ``cells``: currency -> measure -> dimension ->
    cells. ``blame``: currency -> player -> entries. ``dearest``: currency -> player -> decisions.
    """

    main: Currency
    players: Mapping[str, Player]
    standings: Mapping[Currency, Mapping[str, Standing]]
    cells: Mapping[Currency, Mapping[str, Mapping[str, tuple[Cell, ...]]]]
    steadiness: Mapping[Currency, Mapping[str, Steadiness]]
    blame: Mapping[Currency, Mapping[str, tuple[Blame, ...]]]
    extremes: Mapping[Currency, tuple[Extreme, ...]]
    swaps: Mapping[Currency, tuple[Swap, ...]]
    dearest: Mapping[Currency, Mapping[str, tuple[Dear, ...]]]
    charters: tuple[str, ...]
    games: int
    logs: int
    decisions: int
    refits: int
    draws: int
    seed: int
    warnings: tuple[str, ...]
