"""Pricing the actions of one late situation by playing the rest of the half out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.result import mean_error
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import Phase, start_of
from pointsleft_models.playthrough.teams import Teams
from pointsleft_models.playthrough.whistle import Until

from pointsleft.endgame.actions import Action, actions_at
from pointsleft.endgame.choices import EndgameChoice, EndgameChoices, Refusal, Side
from pointsleft.endgame.halftime import end_of_game, half_time, worth_of_margins
from pointsleft.endgame.notes import notes_on
from pointsleft.endgame.race import Race, race
from pointsleft.log.words import describe_situation, spread_words
from pointsleft.pricing.result import Interval, Verdict

Array = np.ndarray

#: Continuations of every action at the first look, and the most that any action gets.
FIRST, BUDGET = 20_000, 160_000

#: Seconds left in the half up to which a choice gets the whole budget. A continuation takes time
#: by the snaps it lasts, so before that there are fewer in proportion.
WHOLE_BUDGET_FROM = 45

#: Chance to win by which the rest-of-game simulator may be off late in a game (a judgement, from
#: the archive: docs/late-choices.md): a lead that may be smaller than this is slight.
SIMULATOR_DOUBT = 0.02


class EndgameError(ValueError):
    """Nothing can be priced; the message says everything that stands in the way."""


@dataclass(frozen=True, slots=True)
class EndgameSettings:
    """How much is drawn, and with what seed.

    Attributes
    ----------
    first, budget
        Continuations of every action at the first look, and the most that any action gets
        (``None``: what the time that is left allows, :func:`affordable`).
    workers
        Processes; the figures do not depend on them.
    """

    first: int = FIRST
    budget: int | None = None
    seed: int = 1
    workers: int = 1


def affordable(seconds: int) -> int:
    """Continuations of an action with so many seconds left in the half.

    >>> [affordable(s) for s in (20, 45, 90, 1440)]
    [160000, 160000, 80000, 20000]
    """
    return max(min(BUDGET * WHOLE_BUDGET_FROM // max(seconds, 1), BUDGET), FIRST)


def price_endgame(
    parts: Parts,
    worth: Worth,
    situation: Situation,
    *,
    side: Side = "offense",
    phase: Phase = "snap",
    wanted: tuple[str, ...] = (),
    settings: EndgameSettings | None = None,
    teams: Teams | None = None,
) -> EndgameChoices:
    """Price what a side can do.

    Parameters
    ----------
    parts
        The rest-of-game simulator under the rules of the situation.
    worth
        The regressions, for what a lead is worth at half-time.
    situation
        From the offense; before a kickoff, from the side that kicks. ``clock_running`` says that
        the clock runs while the side decides.
    side
        Who chooses: the offense, or the defense.
    wanted
        Words of the actions to be priced; all that there are when empty.
    teams
        How sides differ (their reach is what is asked): with it a pre-game spread makes one side
        the better one while the half is played out; equal sides without.

    Raises
    ------
    EndgameError
        Clock or score are not known, or no action exists.
    """
    settings = settings or EndgameSettings()
    if not situation.has_wins:
        raise EndgameError("late choices are priced in wins, which need the clock and the score")
    start = start_of(situation).with_(phase=phase)
    actions, refused = actions_at(start, side, wanted)
    if not actions:
        raise EndgameError("no action to price:" + _because(refused))
    view = 1 if side == "offense" else -1
    value = _value(worth, situation)
    sides = None
    if teams is not None and situation.spread is not None:
        sides = teams.favoured_by(situation.spread)
    until: Until = "game" if situation.overtime else "half"
    nets: dict[int, list[Array]] = {}

    def sample(action: int, look: int, n: int) -> Array:
        made = actions[action]
        run = play_through(
            parts, made.start, n, [settings.seed, look], until=until, opening=made.opening,
            teams=sides, workers=settings.workers,
        )  # fmt: skip
        nets.setdefault(action, []).append(view * (run.margin - start.lead))
        wins = value(run.margin)
        return wins if view > 0 else 1 - wins

    budget = affordable(start.seconds) if settings.budget is None else settings.budget
    done = race(sample, len(actions), settings.first, budget)
    points = [np.concatenate(nets[k]) for k in range(len(actions))]
    rows = [_choice(done, k, action, points[k]) for k, action in enumerate(actions)]
    order = sorted(range(len(rows)), key=lambda k: (k != done.best, -rows[k].wins))
    ranked = tuple(rows[k] for k in order)
    return EndgameChoices(
        situation=_describe(situation, phase),
        rules=worth.rules.name,
        side=side,
        choices=ranked,
        refused=refused,
        verdict=ranked[1].verdict if len(ranked) > 1 else None,
        looks=done.looks,
        draws=max(len(v) for v in done.values),
        budget=budget,
        notes=(*notes_on(parts, start, side, actions), *_spread_note(situation, sides)),
    )


def _spread_note(situation: Situation, sides: Teams | None) -> tuple[str, ...]:
    if situation.spread is None:
        return ()
    who = spread_words(situation.spread)
    if sides is None:
        return (f"The pre-game spread ({who}) is not used while the half is played out.",)
    return (f"The sides differ by the pre-game spread ({who}); overtime is taken as even.",)


def _because(refused: tuple[Refusal, ...]) -> str:
    return "".join(f"\n  {r.action}: {r.reason}" for r in refused)


def _value(worth: Worth, situation: Situation) -> Callable[[Array], Array]:
    """Chance of the offense to win by its margin where the run ends."""
    if situation.half != 1:
        return end_of_game
    leads, wins = half_time(worth, situation.receives_second_half, situation.spread)
    return lambda margins: worth_of_margins(margins, leads, wins)


def _choice(done: Race, at: int, action: Action, points: Array) -> EndgameChoice:
    wins, error = mean_error(done.values[at])
    net, net_error = mean_error(points.astype(float))
    if at == done.best:
        behind, behind_error, interval, verdict = 0.0, 0.0, None, None
    else:
        behind, behind_error = (-done.gap(at)[0], done.gap(at)[1])
        low, high = done.interval(at)
        interval = Interval(-high, -low)
        verdict = verdict_of(interval)
    return EndgameChoice(
        action=action.code, label=action.label, wins=wins, error=error, points=net,
        points_error=net_error, behind=behind, behind_error=behind_error, interval=interval,
        draws=len(done.values[at]), verdict=verdict,
    )  # fmt: skip


def verdict_of(behind: Interval) -> Verdict:
    """How settled it is that an action is behind the best.

    ``unsettled`` where the draws do not say so; ``slight`` where they do, but by no more than the
    simulator itself may be off; ``firm`` beyond that.

    >>> [verdict_of(Interval(*x)) for x in ((-0.01, 0.02), (0.004, 0.012), (0.05, 0.07))]
    ['unsettled', 'slight', 'firm']
    """
    if behind.low <= 0:
        return "unsettled"
    return "firm" if behind.low > SIMULATOR_DOUBT else "slight"


def _describe(situation: Situation, phase: Phase) -> str:
    words = describe_situation(situation)
    if phase == "snap":
        return words
    return "kickoff, " + words.split(", ", 1)[1]
