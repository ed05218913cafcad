"""The dearest decisions of a priced game, played out as a second witness."""

from __future__ import annotations

from dataclasses import replace

from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.rules import rule_set
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.teams import Teams

from pointsleft.game.dearest import dearest, ledger_of, main_currency
from pointsleft.log.record import LoggedGame, Snap
from pointsleft.pricing.comes_off import comes_off
from pointsleft.pricing.options import option_models
from pointsleft.pricing.played_out import GAMES, play_out
from pointsleft.pricing.progress import Progress, quiet
from pointsleft.pricing.result import Currency, Decision, PlayedOut, PricedGame
from pointsleft.pricing.snap import logged_values


def with_played_out(
    priced: PricedGame,
    log: LoggedGame,
    models: Models,
    playthrough: tuple[Parts, Teams],
    most: int,
    *,
    games: int = GAMES,
    progress: Progress = quiet,
) -> PricedGame:
    """The same game with its dearest decisions played out.

    Of each the situation before the snap, and the one to which the best option leads where it
    comes off (:func:`pointsleft.pricing.comes_off.comes_off`).

    Parameters
    ----------
    priced, log
        A game and the log that it was priced from.
    playthrough
        Parts and teams under the rules of the game.
    most
        How many decisions.
    games
        Games that a situation is played out.
    """
    worth = models.under(rule_set(log.level, log.season))
    main = main_currency(priced)
    wanted = [decision for decision, _ in dearest(priced, main, most)]
    snaps = {snap.number: snap for snap in log.snaps}
    found = {
        decision.snap: _witnessed(
            worth, playthrough, snaps[decision.snap], decision, main, games, [priced.seed, at]
        )
        for at, decision in enumerate(progress(wanted, len(wanted), "playing out"))
    }
    return replace(
        priced,
        decisions=tuple(
            replace(d, played_out=found[d.snap]) if d.snap in found else d for d in priced.decisions
        ),
    )


def _witnessed(
    worth: Worth, playthrough: tuple[Parts, Teams], snap: Snap, decision: Decision,
    main: Currency, games: int, seed: list[int],
) -> tuple[PlayedOut, ...]:  # fmt: skip
    situation = snap.situation
    assert situation is not None
    ledger = ledger_of(decision, main)
    assert ledger is not None
    wanted = [("before the snap", situation)]
    values = logged_values(worth, snap)
    best = next(m for m in option_models(worth, values.setting, snap) if m.id == ledger.best)
    after = comes_off(worth, values, best)
    if after is not None:
        wanted.append((f"after {best.id}, where it comes off", after))
    return tuple(
        play_out(worth, *playthrough, where, when, games=games, seed=[*seed, number])
        for number, (when, where) in enumerate(wanted)
    )
