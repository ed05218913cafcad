"""What each question behind the next score may depend on, and which way it must go.

Expected points are monotone in field position, distance and time-outs because every question
is: the better the situation, the likelier a touchdown of ours, failing that another score of
ours, and the less likely, failing both, a score of theirs.

Third and fourth down are another matter, since teams play for three points and take them: nearer
the goal a touchdown is *less* likely next once a kick is in reach, and with less to go three points
are. So these orders are not held there while three points count; what would be worth less in an
easier situation is mended where points are worked out. Late in a game behind by four to eight, or
by twelve to sixteen, they do not count, and the orders hold on every down.
"""

from __future__ import annotations

from pointsleft_models.fitting.basis import Axis, Basis, Bends, Levels, Line, Term

FINE_YARDS = (1, 2, 3, 5, 8, 12, 17, 23, 30, 36, 42, 50, 60, 70, 80, 88, 94, 99)
COARSE_YARDS = (1, 4, 10, 20, 33, 45, 60, 80, 99)
DISTANCES = (1, 2, 3, 4.5, 7, 10, 14, 20, 30)
FINE_SECONDS = (0, 5, 12, 25, 45, 80, 120, 200, 350, 700, 1200, 1800)
COARSE_SECONDS = (0, 10, 30, 60, 120, 240, 600, 1800)
#: A lead of three is another matter than one of four, and eight than nine.
LEADS = (-24, -16, -11, -9, -8, -4, -3, -1, 0, 1, 3, 4, 8, 9, 11, 16, 24)
LOG = "log+4"


#: Downs on which teams play for or take three points, as levels of their axis.
KICKING = (2, 3)


def _full(
    better_is_likelier: bool,
    stiffness: float = 10.0,
    free: tuple[tuple[str, int], ...] = (),
) -> Basis:
    """Basis of a question whose yes is good for us, or bad; ``free`` where three points count."""
    worse = ("yards_to_goal", "distance", "opponent_timeouts")

    def term(*axes: Axis, stiff: float = stiffness, free: tuple[tuple[str, int], ...] = ()) -> Term:
        names = [axis.variable for axis in axes]
        bad = tuple(n for n in names if n in worse)
        good = tuple(n for n in names if n == "own_timeouts")
        rises, falls = (good, bad) if better_is_likelier else (bad, good)
        return Term(axes, stiff, rises=rises, falls=falls, free=free)

    seconds = Bends("half_seconds", COARSE_SECONDS, LOG)
    fine_seconds = Bends("half_seconds", FINE_SECONDS, LOG)
    down, half = Levels("down", 4), Levels("half", 2)
    spot = tuple(pair for pair in free if pair[0] == "yards_to_goal")
    coarse, distance = Bends("yards_to_goal", COARSE_YARDS), Bends("distance", DISTANCES)
    return Basis(
        (
            term(Bends("yards_to_goal", FINE_YARDS)),
            term(down, coarse, distance, stiff=stiffness / 5),
            term(Line("three_counts"), down, coarse, distance, stiff=stiffness / 5, free=free),
            term(coarse, fine_seconds),
            term(half, fine_seconds),
            term(Bends("own_timeouts", (0, 1, 2, 3)), seconds),
            term(Bends("opponent_timeouts", (0, 1, 2, 3)), seconds),
            term(down, seconds),
            term(half, Bends("lead", LEADS), seconds, stiff=stiffness / 3),
            term(Line("three_enough"), down, coarse, stiff=stiffness / 5, free=spot),
        )
    )


def _rest(*, spot: bool, stiffness: float = 10.0) -> Basis:
    """For a field goal against a safety: few answers, so few bends."""
    terms = [
        Term((Bends("half_seconds", COARSE_SECONDS, LOG),), stiffness),
        Term((Bends("lead", (-16, -8, 0, 8, 16)),), stiffness),
    ]
    if spot:
        spots = Bends("yards_to_goal", COARSE_YARDS)
        terms.append(Term((spots,), stiffness, falls=("yards_to_goal",)))
    return Basis(tuple(terms))


def next_score_bases() -> dict[str, Basis]:
    """The basis of every question."""
    spot = tuple(("yards_to_goal", down) for down in KICKING)
    both = (*spot, *(("distance", down) for down in KICKING))
    return {
        "td": _full(True, free=spot),
        "other": _full(True, free=both),
        "theirs": _full(False),
        "td_opp": _full(False),
        "fg": _rest(spot=False),
        "fg_opp": _rest(spot=True),
    }
