"""Both tries after a touchdown played out: the second witness beside the regression."""

from __future__ import annotations

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.result import mean_error
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import Start
from pointsleft_models.playthrough.teams import Teams

from pointsleft.calls.result import PlayedTry, Try
from pointsleft.calls.tries import TRIES, TrySpot, half_and_seconds
from pointsleft.pricing.played_out import ALONE

Array = np.ndarray

#: Standard errors by which one try must be ahead to be said to come first.
CLEAR = 2.0


def play_try(
    worth: Worth,
    playthrough: tuple[Parts, Teams],
    at: TrySpot,
    priced: Try,
    *,
    games: int = ALONE,
    seed: int = 1,
) -> PlayedTry | None:
    """Play the rest of the game out from the kickoff after no point, one and two.

    The regression is smooth in the lead, so near a lead at which one point decides games it
    spreads that point over its neighbours. A game that is played out knows its score exactly.
    The three runs meet the same luck; the chances of both tries are those of ``priced``.

    Returns
    -------
    PlayedTry or None
        ``None`` where no time is left in the half: then nothing is left to play, or half-time.
    """
    half, seconds = half_and_seconds(worth.rules, at)
    if seconds == 0:
        return None
    parts, teams = playthrough
    start = Start(
        half=half, seconds=seconds, lead=at.lead, own_timeouts=at.own_timeouts,
        opponent_timeouts=at.other_timeouts, receives_second_half=at.receives_second_half,
        phase="kickoff",
    )  # fmt: skip
    # the sides are those of the moment, whatever the try brings: the same in all three runs
    sides = teams.sides(start, None if worth.wins.favoured is None else at.spread)
    none, one, two = (
        play_through(parts, start.with_(lead=at.lead + extra), games, [seed, 3], teams=sides).wins
        for extra in (0, 1, 2)
    )
    by_kick = priced.kick * one + (1 - priced.kick) * none
    by_pair = priced.pair * two + (1 - priced.pair) * none
    gap, error = mean_error(by_pair - by_kick)
    ahead = TRIES[1] if gap > 0 else TRIES[0]
    return PlayedTry(
        none=mean_error(none),
        one=mean_error(one),
        two=mean_error(two),
        kick=mean_error(by_kick),
        pair=mean_error(by_pair),
        gap=abs(gap),
        gap_error=error,
        ahead=ahead,
        clear=bool(abs(gap) > CLEAR * error),
        games=games,
    )
