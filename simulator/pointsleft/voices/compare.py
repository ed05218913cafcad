"""Two logs of one game held against each other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
from pointsleft_models.bundle import Models

from pointsleft.game.price import price_game
from pointsleft.log.record import LoggedGame, Snap
from pointsleft.log.words import describe_situation
from pointsleft.pricing.progress import Progress
from pointsleft.pricing.result import CURRENCIES, Currency
from pointsleft.pricing.settings import PriceSettings
from pointsleft.voices.agreement import Topic, agreement
from pointsleft.voices.match import ENOUGH, Matched, match
from pointsleft.voices.merge import Voices, voices_of
from pointsleft.voices.moved import BothWays, both_ways

#: How often snaps are drawn again for the intervals.
DRAWS = 1000


class NotOneGame(ValueError):
    """The two logs are not logs of one game; the message says why."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """What two charters make of one game.

    Attributes
    ----------
    first, second
        Titles of the logs as given, by charter.
    matched
        Which snap is which, by index.
    only_first, only_second
        Snaps that the other does not have, in words.
    topics
        Agreement, topic by topic.
    prices
        Both readings priced, by currency.
    differences
        Items of the game sheets that differ.
    """

    title: str
    quarterback: str
    voices: Voices
    matched: Matched
    only_first: tuple[str, ...]
    only_second: tuple[str, ...]
    topics: tuple[Topic, ...]
    prices: Mapping[Currency, BothWays]
    differences: tuple[str, ...]
    seed: int
    draws: int
    refits: int

    def as_data(self) -> dict[str, Any]:
        """Plain values, ready for JSON."""
        return asdict(self)


def compare(
    first: LoggedGame,
    second: LoggedGame,
    models: Models,
    *,
    seed: int = 1,
    draws: int = DRAWS,
    refits: bool = True,
    progress: Progress | None = None,
) -> Comparison:
    """Match, measure and price two logs of one game.

    Parameters
    ----------
    draws
        How often snaps are drawn again for the intervals.
    refits
        Whether verdicts are worked out (a refit of every decision, twice).

    Raises
    ------
    NotOneGame
        Too few snaps match, or level, season or quarterback differ.
    """
    matched = match(first.snaps, second.snaps)
    _must_be_one(first, second, matched)
    seeds = np.random.SeedSequence(seed).spawn(3)
    pairs = [(first.snaps[i], second.snaps[j]) for i, j in matched.pairs]
    settings = PriceSettings(draws=0, judgement_draws=2, seed=seed, refits=refits)
    more = {} if progress is None else {"progress": progress}
    priced = (
        price_game(first, settings, models=models, **more),
        price_game(second, settings, models=models, **more),
    )
    return Comparison(
        title=first.title,
        quarterback=first.quarterback,
        voices=voices_of(first, second),
        matched=matched,
        only_first=tuple(_name(first.snaps[i]) for i in matched.only_first),
        only_second=tuple(_name(second.snaps[j]) for j in matched.only_second),
        topics=agreement(pairs, draws, np.random.default_rng(seeds[0])),
        prices={
            c: both_ways((first, second), priced, matched, c, draws, np.random.default_rng(own))
            for c, own in zip(CURRENCIES, seeds[1:], strict=True)
        },
        differences=tuple(_differences(first, second)),
        seed=seed,
        draws=draws,
        refits=priced[0].refits,
    )


def _must_be_one(first: LoggedGame, second: LoggedGame, matched: Matched) -> None:
    for name in ("level", "season", "quarterback"):
        a, b = getattr(first, name), getattr(second, name)
        if str(a).strip().lower() != str(b).strip().lower():
            raise NotOneGame(
                f"these are not two logs of one game: {name} is {a!r} in the first and {b!r} in "
                "the second; if it is a slip, mend the game sheet"
            )
    if matched.share < ENOUGH:
        found = len(matched.pairs)
        shorter = min(len(first.snaps), len(second.snaps))
        raise NotOneGame(
            f"these do not look like two logs of one game: only {found} of the {shorter} snaps of "
            "the shorter log match in quarter, clock, down and spot; check that both folders are "
            "of the same game"
        )


def _differences(first: LoggedGame, second: LoggedGame) -> list[str]:
    names = ("us", "them", "opening_kickoff_to", "final_us", "final_them", "spread")
    return [
        f"{name.replace('_', ' ')}: {a} / {b}"
        for name in names
        if (a := getattr(first, name)) is not None and (b := getattr(second, name)) is not None
        and a != b
    ]  # fmt: skip


def _name(snap: Snap) -> str:
    where = "a try" if snap.situation is None else describe_situation(snap.situation)
    return f"{snap.number}: {where}"
