"""The calls of one fourth down played out: the second witness beside the exact sum."""

from __future__ import annotations

from collections.abc import Mapping

from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.start import Call, Opening
from pointsleft_models.playthrough.teams import Teams
from pointsleft_models.playthrough.witness import second_witness

from pointsleft.calls.fourth import price_fourth_down
from pointsleft.calls.result import PlayedCalls
from pointsleft.pricing.cells import snap_values
from pointsleft.pricing.played_out import ALONE, beside, play_out, seen_in, sides_of
from pointsleft.pricing.result import Beside, Currency

#: Call -> the word of the play-through.
FORCED: Mapping[str, Call] = {"go": "go", "field goal": "field goal", "punt": "punt"}


def play_calls(
    worth: Worth,
    playthrough: tuple[Parts, Teams],
    situation: Situation,
    *,
    games: int = ALONE,
    seed: int = 1,
) -> PlayedCalls:
    """Play every pooled call of a fourth down out.

    The call is forced on the snap and draws no flag; afterwards both sides play as sides have
    played. Points go to the next score of the half, wins to the end of the game. The exact
    values beside them are those of the laws alone: the play-through knows no kicker's record, no
    weather and no chance that somebody states.

    Raises
    ------
    ValueError
        Not a fourth down.
    """
    situation, _ = sides_of(worth, situation)
    exact = price_fourth_down(worth, situation)
    seconds = snap_values(worth, situation, gun=True, box=None).setting.half_seconds
    calls: dict[str, dict[Currency, Beside]] = {}
    for choice in exact.choices:
        seen = second_witness(
            *playthrough, worth.points, situation, games=games, seed=[seed, 1], seconds=seconds,
            opening=Opening(call=FORCED[choice.name]),
        )  # fmt: skip
        calls[choice.name] = {
            currency: beside(choice.value[currency], choice.spread[currency], played, error)
            for currency, (played, error) in seen_in(seen).items()
        }
    first: dict[Currency, str] = {}
    for currency in exact.now:
        first[currency] = max(calls, key=lambda name: calls[name][currency].played)
    now = play_out(worth, *playthrough, situation, "as teams call it", games=games, seed=[seed, 2])
    return PlayedCalls(now, calls, first, games)
