"""A whole invented game: our offense snap by snap, the other side possession by possession.

No flags, no time-outs, no overtime: a level game is played again.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from pointsleft_models.bundle import Worth
from pointsleft_models.football.situation import Situation
from pointsleft_models.laws.lattice import STOPPED
from pointsleft_models.laws.setting import setting_of

from pointsleft.invent.looks import Look, draw_look
from pointsleft.invent.offers import Offer, choose, offer
from pointsleft.invent.opponents import Possessions
from pointsleft.invent.people import Opponent, Quarterback
from pointsleft.invent.playbook import Play
from pointsleft.invent.playing import Played, carried, play_out
from pointsleft.log.record import Call, Defense, Happened, Read, Snap

Array = np.ndarray

#: Shares of hand-offs by down and distance (usual calls of the trade, no source).
FIRST_DOWN, SECOND_SHORT, SECOND, SECOND_LONG = 0.50, 0.62, 0.42, 0.28
THIRD_VERY_SHORT, THIRD_SHORT, THIRD = 0.62, 0.28, 0.07

#: Seconds between plays while the clock runs: usual, hurried, sitting on a lead.
WAIT, HURRY, SIT = 35, 14, 39

#: Points by which a coach marks down going for it; yards to goal of the longest kick tried, and
#: of the nearest punt.
CAUTION, LONGEST_KICK, NEAREST_PUNT = 0.35, 42, 34

#: Last seconds of a half in which a kick in range is taken at once, and a lead knelt out.
KICK_AT, KNEEL_AT, RANGE = 25, 40, 37

EXTRA_POINT = 0.94
GAPS = ("middle", "guard", "tackle", "end")
GAP_SHARES = (0.28, 0.27, 0.22, 0.23)


@dataclass(frozen=True, slots=True)
class FilmSnap:
    """One snap on film, as it was.

    Attributes
    ----------
    snap
        What a perfect charter would log; of a try only the family and the result.
    offer
        What was there, for snaps that were somebody's decision.
    chosen
        Index of the chosen option.
    by_coach
        A kick: not the quarterback's decision.
    clip
        Seconds into the film.
    """

    snap: Snap
    us: int
    them: int
    clip: float
    offer: Offer | None = None
    chosen: int | None = None
    by_coach: bool = False
    hurried: bool = False


@dataclass
class Film:
    """A game of one quarterback."""

    snaps: list[FilmSnap] = field(default_factory=list)
    us: int = 0
    them: int = 0
    opening_kickoff_to: str = "us"

    def decisions(self) -> list[FilmSnap]:
        """The quarterback's decisions."""
        return [s for s in self.snaps if s.offer is not None and not s.by_coach]


def play_game(
    worth: Worth,
    others: Possessions,
    quarterback: Quarterback,
    opponent: Opponent,
    rng: np.random.Generator,
) -> Film:
    """Play one game to a winner."""
    while True:
        film = _Play(worth, others, quarterback, opponent, rng).game()
        if film.us != film.them:
            return film


