"""One game's own calls: every fourth down with what was called and what it left."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.rules import rule_set
from pointsleft_models.football.situation import Situation

from pointsleft.calls.fourth import price_fourth_down
from pointsleft.calls.parts import OPTIONS
from pointsleft.calls.play_table import UNSEEN, FourthDowns
from pointsleft.calls.result import FourthDown
from pointsleft.calls.seasons import rules_of
from pointsleft.log.check import is_decision
from pointsleft.log.follow import wiped_out
from pointsleft.log.record import LoggedGame, Snap
from pointsleft.pricing.beforehand import spread_told
from pointsleft.pricing.progress import Progress, quiet
from pointsleft.pricing.result import CURRENCIES, Currency
from pointsleft.pricing.settings import PriceSettings
from pointsleft.pricing.snap import price_snap

_KICKS = {"field-goal": "field goal", "punt": "punt"}
_KICK_RESULTS = {"good": "field goal", "no-good": "field goal", "punt": "punt"}


@dataclass(frozen=True, slots=True)
class Inside:
    """What a fourth-down play offered and what the quarterback left, by currency.

    Attributes
    ----------
    offered
        Best of the options of the play, as far as they were in the read, less the situation: the
        call's share.
    left
        The same best less the option taken: the quarterback's share, never negative.
    """

    chosen: str
    best: Mapping[Currency, str]
    offered: Mapping[Currency, float]
    left: Mapping[Currency, float]


@dataclass(frozen=True, slots=True)
class CalledDown:
    """One fourth down of a game.

    Attributes
    ----------
    called
        A word of :data:`~pointsleft.calls.parts.OPTIONS`, empty where no call is seen.
    left
        Best pooled call less the one made; 0 where it was made, empty where it cannot be said.
    inside
        Where the log names the options of the play.
    """

    label: str
    facts: Mapping[str, int | None]
    called: str
    priced: FourthDown
    left: Mapping[Currency, float]
    inside: Inside | None = None


@dataclass(frozen=True, slots=True)
class GameCalls:
    """A game's fourth downs in order, of one team."""

    title: str
    team: str
    rules: str
    refits: int
    calls: tuple[CalledDown, ...]
    spread: str = ""  # what was done with a pre-game spread; empty where there is none

    def total(self, currency: Currency) -> float:
        """Left by all calls that can be valued: the plain sum."""
        return sum(c.left.get(currency, 0.0) for c in self.calls)


def calls_of_log(game: LoggedGame, models: Models, *, progress: Progress = quiet) -> GameCalls:
    """The fourth downs of a log."""
    worth = models.under(rule_set(game.level, game.season))
    following = [*game.snaps[1:], None]
    rows = [
        (snap, after)
        for snap, after in zip(game.snaps, following, strict=True)
        if snap.situation is not None and snap.situation.down == 4 and _is_call(snap)
    ]
    found = [
        _logged(worth, snap, after)
        for snap, after in progress(rows, len(rows), "pricing fourth downs")
    ]
    told = spread_told(models, game.spread)
    return GameCalls(game.title, game.us, worth.rules.name, models.refits, tuple(found), told)


def calls_of_table(
    table: FourthDowns, rows: np.ndarray, models: Models, *, title: str, team: str,
    progress: Progress = quiet,
) -> GameCalls:  # fmt: skip
    """Some fourth downs of a play table, of one game and team."""
    worth = models.under(rules_of(table.level, int(table.season[rows[0]])))
    found = []
    for row in progress(rows, len(rows), "pricing fourth downs"):
        at = table.at
        receives = None if at.receives[row] == 0 else bool(at.receives[row] > 0)
        situation = Situation(
            int(table.period[row]), int(table.clock[row]), 4, int(at.distance[row]),
            int(at.yards_to_goal[row]), int(at.lead[row]), worth.rules,
            int(at.own_timeouts[row]), int(at.other_timeouts[row]), receives,
            spread=None if np.isnan(at.spread[row]) else float(at.spread[row]),
        )  # fmt: skip
        code = int(table.called[row])
        called = "" if code == UNSEEN else OPTIONS[code]
        found.append(_called(worth, situation, called, f"play {int(table.play[row])}"))
    spread = float(table.at.spread[rows[0]])
    told = "" if np.isnan(spread) else spread_told(models, spread)
    return GameCalls(title, team, worth.rules.name, models.refits, tuple(found), told)


def _is_call(snap: Snap) -> bool:
    """A kneel or a spike is no call, nor is a play that a flag took back."""
    if snap.call.family in ("kneel", "spike") or snap.happened.result in ("kneel", "spike"):
        return False
    return not wiped_out(snap.happened)


def _called(worth: Worth, situation: Situation, called: str, label: str) -> CalledDown:
    priced = price_fourth_down(worth, situation)
    there = {c.name for c in priced.choices}
    left: dict[Currency, float] = {}
    if called in there:
        for currency, settled in priced.settled.items():
            best = priced.choice(settled.best).value[currency]
            left[currency] = best - priced.choice(called).value[currency]
    facts = {
        "period": situation.period, "seconds": situation.seconds, "distance": situation.distance,
        "yards_to_goal": situation.yards_to_goal, "lead": situation.lead,
    }  # fmt: skip
    return CalledDown(label, facts, called, priced, left)


def _logged(worth: Worth, snap: Snap, after: Snap | None) -> CalledDown:
    assert snap.situation is not None
    label = snap.clip or f"snap {snap.number}"
    down = _called(worth, snap.situation, call_of(snap), label)
    return replace(down, inside=_inside(worth, snap, after))


def call_of(snap: Snap) -> str:
    """What was called on a logged fourth down, empty where the log does not say."""
    chosen = next((o for o in snap.options if o.id == snap.happened.chosen), None)
    if chosen is not None:
        return _KICKS.get(chosen.kind, "go")
    result = snap.happened.result
    if result in _KICK_RESULTS:
        return _KICK_RESULTS[result]
    if result is None or result == "blocked":
        return ""
    return "go"


def _inside(worth: Worth, snap: Snap, after: Snap | None) -> Inside | None:
    """The play's own ledger; the kicks are the bench's and no part of it."""
    play = tuple(o for o in snap.options if o.kind not in (*_KICKS, "go"))
    own = replace(snap, options=play)
    if len(play) < 2 or snap.happened.chosen not in {o.id for o in play} or not is_decision(own):
        return None
    settings = PriceSettings(draws=0, judgement_draws=2)
    decision = price_snap(worth, own, after, settings, np.random.default_rng(0))
    ledgers = {c: led for c in CURRENCIES if (led := getattr(decision, c)) is not None}
    return Inside(
        chosen=decision.chosen,
        best={c: led.best for c, led in ledgers.items()},
        offered={c: led.offered for c, led in ledgers.items()},
        left={c: led.left for c, led in ledgers.items()},
    )
