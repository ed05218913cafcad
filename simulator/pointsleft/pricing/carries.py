"""Runs as options: give, keep, pitch, a designed run, a scramble, a throw-away.

Play-by-play does not mark option runs. Fitted are the runs by gap, box and yards to go; what
the read man's action, the short side and a pitch change is judgement (table of judgements).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from pointsleft_models.bundle import Worth
from pointsleft_models.football.field import WIDTH, boundary_width
from pointsleft_models.laws.lattice import OutcomeLaw, mix
from pointsleft_models.laws.passing import thrown_away
from pointsleft_models.laws.setting import Setting

from pointsleft.log.record import LoggedOption, Snap
from pointsleft.pricing.judgement_table import Judgement, judged
from pointsleft.pricing.keys import matched
from pointsleft.pricing.model import Judged, OptionModel

#: Gap of a run when none is logged.
USUAL_GAP = {"give": "guard", "keep": "end", "pitch": "end", "run": "guard"}

#: Short side from the hash under college rules, yards: where option.boundary was judged.
COLLEGE_BOUNDARY = 20.0


@dataclass(frozen=True, kw_only=True)
class CarryModel(OptionModel):
    """A run; its judgement is the move of the log odds of being stopped at each yard."""

    worth: Worth
    setting: Setting
    gap: str
    lost_odds: float = 0.0
    better = -1

    def law(self, judgement: float | None = None, *, refits: bool = False) -> OutcomeLaw:
        odds = self.judged.value if judgement is None else judgement
        return self.worth.rushing.run(
            self.setting, self.gap, odds=odds, lost_odds=self.lost_odds, refits=refits
        )

    def say(self, judgement: float) -> str:
        law, low = self.worth.rushing.run_law(self.setting, self.gap, odds=judgement)
        mean = float(law @ range(low, low + len(law)))
        return f"{mean:.1f} yards a carry"


@dataclass(frozen=True, kw_only=True)
class ScrambleModel(OptionModel):
    """A scramble; its judgement is the move of the log odds of being stopped at each yard.

    The fitted scrambles are those that happened, mostly where a lane was open. One that was not
    taken is judged to have had less room.
    """

    worth: Worth
    setting: Setting
    caught: float
    better = -1

    def law(self, judgement: float | None = None, *, refits: bool = False) -> OutcomeLaw:
        odds = self.judged.value if judgement is None else judgement
        free = self.worth.rushing.scramble(self.setting, odds=odds, refits=refits)
        sack = self.worth.rushing.sack(self.setting, refits=refits)
        return mix([(1 - self.caught, free), (self.caught, sack)])

    def say(self, judgement: float) -> str:
        law, low = self.worth.rushing.scramble_law(self.setting, odds=judgement)
        mean = float(law @ range(low, low + len(law)))
        return f"{mean:.1f} yards once he runs"


@dataclass(frozen=True, kw_only=True)
class ThrowAwayModel(OptionModel):
    """A throw-away; its judgement is the chance that it ends as a sack."""

    worth: Worth
    setting: Setting
    better = -1

    def law(self, judgement: float | None = None, *, refits: bool = False) -> OutcomeLaw:
        sacked = self.judged.value if judgement is None else judgement
        sacked = min(max(sacked, 0.0), 1.0)
        caught = self.worth.rushing.sack(self.setting, refits=refits)
        return mix([(1 - sacked, thrown_away(self.setting)), (sacked, caught)])

    def say(self, judgement: float) -> str:
        return f"sacked {100 * min(max(judgement, 0), 1):.0f}% of the time"


def carry_model(
    worth: Worth, at: Setting, snap: Snap, option: LoggedOption, in_read: Judged, label: str
) -> CarryModel:
    """A logged give, keep, pitch or designed run as an option model."""
    assumed: list[str] = []
    gap = option.gap
    if gap is None:
        gap = USUAL_GAP[option.kind]
        assumed.append("gap.default")
    rows: list[tuple[Judgement, float]] = []
    match = matched(snap, option)
    if match is not None:
        rows.append((judged("option.right" if match else "option.wrong"), 1.0))
    elif option.kind in ("give", "keep", "pitch") and snap.call.family in ("option", "rpo"):
        rows.append((judged("option.unread"), 1.0))
        assumed.append("option.unread")
    if option.side == "boundary" and option.kind in ("keep", "pitch"):
        short = (WIDTH / 2 - boundary_width(worth.rules)) / (WIDTH / 2 - COLLEGE_BOUNDARY)
        rows.append((judged("option.boundary"), short))
    more = _unaccounted(snap, option)
    if more:
        rows.append((judged("option.blocker"), float(more)))
    if snap.call.family == "qb-run" and option.kind == "run":
        rows.append((judged("sneak.gain"), 1.0))
    value = sum(row.value * scale for row, scale in rows)
    ends = [sorted((row.low * scale, row.high * scale)) for row, scale in rows]
    low, high = sum(e[0] for e in ends), sum(e[1] for e in ends)
    if not rows:
        low, high = judged("option.unread").low, judged("option.unread").high
    takes_hit = option.kind == "keep" or (option.kind == "run" and snap.call.family == "qb-run")
    pitch = judged("pitch.fumble").value if option.kind == "pitch" else 0.0
    model = CarryModel(
        id=option.id, kind=option.kind, label=label,
        judged=Judged(f"blocking of {option.id}", "", value, low, high),
        in_read=in_read, group=option.group, place=option.place, third=option.third,
        reaction=option.reaction, seconds=5.0,
        hit=judged("hit.run").value if takes_hit else 0.0,
        assumed=tuple(assumed), worth=worth, setting=at, gap=gap, lost_odds=pitch,
    )  # fmt: skip
    said = "assumed " if option.kind in ("give", "keep", "pitch") and match is None else ""
    return replace(model, judged=replace(model.judged, said=said + model.say(value)))


def _unaccounted(snap: Snap, option: LoggedOption) -> int:
    """Defenders in the box beyond blockers and the man who is read; only for an inside give."""
    box, blockers = snap.defense.box, snap.defense.blockers
    if box is None or blockers is None or option.kind not in ("give", "run"):
        return 0
    read = 1 if snap.read.key is not None and option.kind == "give" else 0
    return box - blockers - read


def escape_model(
    worth: Worth, at: Setting, snap: Snap, option: LoggedOption, in_read: Judged, label: str
) -> ScrambleModel | ThrowAwayModel:
    """A logged scramble or throw-away as an option model."""
    if option.kind == "throw-away":
        row = judged("escape.sack")
        return ThrowAwayModel(
            id=option.id, kind=option.kind, label=label,
            judged=Judged(f"risk of {option.id}", f"sacked {100 * row.value:.0f}% of the time",
                          row.value, row.low, row.high),
            in_read=in_read, group=option.group, place=option.place, third=option.third,
            reaction=option.reaction, seconds=5.0, sack=row.value,
            hit=row.value * judged("hit.sack").value, assumed=("escape.sack",),
            worth=worth, setting=at,
        )  # fmt: skip
    taken = snap.happened.chosen == option.id
    room = judged("scramble.taken" if taken else "scramble.selection")
    sack = judged("escape.scramble_sack").value
    model = ScrambleModel(
        id=option.id, kind=option.kind, label=label,
        judged=Judged(f"room of {option.id}", "", room.value, room.low, room.high),
        in_read=in_read, group=option.group, place=option.place, third=option.third,
        reaction=option.reaction, seconds=7.0, sack=sack,
        hit=judged("hit.scramble").value + sack * judged("hit.sack").value,
        assumed=("escape.scramble_sack", room.code), worth=worth, setting=at, caught=sack,
    )  # fmt: skip
    said = "" if taken else "assumed "
    return replace(model, judged=replace(model.judged, said=said + model.say(room.value)))
