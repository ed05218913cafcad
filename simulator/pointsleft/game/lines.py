"""The lines of a game: start + priced + unpriced + between = end.

In points the running figure is the lead plus the expected points of the possession, in wins it
is win probability; both from the view of the team that is charted. What happens while the other
side has the ball, kickoffs and halves are ``between``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from pointsleft_models.bundle import Worth

from pointsleft.log.record import LoggedGame, Snap
from pointsleft.pricing.actual import actual_value
from pointsleft.pricing.cells import snap_values
from pointsleft.pricing.result import Currency, Decision, Lines

#: Seconds of an unpriced play that ends its possession (common practice, no source).
PLAY_SECONDS = 6.0


@dataclass(frozen=True, slots=True)
class Step:
    """One logged snap in the run of a game."""

    snap: Snap
    decision: Decision | None
    lead: int | None
    elapsed: int | None
    points_before: float | None
    points_after: float | None
    wins_before: float | None
    wins_after: float | None
    reason: str

    def before(self, currency: Currency) -> float | None:
        return self.points_before if currency == "points" else self.wins_before

    def after(self, currency: Currency) -> float | None:
        return self.points_after if currency == "points" else self.wins_after


def steps_of(game: LoggedGame, worth: Worth, decisions: Mapping[str, Decision]) -> list[Step]:
    """Value before and after every logged snap."""
    steps = []
    for snap, following in zip(game.snaps, [*game.snaps[1:], None], strict=True):
        steps.append(_step(snap, following, worth, decisions.get(snap.number)))
    return steps


def _step(snap: Snap, following: Snap | None, worth: Worth, decision: Decision | None) -> Step:
    situation = snap.situation
    if situation is None:
        return Step(
            snap, None, None, None, None, None, None, None,
            "a try: the expected try is part of the touchdown",
        )  # fmt: skip
    lead, elapsed = situation.lead, _elapsed(snap)
    if decision is not None:
        p, w = decision.points, decision.wins
        return Step(
            snap, decision, lead, elapsed,
            p.before if p else None, p.after if p else None,
            w.before if w else None, w.after if w else None, "",
        )  # fmt: skip
    values = snap_values(worth, situation, gun=True, box=None)
    found: dict[str, float | None] = {}
    for currency in values.currencies:
        found[f"{currency}_before"] = values.before(currency)
        found[f"{currency}_after"] = actual_value(values, snap, following, currency, PLAY_SECONDS)
    return Step(
        snap, None, lead, elapsed,
        found.get("points_before"), found.get("points_after"),
        found.get("wins_before"), found.get("wins_after"),
        _why_unpriced(snap),
    )  # fmt: skip


def _why_unpriced(snap: Snap) -> str:
    if snap.call.family in ("spike", "kneel"):
        return "a clock call: it is not priced as a play"
    if snap.call.family == "hand-off" and len(snap.options) < 2:
        return "no option attached: it belongs to the call"
    if not snap.options:
        return "no options logged"
    if snap.happened.chosen is None:
        return "what was chosen is not logged"
    return "only one option logged"


def _elapsed(snap: Snap) -> int | None:
    situation = snap.situation
    if situation is None or situation.seconds is None:
        return None
    length = situation.rules.period_seconds(1)
    before = min(situation.period - 1, 4) * length
    return before + situation.rules.period_seconds(situation.period) - situation.seconds


def game_lines(steps: list[Step], currency: Currency, game: LoggedGame) -> Lines | None:
    """The lines in one currency; ``None`` where a value along the way is not defined."""
    run = [s for s in steps if s.snap.situation is not None]
    if not run:
        return None
    levels: list[tuple[float, float, bool]] = []
    for step in run:
        before, after = step.before(currency), step.after(currency)
        if before is None:
            return None
        lead = 0.0
        if currency == "points":
            if step.lead is None:
                return None
            lead = float(step.lead)
        if after is None:
            after = before
        levels.append((lead + before, lead + after, step.decision is not None))
    start = levels[0][0]
    priced = sum(a - b for b, a, is_priced in levels if is_priced)
    unpriced = sum(a - b for b, a, is_priced in levels if not is_priced)
    between = sum(nxt[0] - here[1] for here, nxt in pairwise(levels))
    end = levels[-1][1]
    if game.final_us is not None and game.final_them is not None and game.every_snap:
        margin = game.final_us - game.final_them
        final = float(margin) if currency == "points" else 0.5 * (1 + (margin > 0) - (margin < 0))
        between += final - end
        end = final
    return Lines(start=start, priced=priced, unpriced=unpriced, between=between, end=end)
