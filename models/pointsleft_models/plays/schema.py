"""The neutral play table: every column, its unit and the values it may take.

One row is one line of the game book: a scrimmage play, a kick, a try, a penalty without a play,
a time-out. ``offense`` is the team with the ball at the snap; on a kickoff it is the *kicking*
team. Yards are signed from the offense's view; scores are those *before* the row.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

SCHEMA_VERSION = 1

KINDS = (
    "pass",
    "sack",
    "scramble",
    "run",
    "kneel",
    "spike",
    "punt",
    "field goal",
    "kickoff",
    "extra point",
    "two-point",
    "penalty",
    "time-out",
    "other",
)

#: Next score within the half, from the view of the team with the ball.
NEXT_SCORES = (
    "touchdown",
    "field goal",
    "safety",
    "none",
    "safety against",
    "field goal against",
    "touchdown against",
)

THIRDS = ("left", "middle", "right")
GAPS = ("middle", "guard", "tackle", "end")


@dataclass(frozen=True, slots=True)
class Column:
    """One column of the table.

    ``required``: a user's own table must bring it; the others may be absent or empty, and what
    follows from the required ones is derived.
    """

    name: str
    kind: str  # text | int | float | bool
    meaning: str
    unit: str = ""
    low: float | None = None
    high: float | None = None
    words: tuple[str, ...] = ()
    required: bool = False
    group: str = ""


def _columns() -> Iterable[Column]:
    g = "game"
    yield Column("game", "text", "identifier of the game", required=True, group=g)
    yield Column("season", "int", "season", low=1900, high=2100, required=True, group=g)
    yield Column("week", "int", "week of the season", low=0, high=30, group=g)
    yield Column("stage", "text", "part of the season", words=("regular", "playoff"), group=g)
    yield Column("level", "text", "level of play", words=("professional", "college"), group=g)
    yield Column("home", "text", "home team", required=True, group=g)
    yield Column("away", "text", "visiting team", required=True, group=g)
    yield Column(
        "home_spread",
        "float",
        "points by which the home team was favoured",
        "points",
        -60,
        60,
        group=g,
    )
    yield Column("roof", "text", "indoors or outdoors", words=("outdoors", "indoors"), group=g)
    yield Column("temperature", "int", "air temperature", "°F", -40, 130, group=g)
    yield Column("wind", "int", "wind", "mph", 0, 100, group=g)
    g = "row"
    yield Column(
        "play", "int", "number of the row, rising within the game", low=0, required=True, group=g
    )
    yield Column("kind", "text", "what the row is", words=KINDS, required=True, group=g)
    yield Column("no_play", "bool", "wiped out by a penalty", group=g)
    g = "situation"
    yield Column(
        "period", "int", "quarter; overtime from 5", low=1, high=12, required=True, group=g
    )
    yield Column(
        "clock", "int", "left in the period at the snap", "seconds", 0, 900, required=True, group=g
    )
    yield Column("half", "int", "1, 2, or 3 for overtime", low=1, high=3, group=g)
    yield Column("half_seconds", "int", "left in the half", "seconds", 0, 1800, group=g)
    yield Column(
        "game_seconds",
        "int",
        "left in regulation (overtime: in the period)",
        "seconds",
        0,
        3600,
        group=g,
    )
    yield Column(
        "offense",
        "text",
        "team with the ball (kickoff: kicking team); empty on time-outs and ends of periods",
        required=True,
        group=g,
    )
    yield Column("defense", "text", "the other team", group=g)
    yield Column("offense_home", "bool", "the offense is the home team", group=g)
    yield Column(
        "offense_score",
        "int",
        "points of the offense before the row (no team with the ball: of the home team)",
        "points",
        0,
        200,
        required=True,
        group=g,
    )
    yield Column(
        "defense_score",
        "int",
        "points of the defense before the row (no team with the ball: of the visitors)",
        "points",
        0,
        200,
        required=True,
        group=g,
    )
    yield Column("lead", "int", "offense minus defense", "points", -200, 200, group=g)
    yield Column("offense_timeouts", "int", "time-outs left", "", 0, 3, group=g)
    yield Column("defense_timeouts", "int", "time-outs left", "", 0, 3, group=g)
    yield Column(
        "timeout_by",
        "text",
        "side charged with a time-out on the row",
        words=("home", "away"),
        group=g,
    )
    yield Column(
        "receives_second_half", "bool", "the offense receives the second-half kickoff", group=g
    )
    yield Column("down", "int", "down, empty on kicks and tries", "", 1, 4, required=True, group=g)
    yield Column("distance", "int", "to the line to gain", "yards", 1, 99, required=True, group=g)
    yield Column(
        "yards_to_goal",
        "int",
        "to the opponent's goal line",
        "yards",
        1,
        99,
        required=True,
        group=g,
    )
    yield Column("shotgun", "bool", "shotgun formation", group=g)
    yield Column("no_huddle", "bool", "no huddle", group=g)
    g = "play"
    yield Column("gain", "int", "net gain of the play without penalties", "yards", -99, 99, group=g)
    yield Column("touchdown", "bool", "touchdown of the offense", group=g)
    yield Column("defense_touchdown", "bool", "touchdown of the defense on the play", group=g)
    yield Column("safety", "bool", "safety against the offense", group=g)
    yield Column(
        "targeted",
        "bool",
        "a pass meant for a receiver, not thrown away (two-point try: a pass)",
        group=g,
    )
    yield Column("complete", "bool", "pass caught", group=g)
    yield Column("intercepted", "bool", "pass intercepted", group=g)
    yield Column("air_yards", "int", "from the line to the target", "yards", -30, 99, group=g)
    yield Column("yards_after_catch", "int", "after the catch", "yards", -40, 99, group=g)
    yield Column("third", "text", "third of the field of the target", words=THIRDS, group=g)
    yield Column("quarterback_hit", "bool", "quarterback hit as or after he threw", group=g)
    yield Column("gap", "text", "where the run went", words=GAPS, group=g)
    yield Column("run_side", "text", "side of the run", words=THIRDS, group=g)
    yield Column("fumble", "bool", "ball fumbled by the offense", group=g)
    yield Column("fumble_lost", "bool", "fumble lost to the defense", group=g)
    yield Column(
        "return_yards",
        "int",
        "return of a kick, interception or fumble",
        "yards",
        -99,
        110,
        group=g,
    )
    yield Column("out_of_bounds", "bool", "the runner went out of bounds", group=g)
    g = "kick"
    yield Column(
        "kick_distance", "int", "of a field goal, punt or kickoff", "yards", -10, 100, group=g
    )
    yield Column(
        "kick_result",
        "text",
        "how a kick ended",
        words=(
            "good",
            "missed",
            "blocked",
            "returned",
            "touchback",
            "fair catch",
            "downed",
            "out of bounds",
            "onside",
        ),
        group=g,
    )
    g = "penalty"
    yield Column(
        "penalty_on", "text", "side of an enforced penalty", words=("offense", "defense"), group=g
    )
    yield Column("penalty_yards", "int", "walked off", "yards", 0, 99, group=g)
    yield Column("foul", "text", "name of the enforced foul", group=g)
    g = "score and result"
    yield Column(
        "points_offense",
        "int",
        "scored by the offense on the row, tries left out",
        "points",
        0,
        6,
        group=g,
    )
    yield Column(
        "points_defense",
        "int",
        "scored by the defense on the row, tries left out",
        "points",
        0,
        6,
        group=g,
    )
    yield Column("drive", "int", "number of the possession within the game", low=0, group=g)
    yield Column("next_score", "text", "next score of the half", words=NEXT_SCORES, group=g)
    yield Column(
        "next_score_clock", "int", "left in the half at that score", "seconds", 0, 1800, group=g
    )
    yield Column("drives_to_score", "int", "possessions until that score", low=0, group=g)
    yield Column(
        "result", "float", "of the game for the offense: 1 won, .5 tied, 0 lost", "", 0, 1, group=g
    )
    g = "participation"
    yield Column("pressured", "bool", "the passer was under pressure", group=g)
    yield Column(
        "ball_out_seconds", "float", "from the snap to the throw", "seconds", 0, 30, group=g
    )
    yield Column("route", "text", "route of the target", group=g)
    yield Column("shell", "text", "coverage played", group=g)
    yield Column("man", "bool", "man coverage", group=g)
    yield Column("box", "int", "defenders in the box", "", 0, 11, group=g)
    yield Column("rushers", "int", "pass rushers", "", 0, 11, group=g)


COLUMNS: tuple[Column, ...] = tuple(_columns())
BY_NAME = {column.name: column for column in COLUMNS}
REQUIRED = tuple(column.name for column in COLUMNS if column.required)