class _Play:
    """A game while it is played."""

    def __init__(
        self, worth: Worth, others: Possessions, quarterback: Quarterback, opponent: Opponent,
        rng: np.random.Generator,
    ) -> None:  # fmt: skip
        self.worth, self.others, self.rng = worth, others, rng
        self.quarterback, self.opponent = quarterback, opponent
        self.film = Film()
        self.half, self.seconds, self.clip = 1, 0, 95.0
        self.running = False

    def game(self) -> Film:
        first = bool(self.rng.random() < 0.5)
        self.film.opening_kickoff_to = "us" if first else "them"
        for self.half in (1, 2):
            self.seconds = 2 * self.worth.rules.quarter_seconds
            start = self._kickoff() if first == (self.half == 1) else self._theirs(75)
            while self.seconds > 0:
                theirs = self._drive(start)
                if self.seconds <= 0:
                    break
                start = self._kickoff() if theirs is None else self._theirs(theirs)
            self.clip += 60
        return self.film

    def _kickoff(self) -> int:
        """Yards to goal after a kickoff to us: a touchback, or a return."""
        self._spend(0)
        if self.rng.random() < 0.6:
            return 100 - self.worth.rules.touchback
        self._spend(6)
        return int(np.clip(self.rng.normal(77, 6), 55, 92))

    def _spend(self, seconds: float) -> None:
        self.seconds = max(self.seconds - round(seconds), 0)
        self.clip += seconds

    def _theirs(self, start: int) -> int:
        """Their possession; where we have the ball next."""
        drawn = self.others.draw(start, self.rng)
        whole = self.seconds >= drawn.seconds
        if whole or self.seconds > 0.7 * drawn.seconds:
            self.film.them += max(drawn.points, 0)
            self.film.us += max(-drawn.points, 0)
        self._spend(drawn.seconds)
        self.running = False
        return drawn.starts

    def _situation(self, down: int, distance: int, spot: int) -> Situation:
        quarter = self.worth.rules.quarter_seconds
        early = self.seconds > quarter
        return Situation(
            period=2 * self.half - (1 if early else 0),
            seconds=self.seconds - quarter if early else self.seconds,
            down=down, distance=distance, yards_to_goal=spot,
            lead=self.film.us - self.film.them, rules=self.worth.rules,
            receives_second_half=self.film.opening_kickoff_to == "them",
            hash=str(self.rng.choice(["left", "middle", "right"])),  # type: ignore[arg-type]
        )  # fmt: skip

    def _drive(self, start: int) -> int | None:
        """One possession of ours.

        Returns where they have the ball next (yards to goal, theirs); ``None`` where we have it
        again, since they scored on our play.
        """
        down, distance, spot = 1, min(10, start), start
        while self.seconds > 0:
            at = self._situation(down, distance, spot)
            made, played = self._snap(at)
            self.film.snaps.append(made)
            happened = played.happened
            self._spend(played.seconds)
            self.clip += 8
            if happened.touchdown:
                self.film.us += 6
                self._try()
                return 75
            if happened.defense_scored:
                self.film.them += 7
                return None
            if happened.safety:
                self.film.them += 2
                return 65
            if happened.result == "good":
                self.film.us += 3
                return 75
            if happened.end_yards_to_goal is not None:
                return happened.end_yards_to_goal
            gained = happened.yards or 0
            if gained < distance and down == 4:
                return 100 - (spot - gained)
            spot -= gained
            down, distance = (
                (1, min(10, spot)) if gained >= distance else (down + 1, distance - gained)
            )
            if played.cell < STOPPED:
                self._spend(self._wait(at))
        return 75

    def _wait(self, at: Situation) -> float:
        lead = at.lead or 0
        late = at.half_seconds is not None and at.half_seconds <= 150
        if self.half == 2 and lead > 0 and (at.half_seconds or 0) <= 300:
            mean = SIT
        elif late and (self.half == 1 or lead <= 0):
            mean = HURRY
        else:
            mean = WAIT
        return float(np.clip(self.rng.normal(mean, 4), 8, 40))

    def _snap(self, at: Situation) -> tuple[FilmSnap, Played]:
        lead, left = at.lead or 0, at.half_seconds or 0
        if self.half == 2 and lead > 0 and left <= KNEEL_AT:
            return self._kneel(at)
        if left <= KICK_AT and at.yards_to_goal <= RANGE and (self.half == 1 or -3 <= lead <= 0):
            return self._kick(at, "field-goal")
        if at.down == 4 and (kick := self._fourth(at)) is not None:
            return self._kick(at, kick)
        if self.rng.random() < self._run_share(at):
            return self._hand_off(at)
        look = draw_look(at, self.rng, self.opponent)
        found = offer(self.worth, look)
        chosen = choose(found, self.quarterback, self.rng)
        played = play_out(found, chosen, self.quarterback, self.rng)
        snap = replace(look.snap, happened=replace(played.happened, chosen=look.options[chosen].id))
        return self._filmed(snap, found, chosen, hurried=played.hurried), played

    def _filmed(
        self, snap: Snap, found: Offer | None = None, chosen: int | None = None, *,
        by_coach: bool = False, hurried: bool = False,
    ) -> FilmSnap:  # fmt: skip
        return FilmSnap(
            snap, self.film.us, self.film.them, round(self.clip, 1), found, chosen, by_coach,
            hurried,
        )  # fmt: skip

    def _run_share(self, at: Situation) -> float:
        lead, left = at.lead or 0, at.game_seconds or 0
        if at.half_seconds is not None and at.half_seconds <= 120 and (self.half == 1 or lead <= 0):
            return 0.08
        if at.down == 1:
            share = FIRST_DOWN
        elif at.down == 2:
            share = (
                SECOND_SHORT if at.distance <= 3 else SECOND if at.distance <= 7 else SECOND_LONG
            )
        else:
            share = (
                THIRD_VERY_SHORT if at.distance <= 1 else THIRD_SHORT if at.distance <= 3 else THIRD
            )
        if left <= 600 and lead < -8:
            share *= 0.5
        if left <= 600 and lead > 8:
            share = min(1.5 * share, 0.9)
        return share

    def _kicks(self, at: Situation) -> Offer:
        """The three ways to play a fourth down, those out of reach left out."""
        look = draw_look(at, self.rng, play=Play("fourth down", "kick", "gun"))
        kept = [
            o for o in look.options
            if not (o.kind == "field-goal" and at.yards_to_goal > LONGEST_KICK)
            and not (o.kind == "punt" and at.yards_to_goal < NEAREST_PUNT)
        ]  # fmt: skip
        bare = replace(look.snap, options=tuple(kept), defense=Defense())
        return offer(self.worth, Look(bare, np.zeros(len(kept)), np.ones(len(kept), bool)))

    def _fourth(self, at: Situation) -> str | None:
        """The kick of a fourth down; ``None`` where they go for it."""
        lead = at.lead or 0
        if self.half == 2 and (at.game_seconds or 0) <= 240 and lead < 0:
            reach = at.yards_to_goal <= LONGEST_KICK - 5 and lead >= -3
            return "field-goal" if reach else None
        found = self._kicks(at)
        marked = [
            w - CAUTION * (m.kind == "go") for w, m in zip(found.worth, found.models, strict=True)
        ]
        kind = found.models[int(np.argmax(marked))].kind
        return None if kind == "go" else kind

    def _kick(self, at: Situation, kind: str) -> tuple[FilmSnap, Played]:
        found = self._kicks(at)
        chosen = next((i for i, m in enumerate(found.models) if m.kind == kind), 0)
        model = found.models[chosen]
        played = carried(found.look.snap, model.id, model.kind, model.law(), self.rng)
        happened = replace(played.happened, chosen=found.look.options[chosen].id)
        snap = replace(found.look.snap, happened=happened)
        return self._filmed(snap, found, chosen, by_coach=True), played

    def _hand_off(self, at: Situation) -> tuple[FilmSnap, Played]:
        gap = str(self.rng.choice(GAPS, p=GAP_SHARES))
        box = int(self.rng.choice([6, 7, 8], p=[0.35, 0.45, 0.2]))
        snap = self._bare(at, "hand-off", Defense(box=box))
        law = self.worth.rushing.run(setting_of(at, gun=False, box=box), gap)
        played = carried(snap, "run", "run", law, self.rng)
        happened = replace(played.happened, chosen=None)
        return self._filmed(replace(snap, happened=happened)), replace(played, happened=happened)

    def _kneel(self, at: Situation) -> tuple[FilmSnap, Played]:
        room = 99 - at.yards_to_goal  # nobody kneels in his own end zone
        happened = Happened(result="kneel", yards=-min(1, room))
        snap = replace(self._bare(at, "kneel", Defense()), happened=happened)
        return self._filmed(snap), Played(happened, at.yards_to_goal, 42.0)

    def _try(self) -> None:
        result = "good" if self.rng.random() < EXTRA_POINT else "no-good"
        snap = self._bare(None, "try", Defense())
        self.clip += 40
        snap = replace(snap, happened=Happened(result=result))
        self.film.snaps.append(self._filmed(snap))
        self.film.us += int(result == "good")

    def _bare(self, at: Situation | None, family: str, defense: Defense) -> Snap:
        return Snap(
            number="1", clip=None, situation=at, tempo=None, play_clock=None,
            call=Call(family=family), defense=defense, read=Read(), happened=Happened(),
        )  # fmt: skip
