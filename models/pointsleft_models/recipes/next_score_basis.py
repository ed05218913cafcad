"""What each question behind the next score may depend on, and how stiffly."""

from __future__ import annotations

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term

FINE_YARDS = (1, 2, 3, 5, 8, 12, 17, 23, 30, 36, 42, 50, 60, 70, 80, 88, 94, 99)
COARSE_YARDS = (1, 4, 10, 20, 33, 45, 60, 80, 99)
DISTANCES = (1, 2, 3, 4.5, 7, 10, 14, 20, 30)
FINE_SECONDS = (0, 5, 12, 25, 45, 80, 120, 200, 350, 700, 1200, 1800)
COARSE_SECONDS = (0, 10, 30, 60, 120, 240, 600, 1800)
LEADS = (-24, -16, -10.5, -8, -5.5, -3, -1, 0, 1, 3, 5.5, 8, 10.5, 16, 24)
LOG = "log+4"


def _full(stiffness: float, falls_in_distance: bool) -> Basis:
    seconds = Bends("half_seconds", COARSE_SECONDS, LOG)
    down = Levels("down", 4)
    falls = ("distance",) if falls_in_distance else ()
    return Basis(
        (
            Term((Bends("yards_to_goal", FINE_YARDS),), stiffness),
            Term(
                (down, Bends("yards_to_goal", COARSE_YARDS), Bends("distance", DISTANCES)),
                stiffness / 5,
                falls=falls,
            ),
            Term(
                (
                    Bends("yards_to_goal", COARSE_YARDS),
                    Bends("half_seconds", FINE_SECONDS, LOG),
                ),
                stiffness,
            ),
            Term((Levels("half", 2), Bends("half_seconds", FINE_SECONDS, LOG)), stiffness),
            Term((Levels("own_timeouts", 4), seconds), stiffness),
            Term((Levels("opponent_timeouts", 4), seconds), stiffness),
            Term((down, seconds), stiffness),
            Term((Levels("half", 2), Bends("lead", LEADS), seconds), stiffness / 3),
        )
    )


def _small(stiffness: float) -> Basis:
    """For the safety questions: few yes or no answers, so few bends."""
    return Basis(
        (
            Term((Bends("yards_to_goal", COARSE_YARDS),), stiffness),
            Term((Levels("down", 4),), stiffness),
            Term((Bends("half_seconds", COARSE_SECONDS, LOG),), stiffness),
            Term((Bends("lead", (-16, -8, 0, 8, 16)),), stiffness),
        )
    )


def next_score_bases() -> dict[str, Basis]:
    """The basis of every question."""
    return {
        "score": _full(10.0, falls_in_distance=False),
        "ours": _full(10.0, falls_in_distance=True),
        "td": _full(10.0, falls_in_distance=True),
        "td_opp": _full(10.0, falls_in_distance=False),
        "fg": _small(10.0),
        "fg_opp": _small(10.0),
    }
