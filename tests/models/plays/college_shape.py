"""Invented rows in the shape of the college feed: two games, two kinds of clock."""

from __future__ import annotations

from typing import Any

import polars as pl

HOME, AWAY, OTHER = "901", "902", "903"


class Feed:
    """Rows of one game as they come in; scores are those after the play."""

    def __init__(self, game: str, home: str = HOME) -> None:
        self.game, self.home = game, home
        self.score = {home: 0, AWAY: 0}
        self.rows: list[dict[str, Any]] = []

    def row(
        self, quarter: int, clock: str, kind: str | None, team: str, spot: int, text: str,
        *, down: int = 1, distance: int = 10, gain: int = 0, end: str | None = None,
        points: tuple[str, int] | None = None, told: tuple[int, int] | None = None,
    ) -> None:  # fmt: skip
        """``spot``: yards to goal; ``points``: who scored how many; ``told``: a stale score."""
        if points:
            self.score[points[0]] += points[1]
        home, away = told or (self.score[self.home], self.score[AWAY])
        self.rows.append(
            {
                "season": 2031, "play_id": f"{self.game}{len(self.rows):04d}", "quarter": quarter,
                "home_score": home, "away_score": away, "type": kind, "start_clock": clock,
                "start_down": down, "start_distance": distance,
                "start_spot": 100 - spot if team == self.home else spot, "start_team": team,
                "start_yards_to_endzone": spot, "end_team": end or team,
                "yards_gained": gain, "desc": text, "game_id": self.game,
            }
        )  # fmt: skip


def read_row_by_row(game: str = "7001") -> Feed:
    """A game in which nearly every row has a reading of its own."""
    f = Feed(game)
    f.row(1, "15:00", "Kickoff", AWAY, 65, "Ash kickoff for 65 yds for a touchback", end=HOME)
    f.row(1, "14:40", "Rush", HOME, 75, "Birk run for 5 yds to the Juni 30", gain=5)
    f.row(1, "14:12", "Pass Reception", HOME, 70, "Cole pass complete to Dorn for 30 yds",
          down=2, distance=5, gain=30)  # fmt: skip
    f.row(1, "13:50", "Timeout", HOME, 40, "Timeout JUNIPER ST, clock 13:50")
    f.row(1, "13:45", "Pass Incompletion", HOME, 40, "Cole pass incomplete to Dorn", down=1)
    f.row(1, "13:36", "Passing Touchdown", HOME, 40,
          "Cole pass complete to Dorn for 40 yds for a TD, (Ewen KICK)", down=2, gain=40,
          points=(HOME, 7))  # fmt: skip
    f.row(1, "13:36", "Penalty", HOME, 65,
          "LARCH TECH Penalty, Personal Foul (15 Yards) to the 50 yard line", told=(0, 0),
          )  # fmt: skip
    f.row(1, "13:30", "Kickoff Return (Offense)", HOME, 50,
          "Ewen kickoff for 45 yds , Fell return for 10 yds to the Larch 15", gain=10, end=AWAY,
          )  # fmt: skip
    f.row(1, "13:05", "Sack", AWAY, 85, "Gale sacked by Holt for a loss of 4 yards", gain=-4)
    f.row(1, "12:30", "Pass Interception Return", AWAY, 89,
          "Gale pass intercepted Iver return for 6 yds to the Larch 20", down=2, distance=14,
          gain=6, end=HOME)  # fmt: skip
    f.row(1, "12:00", "Fumble Recovery (Opponent)", HOME, 20,
          "Birk run for 3 yds to the Larch 17 Birk fumbled, recovered by Larch Kerr", gain=3,
          end=AWAY)  # fmt: skip
    f.row(1, "11:40", "Punt", AWAY, 83, "Ash punt for 40 yds, downed at the Juni 43",
          down=4, distance=10, end=HOME)  # fmt: skip
    f.row(1, "11:20", "Field Goal Missed", HOME, 30, "Ewen 47 yd FG MISSED", down=4, distance=2,
          gain=47, end=AWAY)  # fmt: skip
    f.row(1, "0:00", "End Period", AWAY, 63, "End of 1st Quarter", down=0, distance=0)
    f.row(2, "14:30", "Rushing Touchdown", AWAY, 7,
          "Gale run for 7 yds for a TD, (Two-Point Run Conversion Failed)", distance=0, gain=7,
          points=(AWAY, 6))  # fmt: skip
    f.row(2, "0:00", "End of Half", HOME, 75, "End of 2nd Quarter", down=0, distance=0)
    f.row(3, "15:00", "Kickoff", HOME, 65, "Ewen on-side kick recovered by LARCH TECH", end=AWAY)
    f.row(3, "14:55", "Field Goal Good", AWAY, 33, "Ash 50 yd FG GOOD", down=4, gain=50,
          points=(AWAY, 3))  # fmt: skip
    f.row(4, "0:40", "Rush", HOME, 60, "TEAM run for a loss of 2 yards to the Juni 38", gain=-2)
    f.row(4, "0:20", "Pass Incompletion", HOME, 62, "TEAM pass incomplete", down=2)
    f.row(4, "0:00", "Safety", HOME, 99, "Cole sacked by Holt for a loss of 1 yard for a SAFETY",
          down=3, gain=-1, points=(AWAY, 2))  # fmt: skip
    f.row(4, "0:00", "End of Game", HOME, 80, "End of 4th Quarter", down=0, distance=0)
    return f


def read_by_drive(game: str = "7002") -> Feed:
    """A game in which a whole drive keeps the clock of its first row."""
    f = Feed(game, OTHER)
    f.row(1, "15:00", "Kickoff", OTHER, 65, "Ewen kickoff for 65 yds for a touchback", end=AWAY)
    for at in range(6):
        f.row(1, "15:00", "Rush", AWAY, 75 - 4 * at, "Gale run for 4 yds", gain=4, down=1)
    f.row(1, "12:00", "Timeout", AWAY, 51, "Timeout LARCH TECH, clock 12:00")
    f.row(1, "12:00", "Pass Incompletion", AWAY, 51, "Gale pass incomplete to Lund", down=2)
    f.row(
        1, "12:00", "Punt", AWAY, 51, "Ash punt for 40 yds, fair catch by Dorn", down=4, end=OTHER
    )
    for at in range(4):
        f.row(1, "11:00", "Rush", OTHER, 89 - 3 * at, "Birk run for 3 yds", gain=3)
    f.row(1, "9:00", "Field Goal Good", OTHER, 20, "Ewen 37 yd FG GOOD", down=4, gain=37,
          points=(OTHER, 3))  # fmt: skip
    f.row(1, "0:00", "End Period", OTHER, 65, "End of 1st Quarter", down=0, distance=0)
    return f


def frame(*feeds: Feed) -> pl.DataFrame:
    """The feed's table of some games."""
    return pl.DataFrame([row for feed in feeds for row in feed.rows])


def finals(*feeds: Feed) -> pl.DataFrame:
    """The feed's table of final scores."""
    return pl.DataFrame(
        {
            "game_id": [f.game for f in feeds],
            "home_score": [f.score[f.home] for f in feeds],
            "away_score": [f.score[AWAY] for f in feeds],
        }
    )
