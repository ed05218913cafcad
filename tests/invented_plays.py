"""Invented games with their truth: a simple simulator that keeps its own books.

Every derived column is kept while the game is played (or looked up in a plain loop afterwards),
in another way than the package does, so that the two can be held against each other.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import polars as pl
from pointsleft_models.plays.cells import TYPES
from pointsleft_models.plays.schema import BY_NAME

TEAMS = ("Alder", "Birch", "Cedar", "Damson", "Elm", "Fir")

Row = dict[str, Any]

POINTS = {"touchdown": 6, "field goal": 3, "safety": 2}


class Game:
    """One game in the making; sides are ``home`` and ``away``."""

    def __init__(self, name: str, season: int, rng: np.random.Generator) -> None:
        self.name, self.season, self.rng = name, season, rng
        home, away = rng.choice(len(TEAMS), 2, replace=False)
        self.team = {"home": TEAMS[home], "away": TEAMS[away]}
        self.score = {"home": 0, "away": 0}
        self.left = {"home": 3, "away": 3}
        self.period, self.clock, self.play = 1, 900, 0
        self.first_kicker = "home" if rng.random() < 0.5 else "away"
        self.rows: list[Row] = []

    def other(self, side: str) -> str:
        return "away" if side == "home" else "home"

    def row(self, kind: str, side: str | None, **facts: Any) -> Row:
        self.play += int(self.rng.integers(1, 30))
        first = side or "home"
        half = 3 if self.period > 4 else 1 + (self.period > 2)
        seconds = self.clock + (900 if self.period in (1, 3) else 0)
        row: Row = {
            "game": self.name, "season": self.season, "home": self.team["home"],
            "away": self.team["away"], "play": self.play, "kind": kind, "period": self.period,
            "clock": self.clock, "offense": side and self.team[side],
            "offense_score": self.score[first], "defense_score": self.score[self.other(first)],
            "down": None, "distance": None, "yards_to_goal": None, "timeout_by": None,
            "no_play": kind == "penalty", "kick_result": None, "gain": None, "home_spread": None,
            "touchdown": False, "defense_touchdown": False, "safety": False,
            "points_offense": 0, "points_defense": 0,
            # the truth of what the package derives
            "half": half, "half_seconds": seconds,
            "game_seconds": seconds + (1800 if half == 1 else 0),
            "defense": side and self.team[self.other(side)],
            "offense_home": None if side is None else side == "home",
            "lead": None if side is None else self.score[side] - self.score[self.other(side)],
            "offense_timeouts": side and self.left[side],
            "defense_timeouts": side and self.left[self.other(side)],
            "receives_second_half": None if side is None else side == self.first_kicker,
            "_side": side, "_scored": None,
        }  # fmt: skip
        self.rows.append(row | facts)
        return self.rows[-1]

    def scores(self, row: Row, side: str, what: str) -> None:
        """A score of a side on the row just made."""
        ours = side == row["_side"]
        points = POINTS[what]
        row["points_offense" if ours else "points_defense"] = points
        kicked = row["kind"] in ("kickoff", "punt")
        row["touchdown"] = what == "touchdown" and ours and not kicked
        row["defense_touchdown"] = what == "touchdown" and not ours
        row["safety"] = what == "safety"
        row["_scored"] = (side, what)
        self.score[side] += points

    def run_clock(self, most: int = 45) -> bool:
        """Let seconds pass; false when the period is over."""
        self.clock -= int(self.rng.integers(0, most))
        if self.clock <= 0:
            self.clock = 0
            return False
        return True

    def timeout(self, side: str) -> None:
        if self.left[side]:
            self.row("time-out", None, timeout_by=side)
            self.left[side] -= 1

    def lost_challenge(self, row: Row) -> None:
        """A time-out charged on the row of a play: it is gone from the next row on."""
        side = "home" if self.rng.random() < 0.5 else "away"
        if self.left[side]:
            row["timeout_by"] = side
            self.left[side] -= 1

    def attempt(self, side: str) -> None:
        """A try, at times after a time-out, at times cancelled and repeated."""
        if self.rng.random() < 0.1:
            self.timeout(self.other(side))
        if self.rng.random() < 0.1:
            self.row("extra point", side, yards_to_goal=15, no_play=True, kick_result="missed")
        two = self.rng.random() < 0.2
        good = self.rng.random() < 0.7
        kind = "two-point" if two else "extra point"
        self.row(kind, side, yards_to_goal=2 if two else 15,
                 kick_result="good" if good else "missed")  # fmt: skip
        if good:
            self.score[side] += 2 if two else 1
        elif self.rng.random() < 0.2:  # returned by the defense
            self.score[self.other(side)] += 2

    def kickoff(self, side: str) -> tuple[str, int]:
        row = self.row("kickoff", side, yards_to_goal=65, kick_result="returned")
        taker = self.other(side)
        if self.rng.random() < 0.05:
            self.scores(row, taker, "touchdown")
            self.attempt(taker)
            return self.kickoff(taker)
        return taker, 60 + self.play % 30

    def possession(self, side: str, spot: int) -> tuple[str, int] | None:
        """Play until the ball changes hands; ``None`` when the period ran out."""
        down, distance = 1, min(10, spot)
        while True:
            at = {"down": down, "distance": distance, "yards_to_goal": spot}
            if self.rng.random() < 0.04:
                self.timeout("home" if self.rng.random() < 0.5 else "away")
            draw = self.rng.random()
            if draw < 0.05:
                row = self.row("penalty", side, **at)
                if draw < 0.01:
                    self.lost_challenge(row)
                continue
            if down == 4:
                return self._kick(side, spot, at)
            kind = ("pass", "run", "sack", "scramble")[int(self.rng.integers(4))]
            gain = int(self.rng.integers(-9, -1) if kind == "sack" else self.rng.integers(-3, 25))
            gain = min(gain, spot)
            row = self.row(kind, side, gain=gain, **at)
            if 0.05 < draw < 0.08:
                self.lost_challenge(row)
            going = self.run_clock()
            if draw > 0.97:  # turned over and carried all the way
                self.scores(row, self.other(side), "touchdown")
                self.attempt(self.other(side))
                return self.kickoff(self.other(side)) if going else None
            if gain == spot:
                self.scores(row, side, "touchdown")
                self.attempt(side)
                return self.kickoff(side) if going else None
            if spot - gain >= 100:
                self.scores(row, self.other(side), "safety")
                return self.kickoff(side) if going else None
            spot, distance = spot - gain, distance - gain
            down = 1 if distance <= 0 else down + 1
            distance = min(10, spot) if distance <= 0 else min(distance, spot)
            if not going:
                return None

    def _kick(self, side: str, spot: int, at: Row) -> tuple[str, int] | None:
        if spot > 40:
            self.row("punt", side, kick_result="returned", **at)
            return (self.other(side), 55 + self.play % 40) if self.run_clock() else None
        good = self.rng.random() < 0.7
        row = self.row("field goal", side, kick_result="good" if good else "missed", **at)
        if good:
            self.scores(row, side, "field goal")
        if not self.run_clock():
            return None
        return self.kickoff(side) if good else (self.other(side), 100 - spot)

    def half_of_play(self, first: int, kicker: str) -> None:
        self.period, self.clock = first, 900
        self.left = {"home": 3, "away": 3}
        self.at = self.kickoff(kicker)
        while self.period < first + 2:
            result = self.possession(*self.at)
            if result is None:
                self.period, self.clock = self.period + 1, 900
                if self.period < first + 2:
                    self.at = ("home" if self.rng.random() < 0.5 else "away", 60)
            else:
                self.at = result
        self.period, self.clock = first + 1, 0
        if first == 1 or self.rng.random() < 0.5:
            self.row("other", None)


def invented_game(name: str, rng: np.random.Generator, season: int = 2020) -> list[Row]:
    """Rows of one game, their derived columns included."""
    game = Game(name, season, rng)
    game.half_of_play(1, game.first_kicker)
    game.half_of_play(3, game.other(game.first_kicker))
    _look_ahead(game)
    return game.rows


def _look_ahead(game: Game) -> None:
    """Next score and result, in a plain loop over the rows still to come."""
    home, away = game.score["home"], game.score["away"]
    for at, row in enumerate(game.rows):
        side = row["_side"]
        row["_final"] = (home, away)
        row["next_score"], row["next_score_clock"] = None if side is None else "none", None
        for later in game.rows[at:]:
            if later["half"] != row["half"]:
                break
            if later["_scored"]:
                scorer, what = later["_scored"]
                if side is not None:
                    row["next_score"] = what if scorer == side else f"{what} against"
                row["next_score_clock"] = later["half_seconds"]
                break
        margin = home - away if side == "home" else away - home
        row["result"] = None if side is None else 0.5 + 0.5 * float(np.sign(margin))


#: Columns whose truth the simulator keeps.
TRUTHS = (
    "half", "half_seconds", "game_seconds", "defense", "offense_home", "lead",
    "offense_timeouts", "defense_timeouts", "receives_second_half", "points_offense",
    "points_defense", "touchdown", "defense_touchdown", "safety", "next_score",
    "next_score_clock", "result",
)  # fmt: skip


def invented_table(seed: int, games: int = 2) -> pl.DataFrame:
    """A table of whole invented games: required columns, facts and truths, typed as the schema."""
    rng = np.random.default_rng(seed)
    rows = [row for n in range(games) for row in invented_game(f"g{n:02d}", rng)]
    schema = {name: TYPES[BY_NAME[name].kind] for name in rows[0] if name in BY_NAME}
    return pl.DataFrame(rows, schema=schema, orient="row")
