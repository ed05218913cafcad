"""What the chance to win may depend on.

The main variable is the *effective lead*: points ahead plus the expected points of the
possession (and of the second-half kickoff), in units of what a game of that length can still
move. Field position, down and distance work through it, so whatever is monotone in expected
points is monotone in wins. On top: the plain lead (scores come in threes and sevens), time-outs,
and the home side.

The down speaks for itself late in a game only, where keeping the ball is worth more than the
points that come of it. Early on, fourth downs win less than their points say too, but weaker
teams have more of them (by the spreads of the archive: .2 points favoured on first downs, .3 the
other way on fourth): that is whose downs they are and not what a first down is worth.

Terms are stiff: a game has one winner, and its hundred and fifty plays say no more about the
chances than a few would that were independent.
"""

from __future__ import annotations

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Line, Term

EFFECTIVE = (
    -9, -5, -3.5, -2.6, -2, -1.5, -1.1, -0.8, -0.5, -0.25, 0,
    0.25, 0.5, 0.8, 1.1, 1.5, 2, 2.6, 3.5, 5, 9,
)  # fmt: skip
LEADS = (
    -25, -17, -14, -11, -9, -8, -7, -6, -4, -3, -2, -1, 0,
    1, 2, 3, 4, 6, 7, 8, 9, 11, 14, 17, 25,
)  # fmt: skip
FINE_SECONDS = (0, 15, 40, 80, 120, 200, 300, 480, 900, 1500, 2400, 3600)
COARSE_SECONDS = (0, 30, 90, 180, 400, 900)
LOG = "log+10"


def win_basis() -> Basis:
    """Basis over the columns of :func:`pointsleft_models.values.wins.win_columns`."""
    clock = Bends("game_seconds", FINE_SECONDS, LOG)
    late = Bends("game_seconds", COARSE_SECONDS, LOG)
    side = Bends("effective", (-3, -1, 0, 1, 3))
    return Basis(
        (
            Term((Line("effective"),), 0.0, rises=("effective",)),
            Term(
                (Bends("effective", EFFECTIVE), clock), 20.0, rises=("effective",), odd="effective"
            ),
            Term((Bends("lead", LEADS), late), 5.0, rises=("lead",), odd="lead"),
            Term(
                (Bends("own_timeouts", (0, 1, 2, 3)), side, late),
                50.0,
                rises=("own_timeouts", "effective"),
            ),
            Term(
                (Bends("opponent_timeouts", (0, 1, 2, 3)), side, late),
                50.0,
                rises=("effective",),
                falls=("opponent_timeouts",),
            ),
            Term(
                (
                    Bends("one_score", (-7, -5, -3.5, -2, -1, 0, 1, 2, 3.5, 5, 7)),
                    Bends("game_seconds", (0, 10, 25, 60, 120, 240, 600), "log+4"),
                ),
                15.0,
                rises=("one_score",),
            ),
            Term(
                (Line("one_score"), Bends("game_seconds", (0, 30, 120, 600), "log+4")),
                0.5,
                rises=("one_score",),
            ),
            Term((Levels("down", 4), Line("late"), late), 100.0),
            Term((Line("home"), Bends("game_seconds", (0, 300, 900, 1800, 3600))), 50.0),
        )
    )
