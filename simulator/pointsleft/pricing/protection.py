"""The protection clock: is the ball out in rhythm, hurried, or not at all?

An option needs time (its drop and hitches); the rush gives time. Both are normal laws, so their
difference is one, and the chances follow from it exactly. Pressure from those who are blocked
is the fitted law of pressure by ball-out time. The clock acts inside the law of an option only,
never on whether the option was available.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from pointsleft_models.laws.library import Library
from scipy.special import ndtr

from pointsleft.pricing.judgement_table import judged

Array = np.ndarray

#: Free rusher's path from the line is to a quarterback as deep as after three steps.
THREE_STEP_DEPTH = 5.0

#: Depth in yards of the quarterback at the top of a drop from under centre, by steps.
DEPTHS: Mapping[int, float] = {0: 0.0, 1: 2.0, 3: 5.0, 5: 7.0, 7: 9.0, 9: 10.5}

#: Quarterback's depth at the snap in the shotgun and the pistol.
GUN_DEPTH = 5.0

#: Time constant of a sprint, seconds (Clark et al. 2019: .768 +- .068).
SPRINT_TAU = 0.768
METRES = 0.9144


def sprint_seconds(yards: float, forty: float) -> float:
    """Seconds of a sprint from a standing start.

    Distance covered is v (t - tau (1 - exp(-t / tau))), with v from the forty-yard time.

    Parameters
    ----------
    yards
        Distance.
    forty
        Forty-yard time in seconds.

    Source: Clark et al. 2019, J. Strength and Conditioning Research 33:1542-1550.
    """
    top = 40 * METRES / (forty - SPRINT_TAU * (1 - math.exp(-forty / SPRINT_TAU)))
    low, high = 0.0, 30.0
    for _ in range(60):
        t = (low + high) / 2
        covered = top * (t - SPRINT_TAU * (1 - math.exp(-t / SPRINT_TAU)))
        if covered < yards * METRES:
            low = t
        else:
            high = t
    return high


def ball_out(steps: int, hitches: int, *, gun: bool, fake: bool) -> float:
    """Mean seconds from the snap until the ball is out.

    Steps are counted as the trade does: from under centre, or in the gun as taken there.
    """
    names = {0: "drop.one", 1: "drop.one", 3: "drop.three", 5: "drop.five", 7: "drop.seven"}
    counted = steps + int(judged("drop.gun").value) if gun else steps
    nearest = min(names, key=lambda s: (abs(s - counted), s))
    seconds = judged(names[nearest]).value
    if gun:
        seconds += judged("drop.gun_seconds").value
    if fake:
        seconds += judged("drop.fake").value
    return seconds + hitches * judged("drop.hitch").value


def depth_of(steps: int, *, gun: bool) -> float:
    """Yards behind the line at the top of the drop."""
    if gun:
        return GUN_DEPTH + 0.8 * steps
    return DEPTHS[min(DEPTHS, key=lambda s: abs(s - steps))]


def free_arrival(depth: float, side: str | None, quarterback_depth: float) -> float:
    """Mean seconds until a free rusher arrives.

    Parameters
    ----------
    depth
        Yards behind the line of scrimmage (in the defense) from which he starts.
    side
        ``left`` or ``right`` for the edge, ``middle`` for the inside.
    quarterback_depth
        Yards behind the line at which he finds the passer.
    """
    base = judged("rush.middle" if side == "middle" else "rush.edge").value
    deeper = (quarterback_depth - THREE_STEP_DEPTH) * judged("rush.deeper").value
    path = max(base + deeper + depth, 2.0)
    return judged("rush.reaction").value + sprint_seconds(path, judged("rush.forty").value)


@dataclass(frozen=True, slots=True)
class Rush:
    """What the charter says of the rush.

    Attributes
    ----------
    rushers
        How many, ``None`` when not logged (four).
    free
        Whether one came free.
    depth, side
        Where he started.
    late
        Seconds that he lost on the way, to a blocker or a stunt.
    """

    rushers: int | None = None
    free: bool = False
    depth: float = 0.0
    side: str | None = None
    late: float = 0.0


@dataclass(frozen=True, slots=True)
class Protection:
    """Chances that the ball is out in rhythm, out under pressure, or that he is sacked.

    Each is (fits,); they sum to 1.
    """

    on_time: Array
    hurried: Array
    sacked: Array


def protection(
    library: Library, out_mean: float, rush: Rush, quarterback_depth: float, *, refits: bool
) -> Protection:
    """The protection clock of one option.

    Parameters
    ----------
    out_mean
        Mean ball-out time in seconds.
    """
    out_sd = judged("drop.spread").value
    pressed = _pressed(library, out_mean, out_sd, rush, refits)
    sack_share = _sack_share(library, rush, refits)
    # Throws carry a clock in the data and sacks do not: a sack is taken as a pressed throw that
    # never came, so pressed throws at this time are what is left of the pressed drop-backs.
    all_pressed = pressed / (1 - sack_share + pressed * sack_share)
    sacked, hurried = all_pressed * sack_share, all_pressed * (1 - sack_share)
    if not rush.free:
        return Protection(1 - sacked - hurried, hurried, sacked)
    arrival = free_arrival(rush.depth, rush.side, quarterback_depth) + rush.late
    spread = math.hypot(out_sd, judged("rush.spread").value)
    in_time = float(ndtr((arrival - out_mean) / spread))
    still = float(ndtr((arrival + judged("rush.hurried").value - out_mean) / spread))
    # those who are blocked may get home before he does
    return Protection(
        in_time * (1 - sacked - hurried),
        in_time * hurried + (still - in_time) * (1 - sacked),
        still * sacked + (1 - still),
    )


def _pressed(library: Library, mean: float, sd: float, rush: Rush, refits: bool) -> Array:
    """(fits,) chance of pressure on a throw out around this time."""
    if not library.has("pressure"):
        return np.array([0.25])
    tenths = np.round(10 * (mean + sd * np.array([-1.3, -0.5, 0.5, 1.3]))).astype(int)
    values = {"tenths": tenths, "rush": min(max(rush.rushers or 4, 3), 7)}
    return library.logit("pressure").probability(values, refits=refits).mean(-1)


def _sack_share(library: Library, rush: Rush, refits: bool) -> Array:
    if not library.has("sack if pressed"):
        return np.array([0.22])
    values = {"rush": min(max(rush.rushers or 4, 3), 7)}
    return library.logit("sack if pressed").probability(values, refits=refits)
